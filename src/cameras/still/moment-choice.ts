import { pictureOfBoard } from './picture-of-board.ts';

/** The board in one camera at one moment. */
export interface SeenBoard {
  readonly camera: string;
  readonly imageSize: { readonly width: number; readonly height: number };
  readonly corners: Float64Array;
}

/** Cells across and down in which the place of corners is counted. */
const CELLS = 6;
/** A tilt counts against the quarter it points to above this change of scale across half the board. Common practice, no source. */
const LEAST_TILT = 0.02;
/** Weight of a new tilt or size against all cells of one picture. */
const POSE_WEIGHT = 0.25;

/**
 * Chooses up to `most` moments that together cover most: greedily, each time the moment that adds most new cells of the
 * pictures, tilts and sizes of the board. What is covered again counts half as much each time, so the worth of a choice is
 * submodular and greedy choice reaches at least 1 − 1/e of the best (Nemhauser, Wolsey & Fisher 1978). `views`: per moment the
 * board in each camera; `columns`: corners a row. `penalty` (0–1 each): of two equal moments the smaller is taken. Returns
 * indices in the order of choice.
 */
export function chooseMoments(
  views: readonly (readonly SeenBoard[])[],
  columns: number,
  penalty: readonly number[],
  most: number,
): number[] {
  const features = views.map((moment) => moment.flatMap((view) => featuresOf(view, columns)));
  const times = new Map<string, number>();
  const chosen: number[] = [];
  const left = new Set(views.keys());
  while (chosen.length < most && left.size > 0) {
    let best = -1;
    let bestGain = Number.NEGATIVE_INFINITY;
    for (const moment of left) {
      let gain = -1e-3 * penalty[moment];
      for (const { name, weight } of features[moment]) gain += weight * 0.5 ** (times.get(name) ?? 0);
      if (gain > bestGain) {
        best = moment;
        bestGain = gain;
      }
    }
    chosen.push(best);
    left.delete(best);
    for (const { name } of features[best]) times.set(name, (times.get(name) ?? 0) + 1);
  }
  return chosen;
}

interface Feature {
  readonly name: string;
  readonly weight: number;
}

/** What one picture of the board contributes: cells it reaches, the way it is tilted, its size in octaves. */
function featuresOf({ camera, imageSize, corners }: SeenBoard, columns: number): Feature[] {
  const cells = new Set<string>();
  for (let o = 0; o < corners.length; o += 2) {
    const column = Math.floor((CELLS * (corners[o] + 0.5)) / imageSize.width);
    const row = Math.floor((CELLS * (corners[o + 1] + 0.5)) / imageSize.height);
    if (column >= 0 && column < CELLS && row >= 0 && row < CELLS) cells.add(`${camera} cell ${column} ${row}`);
  }
  const features = [...cells].map((name): Feature => ({ name, weight: 1 / CELLS ** 2 }));
  const picture = pictureOfBoard(corners, columns);
  if (!picture) return features;
  const side = (tilt: number) => (Math.abs(tilt) < LEAST_TILT ? 0 : Math.sign(tilt));
  const tilt = `${camera} tilt ${side(picture.tiltAcross)} ${side(picture.tiltDown)}`;
  const size = `${camera} size ${Math.round(Math.log2(picture.size / imageSize.width))}`;
  return [...features, { name: tilt, weight: POSE_WEIGHT }, { name: size, weight: POSE_WEIGHT / 2 }];
}

/** Share of CELLS × CELLS cells of each camera's picture that corners reach. */
export function coverageOf(views: readonly SeenBoard[], columns: number): Map<string, number> {
  const cells = new Map<string, Set<string>>();
  for (const view of views) {
    const reached = cells.get(view.camera) ?? new Set<string>();
    for (const { name } of featuresOf(view, columns)) if (name.includes(' cell ')) reached.add(name);
    cells.set(view.camera, reached);
  }
  return new Map([...cells].map(([camera, reached]) => [camera, reached.size / CELLS ** 2]));
}
