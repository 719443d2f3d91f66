import type { BodyDrawing } from './body-drawing.ts';
import { BAR_RADIUS_M, HEAD_RADIUS_M, LIMBS, NECK, type PartSide } from './body-parts.ts';
import { floorLines, strength } from './floor-lines.ts';
import { type Projector, projector } from './orbit.ts';
import type { SceneBar, ScenePayload } from './payload.ts';
import type { Pose } from './pose.ts';
import type { Theme } from './theme.ts';

/** Corners of the polygon that stands for a disc. */
const DISC_CORNERS = 36;

/** Lifter, bar and floor as thick lines on a plain canvas, from any direction: far parts first. */
export function lineBody(
  canvas: HTMLCanvasElement,
  payload: ScenePayload,
  pose: Pose,
  pale: { payload: ScenePayload; pose: Pose } | null,
): BodyDrawing | null {
  const context = canvas.getContext('2d');
  if (!context) return null;
  const eye = projector();
  const lines = floorLines();
  let [width, height, ratio] = [1, 1, 1];
  let colours: Theme | null = null;
  const parts = lineParts(pose, payload.bar);
  const paleParts = pale ? lineParts(pale.pose, pale.payload.bar) : [];

  return {
    kind: 'lines',
    bySoftware: false,
    recolour(theme) {
      colours = theme;
    },
    resize(w, h, pixelRatio) {
      [width, height, ratio] = [w, h, pixelRatio];
      canvas.width = Math.round(w * ratio);
      canvas.height = Math.round(h * ratio);
    },
    draw(orbit, paleShown) {
      if (!colours) return;
      context.setTransform(ratio, 0, 0, ratio, 0, 0);
      context.clearRect(0, 0, width, height);
      eye.set(orbit, width, height);
      context.lineCap = 'round';
      context.lineJoin = 'round';
      context.setLineDash([]);
      drawFloor(context, eye, lines, colours.line);
      if (paleShown) drawParts(context, eye, paleParts, colours, true);
      drawParts(context, eye, parts, colours, false);
    },
  };
}

function drawFloor(context: CanvasRenderingContext2D, eye: Projector, lines: Float32Array, colour: string): void {
  context.strokeStyle = colour;
  context.lineWidth = 1;
  for (let i = 0; i < lines.length; i += 6) {
    context.globalAlpha = strength((lines[i] + lines[i + 3]) / 2, (lines[i + 2] + lines[i + 5]) / 2);
    context.beginPath();
    const start = eye.project(lines[i], lines[i + 1], lines[i + 2]);
    context.moveTo(start[0], start[1]);
    const end = eye.project(lines[i + 3], lines[i + 4], lines[i + 5]);
    context.lineTo(end[0], end[1]);
    context.stroke();
  }
  context.globalAlpha = 1;
}

interface LinePart {
  /** Distance from the camera; parts are drawn from the farthest on. NaN: not drawn. */
  away: number;
  readonly colour: (theme: Theme) => string;
  measure(eye: Projector): number;
  draw(context: CanvasRenderingContext2D, eye: Projector): void;
}

function drawParts(
  context: CanvasRenderingContext2D,
  eye: Projector,
  parts: LinePart[],
  theme: Theme,
  pale: boolean,
): void {
  for (const part of parts) part.away = part.measure(eye);
  parts.sort((a, b) => b.away - a.away);
  for (const part of parts) {
    if (Number.isNaN(part.away)) continue;
    const colour = pale ? theme.pale : part.colour(theme);
    context.strokeStyle = colour;
    context.fillStyle = colour;
    part.draw(context, eye);
  }
}

const COLOUR_OF: Readonly<Record<PartSide, (theme: Theme) => string>> = {
  left: (theme) => theme.left,
  right: (theme) => theme.right,
  middle: (theme) => theme.trunk,
};

function lineParts(pose: Pose, bar: SceneBar | null): LinePart[] {
  const { at } = pose;
  const awayOf = (eye: Projector, slot: number) =>
    pose.known(slot) ? eye.project(at[3 * slot], at[3 * slot + 1], at[3 * slot + 2])[3] : Number.NaN;
  const line = (from: string, to: string, radiusM: number, side: PartSide, colour = COLOUR_OF[side]): LinePart => {
    const [a, b] = [pose.slot(from), pose.slot(to)];
    return {
      away: 0,
      colour,
      measure: (eye) => (awayOf(eye, a) + awayOf(eye, b)) / 2,
      draw: (context, eye) => {
        const start = eye.project(at[3 * a], at[3 * a + 1], at[3 * a + 2]);
        context.lineWidth = Math.max(1.5, 2 * radiusM * start[2]);
        // The left side is dashed, whatever its colour.
        context.setLineDash(side === 'left' ? [0.1, 1.35 * context.lineWidth] : []);
        context.beginPath();
        context.moveTo(start[0], start[1]);
        const end = eye.project(at[3 * b], at[3 * b + 1], at[3 * b + 2]);
        context.lineTo(end[0], end[1]);
        context.stroke();
        context.setLineDash([]);
      },
    };
  };
  const head = pose.slot('head_centre');
  return [
    ...[...LIMBS, NECK].map(({ from, to, fromRadiusM, toRadiusM, side }) =>
      line(from, to, 0.5 * (fromRadiusM + toRadiusM), side),
    ),
    line('middle_of_hips', 'middle_of_shoulders', 0.09, 'middle'),
    line('left_heel', 'left_big_toe', 0.025, 'left'),
    line('right_heel', 'right_big_toe', 0.025, 'right'),
    {
      away: 0,
      colour: COLOUR_OF.middle,
      measure: (eye) => awayOf(eye, head),
      draw: (context, eye) => {
        const spot = eye.project(at[3 * head], at[3 * head + 1], at[3 * head + 2]);
        context.beginPath();
        context.arc(spot[0], spot[1], HEAD_RADIUS_M * spot[2], 0, 2 * Math.PI);
        context.fill();
      },
    },
    ...(bar ? barParts(pose, bar, line) : []),
  ];
}

function barParts(
  pose: Pose,
  { lengthM, discs }: SceneBar,
  line: (from: string, to: string, radiusM: number, side: PartSide, colour: (theme: Theme) => string) => LinePart,
): LinePart[] {
  const shaft = line('bar_left', 'bar_right', BAR_RADIUS_M, 'middle', (theme) => theme.bar);
  if (!discs) return [shaft];
  const { at } = pose;
  const [left, right] = [pose.slot('bar_left'), pose.slot('bar_right')];
  const disc = (end: 1 | -1): LinePart => {
    const share = 0.5 + (end * discs.atM) / lengthM;
    const middle = (axis: number) => at[3 * left + axis] + share * (at[3 * right + axis] - at[3 * left + axis]);
    return {
      away: 0,
      colour: (theme) => theme.bar,
      measure: (eye) =>
        pose.known(left) && pose.known(right) ? eye.project(middle(0), middle(1), middle(2))[3] : Number.NaN,
      draw: (context, eye) => {
        // Two directions across the bar; the bar lies near Z, so X and what is left will do.
        const bx = at[3 * right] - at[3 * left];
        const by = at[3 * right + 1] - at[3 * left + 1];
        const bz = at[3 * right + 2] - at[3 * left + 2];
        const flat = Math.sqrt(bx * bx + bz * bz);
        const whole = Math.sqrt(bx * bx + by * by + bz * bz);
        context.beginPath();
        for (let k = 0; k < DISC_CORNERS; k++) {
          const angle = (2 * Math.PI * k) / DISC_CORNERS;
          const c = discs.radiusM * Math.cos(angle);
          const s = discs.radiusM * Math.sin(angle);
          const spot = eye.project(
            middle(0) + (c * bz) / flat - (s * bx * by) / (flat * whole),
            middle(1) + (s * flat) / whole,
            middle(2) - (c * bx) / flat - (s * bz * by) / (flat * whole),
          );
          if (k === 0) context.moveTo(spot[0], spot[1]);
          else context.lineTo(spot[0], spot[1]);
        }
        context.closePath();
        context.globalAlpha = 0.12;
        context.fill();
        context.globalAlpha = 1;
        context.lineWidth = 2.5;
        context.stroke();
      },
    };
  };
  return [shaft, disc(-1), disc(1)];
}
