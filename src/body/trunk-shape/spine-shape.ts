import type { Sex } from '../../capture/recording.ts';
import { deLevaRow } from '../de-leva-1996.ts';

/**
 * A standing trunk of three rigid pieces, in the axes of the line mid-hip (0, 0) to mid-shoulder (0, 1), in shares of that
 * line's length: forward, up. The pieces' centres of mass lie on the line; the joints they turn about, behind it.
 */
export interface SpineShape {
  /** Shares of the trunk's mass, and heights of the centres, of the lower, middle and upper trunk. */
  readonly mass: readonly [number, number, number];
  readonly centreUp: readonly [number, number, number];
  /** L5/S1, about which the middle trunk turns by half of the flexion, and T12/L1, about which the upper turns by all of it. */
  readonly lumbosacral: readonly [forward: number, up: number];
  readonly thoracolumbar: readonly [forward: number, up: number];
}

/** Place of the trunk's centre of mass, in shares of the length of the line from mid-hip to mid-shoulder as it is then. */
export interface TrunkCentre {
  /** Further up the line than in the straight trunk. */
  up: number;
  /** Square to the line, forward positive. */
  forward: number;
}

/**
 * Hip axis to L5/S1: 94 mm (men), 107 mm (women), 13° behind the vertical; L5/S1 to T12/L1: 151, 125 mm, 8° behind it.
 * Lengths: Reed et al. (1999) and Dumas et al. (2015), from memory; 13° is the pelvic tilt of standing people, and 8° comes
 * from it and from T9, which lies 10° behind the vertical through the hip axis (Vialle et al. 2005 J Bone Joint Surg Am
 * 87:260–267, from memory). Mid-shoulder 30 mm behind the hip axis: common practice, no source; 20 mm more or less change
 * the shift of the centre by a tenth.
 */
const STANDING = {
  male: { lumbosacralM: 0.094, lumbarM: 0.151 },
  female: { lumbosacralM: 0.107, lumbarM: 0.125 },
} as const;
const LUMBOSACRAL_BACK_RAD = (13 * Math.PI) / 180;
const LUMBAR_BACK_RAD = (8 * Math.PI) / 180;
const SHOULDERS_BEHIND_HIPS_M = 0.03;

/** Shape of women, men, or the mean of both. */
export function spineShape(sex: Sex): SpineShape {
  if (sex !== 'unknown') return shapeOf(sex);
  const [a, b] = [shapeOf('female'), shapeOf('male')];
  const mean = <T extends readonly number[]>(of: (shape: SpineShape) => T) =>
    of(a).map((value, i) => (value + of(b)[i]) / 2) as unknown as T;
  return {
    mass: mean((shape) => shape.mass),
    centreUp: mean((shape) => shape.centreUp),
    lumbosacral: mean((shape) => shape.lumbosacral),
    thoracolumbar: mean((shape) => shape.thoracolumbar),
  };
}

/** Masses, lengths and centres of the three pieces: de Leva (1996) Table 4, rows Lower, Middle, Upper trunk and Trunk 3. */
function shapeOf(sex: 'female' | 'male'): SpineShape {
  const [lower, middle, upper] = ['Lower trunk', 'Middle trunk', 'Upper trunk'].map((name) => deLevaRow(sex, name));
  const lengthMm = deLevaRow(sex, 'Trunk 3').lengthMm;
  const massPct = lower.massPct + middle.massPct + upper.massPct;
  // Printed from the upper end down.
  const centreMm = [
    lower.lengthMm * (1 - lower.centrePct / 100),
    lower.lengthMm + middle.lengthMm * (1 - middle.centrePct / 100),
    lower.lengthMm + middle.lengthMm + upper.lengthMm * (1 - upper.centrePct / 100),
  ];
  const { lumbosacralM, lumbarM } = STANDING[sex];
  const { sin, cos } = Math;
  const sacral = [-lumbosacralM * sin(LUMBOSACRAL_BACK_RAD), lumbosacralM * cos(LUMBOSACRAL_BACK_RAD)] as const;
  const lumbar = [sacral[0] - lumbarM * sin(LUMBAR_BACK_RAD), sacral[1] + lumbarM * cos(LUMBAR_BACK_RAD)] as const;
  // The line of a standing lifter leans back by this.
  const back = Math.atan2(SHOULDERS_BEHIND_HIPS_M, lengthMm / 1000);
  const inLine = ([x, y]: readonly [number, number]) =>
    [(1000 * (x * cos(back) + y * sin(back))) / lengthMm, (1000 * (y * cos(back) - x * sin(back))) / lengthMm] as const;
  return {
    mass: [lower.massPct / massPct, middle.massPct / massPct, upper.massPct / massPct],
    centreUp: [centreMm[0] / lengthMm, centreMm[1] / lengthMm, centreMm[2] / lengthMm],
    lumbosacral: inLine(sacral),
    thoracolumbar: inLine(lumbar),
  };
}

/**
 * Where flexion moves the trunk's centre of mass, against a straight trunk on the same line. Written to `out`.
 *
 * The middle trunk turns by half of the flexion about L5/S1 and carries T12/L1, about which the upper trunk turns by all of
 * it. The pieces are then turned as one so that the line from the hips to the shoulders is the measured one, and scaled to
 * its length: only direction and length of that line are ever seen.
 */
export function bentCentreInto(out: TrunkCentre, shape: SpineShape, flexionRad: number): void {
  const { mass, centreUp, lumbosacral, thoracolumbar } = shape;
  const half = flexionRad / 2;
  const [sinHalf, cosHalf] = [Math.sin(half), Math.cos(half)];
  const [sinAll, cosAll] = [Math.sin(flexionRad), Math.cos(flexionRad)];
  const [ax, ay] = lumbosacral;
  // A point (x, y) of a piece that has turned forward by θ about its joint: (x cos θ + y sin θ, y cos θ − x sin θ).
  const middleX = ax + -ax * cosHalf + (centreUp[1] - ay) * sinHalf;
  const middleY = ay + (centreUp[1] - ay) * cosHalf + ax * sinHalf;
  const [dx, dy] = [thoracolumbar[0] - ax, thoracolumbar[1] - ay];
  const bx = ax + dx * cosHalf + dy * sinHalf;
  const by = ay + dy * cosHalf - dx * sinHalf;
  const [tx, ty] = thoracolumbar;
  const upperX = bx - tx * cosAll + (centreUp[2] - ty) * sinAll;
  const upperY = by + (centreUp[2] - ty) * cosAll + tx * sinAll;
  const shoulderX = bx - tx * cosAll + (1 - ty) * sinAll;
  const shoulderY = by + (1 - ty) * cosAll + tx * sinAll;
  const x = mass[1] * middleX + mass[2] * upperX;
  const y = mass[0] * centreUp[0] + mass[1] * middleY + mass[2] * upperY;
  const square = shoulderX * shoulderX + shoulderY * shoulderY;
  const straight = mass[0] * centreUp[0] + mass[1] * centreUp[1] + mass[2] * centreUp[2];
  out.up = (x * shoulderX + y * shoulderY) / square - straight;
  out.forward = (x * shoulderY - y * shoulderX) / square;
}

/** How far the line from the hips to the shoulders leans forward of the pelvis, since standing, when the spine is flexed, radians. */
export function lineTurnRad({ lumbosacral, thoracolumbar }: SpineShape, flexionRad: number): number {
  const { atan2, cos, sin } = Math;
  const half = flexionRad / 2;
  const [ax, ay] = lumbosacral;
  const [tx, ty] = thoracolumbar;
  const x = ax + (tx - ax) * cos(half) + (ty - ay) * sin(half) - tx * cos(flexionRad) + (1 - ty) * sin(flexionRad);
  const y = ay + (ty - ay) * cos(half) - (tx - ax) * sin(half) + (1 - ty) * cos(flexionRad) + tx * sin(flexionRad);
  return atan2(x, y);
}
