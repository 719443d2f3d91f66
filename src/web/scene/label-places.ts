/** A label that wants to stand beside a point; sizes and places in px. */
export interface Label {
  text: string;
  /** Point it belongs to, and how far it must keep away from it. */
  x: number;
  y: number;
  away: number;
  width: number;
  height: number;
  /** Which side it prefers, index into SIDES; kept from frame to frame so that labels do not jump. */
  side: number;
  colour: string;
  visible: boolean;
  /** Where it was put: left and top edge. */
  left: number;
  top: number;
}

/** Sides in the order they are tried, as directions of the label's middle: right, left, above right, above left, below right, below left, above, below. */
const SIDES = [
  [1, 0],
  [-1, 0],
  [1, -1],
  [-1, -1],
  [1, 1],
  [-1, 1],
  [0, -1],
  [0, 1],
] as const;

export function newLabel(side: number): Label {
  return {
    text: '',
    x: 0,
    y: 0,
    away: 0,
    width: 0,
    height: 0,
    side,
    colour: '',
    visible: false,
    left: 0,
    top: 0,
  };
}

/**
 * Puts labels where they overlap neither each other nor the edges. A label keeps the side it had while that is free. One
 * that finds no free side is hidden: crowded numbers are unreadable, and every value stands beside the picture too.
 */
export function placeLabels(labels: readonly Label[], width: number, height: number, edge: number): void {
  for (let i = 0; i < labels.length; i++) {
    const label = labels[i];
    if (!label.visible) continue;
    put(label, label.side);
    let found = isFree(labels, i, width, height, edge);
    for (let side = 0; side < SIDES.length && !found; side++) {
      put(label, side);
      found = isFree(labels, i, width, height, edge);
      if (found) label.side = side;
    }
    label.visible = found;
  }
}

function put(label: Label, side: number): void {
  const dx = SIDES[side][0];
  const dy = SIDES[side][1];
  const away = dx !== 0 && dy !== 0 ? 0.72 * label.away : label.away;
  label.left = label.x + dx * away + (dx === 0 ? -label.width / 2 : dx > 0 ? 0 : -label.width);
  label.top = label.y + dy * away + (dy === 0 ? -label.height / 2 : dy > 0 ? 0 : -label.height);
}

function isFree(labels: readonly Label[], index: number, width: number, height: number, edge: number): boolean {
  const { left, top, width: w, height: h } = labels[index];
  if (left < edge || top < edge || left + w > width - edge || top + h > height - edge) return false;
  for (let k = 0; k < index; k++) {
    const other = labels[k];
    if (!other.visible) continue;
    if (
      left < other.left + other.width &&
      other.left < left + w &&
      top < other.top + other.height &&
      other.top < top + h
    )
      return false;
  }
  return true;
}
