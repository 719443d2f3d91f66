import { type Label, newLabel, placeLabels } from './label-places.ts';
import type { Projector } from './orbit.ts';
import type { ScenePayload } from './payload.ts';
import type { Pose } from './pose.ts';
import type { Theme } from './theme.ts';
import { fill, inUnit, numeral, type SceneWords } from './words.ts';

/** What may be shown or hidden beside lifter and bar. */
export interface Shown {
  mass: boolean;
  force: boolean;
  effort: boolean;
  points: boolean;
}

/** An arrow as long as this stands for the weight of lifter and bar, metres. */
const ARROW_FOR_WEIGHT_M = 0.75;
/** A disc of this radius (metres) stands for an effort of the weight at this lever (metres); its area grows with the effort. */
const DISC = { radiusM: 0.16, leverM: 0.3 } as const;
const LABEL_PX = 13;
const EDGE_PX = 4;
/** A picture narrower than this has no room for names beside values. */
const NARROW_PX = 460;
/** Toes that are further apart than this have room for their letters beside them. */
const FEET_APART_PX = 30;

/** Radius of the disc for an effort in N·m, metres; NaN where not known. */
export function discRadius(momentNm: number, weightN: number): number {
  return DISC.radiusM * Math.sqrt(Math.abs(momentNm) / (DISC.leverM * weightN));
}

export interface MarksDrawing {
  /** Draws over a picture of `width` × `height` px whose lifter stands as `pose` does; `frame` whole or between. */
  draw(context: CanvasRenderingContext2D, projector: Projector, pose: Pose, frame: number, shown: Shown): void;
}

/**
 * The marks over the body, always on top so that nothing hides them: the line along each foot with its middle, the centre
 * of mass with its plumb line, the floor's force, the efforts at hips and knees, and their labels.
 */
export function marksDrawing(
  payload: ScenePayload,
  words: SceneWords,
  theme: () => Theme,
  size: { width: number; height: number },
): MarksDrawing {
  const { series, weightN } = payload;
  const at = (name: keyof ScenePayload['series'], frame: number) => series[name]?.[Math.round(frame)] ?? Number.NaN;
  // In the order of their right to a place.
  const labels = {
    hip: newLabel(1),
    knee: newLabel(0),
    foot: newLabel(5),
    force: newLabel(4),
    measured: newLabel(0),
    right: newLabel(0),
    left: newLabel(2),
  };
  const list = Object.values(labels);

  const draw: MarksDrawing['draw'] = (context, projector, pose, frame, shown) => {
    const colours = theme();
    for (const label of list) label.visible = false;
    const pen: Pen = { context, projector, pose, colours };
    context.lineCap = 'round';
    context.lineJoin = 'round';
    const apart = feetApart(pen);
    for (const side of ['left', 'right'] as const) drawFoot(pen, side, labels[side], words[side], apart);
    if (shown.points) drawPoints(pen, payload);
    if (shown.force) {
      const force = ['x', 'y', 'z'] as const;
      const lift = ARROW_FOR_WEIGHT_M / weightN;
      const [fx, fy, fz] = force.map((axis) => at(`ground_force_${axis}`, frame));
      const text = inUnit(fy, 0, words.newtons, words);
      drawArrow(
        pen,
        'centre_of_pressure',
        fx * lift,
        fy * lift,
        fz * lift,
        false,
        labels.force,
        fill(words.floorForce, { value: text }),
      );
      const [mx, my, mz] = force.map((axis) => at(`measured_force_${axis}`, frame));
      const measured = fill(words.measuredForce, { value: inUnit(my, 0, words.newtons, words) });
      drawArrow(pen, 'measured_centre_of_pressure', mx * lift, my * lift, mz * lift, true, labels.measured, measured);
    }
    if (shown.mass) {
      const foot = at('com_along_foot', frame);
      const text = Number.isNaN(foot) ? '' : fill(words.massOverFoot, { value: numeral(100 * foot, 0, words) });
      drawMass(pen, labels.foot, text);
    }
    if (shown.effort) {
      const effort = (joint: string, value: number) => {
        const text = inUnit(value, 0, words.newtonMetres, words);
        return size.width < NARROW_PX ? text : fill(words.jointEffort, { joint, value: text });
      };
      const hip = at('hip_moment', frame);
      const knee = at('knee_moment', frame);
      drawDisc(pen, 'middle_of_hips', hip, weightN, 'hip', labels.hip, effort(words.hip, hip));
      drawDisc(pen, 'middle_of_knees', knee, weightN, 'knee', labels.knee, effort(words.knee, knee));
    }
    drawLabels(context, list, colours, size);
  };
  return { draw };
}

interface Pen {
  readonly context: CanvasRenderingContext2D;
  readonly projector: Projector;
  readonly pose: Pose;
  readonly colours: Theme;
}

/** How far the right foot stands to the right of the left one in the picture, px; 0 where one is not known. */
function feetApart({ projector, pose }: Pen): number {
  const left = pose.slot('left_big_toe');
  const right = pose.slot('right_big_toe');
  if (!pose.known(left) || !pose.known(right)) return 0;
  const { at } = pose;
  const x = projector.project(at[3 * left], at[3 * left + 1], at[3 * left + 2])[0];
  return projector.project(at[3 * right], at[3 * right + 1], at[3 * right + 2])[0] - x;
}

/** A line on the floor from heel to toe, its middle marked, and the letter of the side. */
function drawFoot(
  { context, projector, pose, colours }: Pen,
  side: 'left' | 'right',
  label: Label,
  text: string,
  apart: number,
): void {
  const heel = pose.slot(`${side}_heel`);
  const toe = pose.slot(`${side}_big_toe`);
  if (!pose.known(heel) || !pose.known(toe)) return;
  const { at } = pose;
  const x0 = at[3 * heel];
  const z0 = at[3 * heel + 2];
  const x1 = at[3 * toe];
  const z1 = at[3 * toe + 2];
  // Across the foot on the floor, 4 cm to each side.
  const length = Math.sqrt((x1 - x0) ** 2 + (z1 - z0) ** 2);
  const nx = (-0.04 * (z1 - z0)) / length;
  const nz = (0.04 * (x1 - x0)) / length;
  const mx = (x0 + x1) / 2;
  const mz = (z0 + z1) / 2;
  context.strokeStyle = colours.foot;
  context.lineWidth = 3;
  context.setLineDash([]);
  context.beginPath();
  moveTo(context, projector, x0, 0, z0);
  lineTo(context, projector, x1, 0, z1);
  context.stroke();
  context.lineWidth = 2.5;
  context.beginPath();
  moveTo(context, projector, mx - nx, 0, mz - nz);
  lineTo(context, projector, mx + nx, 0, mz + nz);
  const middle = projector.project(mx, 0, mz);
  // Seen from the side the cross is a point: a tick below the floor stands for it.
  context.moveTo(middle[0], middle[1] + 1);
  context.lineTo(middle[0], middle[1] + 8);
  context.stroke();
  const ahead = projector.project(x1 + 0.06 * (x1 - x0), 0, z1 + 0.06 * (z1 - z0));
  // Letters stand outside the feet; seen from the side, where both toes are in one place, the left above the right.
  const beside = Math.abs(apart) > FEET_APART_PX;
  if (beside) label.side = apart > 0 === (side === 'right') ? 0 : 1;
  else label.side = side === 'right' ? 0 : 2;
  // A little higher than the floor, whose labels stand below.
  ask(label, text, ahead[0], ahead[1] - 8, beside || side === 'right' ? 12 : 20, colours.quiet);
}

function drawPoints({ context, projector, pose, colours }: Pen, payload: ScenePayload): void {
  context.fillStyle = colours.ink;
  for (let p = 0; p < payload.points.length; p++) {
    if (!pose.known(p)) continue;
    const spot = projector.project(pose.at[3 * p], pose.at[3 * p + 1], pose.at[3 * p + 2]);
    context.beginPath();
    context.arc(spot[0], spot[1], 2.2, 0, 2 * Math.PI);
    context.fill();
  }
}

function drawMass({ context, projector, pose, colours }: Pen, label: Label, text: string): void {
  const mass = pose.slot('centre_of_mass');
  if (!pose.known(mass)) return;
  const x = pose.at[3 * mass];
  const y = pose.at[3 * mass + 1];
  const z = pose.at[3 * mass + 2];
  context.strokeStyle = colours.mass;
  context.fillStyle = colours.mass;
  context.lineWidth = 2;
  context.setLineDash([7, 5]);
  context.beginPath();
  moveTo(context, projector, x, y, z);
  lineTo(context, projector, x, 0, z);
  context.stroke();
  context.setLineDash([]);
  const floor = projector.project(x, 0, z);
  context.beginPath();
  context.arc(floor[0], floor[1], 3.5, 0, 2 * Math.PI);
  context.fill();
  if (text !== '') ask(label, text, floor[0], floor[1], 14, colours.mass);
  const spot = projector.project(x, y, z);
  diamond(context, spot[0], spot[1], 8.5);
  context.fill();
  context.lineWidth = 2;
  context.strokeStyle = colours.stage;
  context.stroke();
}

function diamond(context: CanvasRenderingContext2D, x: number, y: number, radius: number): void {
  context.beginPath();
  context.moveTo(x, y - radius);
  context.lineTo(x + radius, y);
  context.lineTo(x, y + radius);
  context.lineTo(x - radius, y);
  context.closePath();
}

/** A force as an arrow from where it acts; `measured` ones are drawn open and thin. */
function drawArrow(
  { context, projector, pose, colours }: Pen,
  from: string,
  dx: number,
  dy: number,
  dz: number,
  measured: boolean,
  label: Label,
  text: string,
): void {
  const start = pose.slot(from);
  if (!pose.known(start) || Number.isNaN(dx + dy + dz)) return;
  const x = pose.at[3 * start];
  const z = pose.at[3 * start + 2];
  const foot = projector.project(x, 0, z);
  const footX = foot[0];
  const footY = foot[1];
  const tip = projector.project(x + dx, dy, z + dz);
  const tipX = tip[0];
  const tipY = tip[1];
  const length = Math.sqrt((tipX - footX) ** 2 + (tipY - footY) ** 2);
  context.strokeStyle = colours.force;
  context.fillStyle = colours.force;
  context.lineWidth = measured ? 2 : 4.5;
  context.setLineDash([]);
  context.globalAlpha = measured ? 1 : 0.8;
  // Seen from above the arrow points at the eye: a ring stands for it.
  if (length < 14) {
    context.beginPath();
    context.arc(footX, footY, 9, 0, 2 * Math.PI);
    context.stroke();
  } else {
    const ux = (tipX - footX) / length;
    const uy = (tipY - footY) / length;
    const head = 13;
    const wide = 7;
    context.beginPath();
    context.moveTo(footX, footY);
    context.lineTo(tipX - head * ux, tipY - head * uy);
    context.stroke();
    context.beginPath();
    context.moveTo(tipX, tipY);
    context.lineTo(tipX - head * ux - wide * uy, tipY - head * uy + wide * ux);
    context.lineTo(tipX - head * ux + wide * uy, tipY - head * uy - wide * ux);
    context.closePath();
    if (measured) context.stroke();
    else context.fill();
  }
  context.globalAlpha = 1;
  ask(label, text, footX, footY, 14, colours.force);
}

/** The effort at a joint: the larger the disc, the larger the effort; hollow where it pulls the other way. */
function drawDisc(
  { context, projector, pose, colours }: Pen,
  point: string,
  momentNm: number,
  weightN: number,
  joint: 'hip' | 'knee',
  label: Label,
  text: string,
): void {
  const slot = pose.slot(point);
  if (!pose.known(slot) || Number.isNaN(momentNm)) return;
  const spot = projector.project(pose.at[3 * slot], pose.at[3 * slot + 1], pose.at[3 * slot + 2]);
  const radius = Math.max(3, discRadius(momentNm, weightN) * spot[2]);
  context.strokeStyle = colours[joint];
  context.fillStyle = colours[joint];
  context.lineWidth = 3;
  context.setLineDash(joint === 'knee' ? [6, 6] : []);
  context.beginPath();
  context.arc(spot[0], spot[1], radius, 0, 2 * Math.PI);
  if (momentNm > 0) {
    context.globalAlpha = 0.3;
    context.fill();
    context.globalAlpha = 1;
  }
  context.stroke();
  context.setLineDash([]);
  ask(label, text, spot[0], spot[1], radius + 5, colours[joint]);
}

function ask(label: Label, text: string, x: number, y: number, away: number, colour: string): void {
  label.text = text;
  label.x = x;
  label.y = y;
  label.away = away;
  label.colour = colour;
  label.visible = true;
}

function drawLabels(
  context: CanvasRenderingContext2D,
  labels: readonly Label[],
  colours: Theme,
  size: { width: number; height: number },
): void {
  context.font = `600 ${LABEL_PX}px system-ui, -apple-system, "Segoe UI", "DejaVu Sans", sans-serif`;
  context.textBaseline = 'middle';
  context.textAlign = 'left';
  for (const label of labels) {
    if (!label.visible) continue;
    label.width = context.measureText(label.text).width + 12;
    label.height = LABEL_PX + 9;
  }
  placeLabels(labels, size.width, size.height, EDGE_PX);
  for (const label of labels) {
    if (!label.visible) continue;
    context.globalAlpha = 0.86;
    context.fillStyle = colours.stage;
    context.beginPath();
    context.roundRect(label.left, label.top, label.width, label.height, 5);
    context.fill();
    context.globalAlpha = 1;
    context.fillStyle = label.colour;
    context.fillText(label.text, label.left + 6, label.top + label.height / 2 + 0.5);
  }
}

function moveTo(context: CanvasRenderingContext2D, projector: Projector, x: number, y: number, z: number): void {
  const spot = projector.project(x, y, z);
  context.moveTo(spot[0], spot[1]);
}

function lineTo(context: CanvasRenderingContext2D, projector: Projector, x: number, y: number, z: number): void {
  const spot = projector.project(x, y, z);
  context.lineTo(spot[0], spot[1]);
}
