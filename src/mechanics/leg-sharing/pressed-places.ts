import type { Wrench } from '../wrench.ts';
import { HALF_BREADTH_SHARE, NEAREST_FEET_M, type SharingAssumptions, SOLE_MARGIN_SHARE } from './assumptions.ts';
import type { Feet, FootLine } from './feet.ts';

/** Why a frame has no sharing. */
export const SharingStatus = {
  shared: 0,
  /** A point or the total is not known. */
  unknown: 1,
  /** Hardly any force on the floor. */
  unloaded: 2,
  /** Feet so near, or so far behind each other, that no place between them tells a share. */
  feetUnfit: 3,
  /** The total centre of pressure lies where feet that can only push, standing there, cannot put it. */
  outside: 4,
  /** More horizontal force than friction holds, or no sharing within it. */
  slips: 5,
} as const;
export type SharingStatus = (typeof SharingStatus)[keyof typeof SharingStatus];

/** What follows from the places alone: the vertical share, and where each foot presses. */
export interface PressedPlaces {
  /** Part of the vertical force on the left foot, 0–1, one a frame; NaN where not shared. */
  readonly shareLeft: Float64Array;
  /** Centres of pressure on the floor, `3 * frame`, metres; NaN where not shared. Of a foot that carries nothing: where it would press. */
  readonly left: Float64Array;
  readonly right: Float64Array;
  /** SharingStatus, one a frame. */
  readonly status: Uint8Array;
}

/**
 * Places and vertical share of each foot.
 *
 * Each foot presses on its own line, as far along it as the other (but for the assumed difference and offsets): at
 * L(u) = L₀ + u e_L and R(u) = R₀ + u e_R, u the share of the foot's length from the heel. The total centre of pressure C is
 * their mean by vertical force, C = s L(u) + (1 − s) R(u): two equations in the plane of the floor, two unknowns. With A = C − R₀,
 * B = e_R, G = L₀ − R₀, D = e_L − e_R the cross product leaves (A − u B) × (G + u D) = 0, a quadratic in u whose root is taken
 * that goes over into the one of parallel feet (D = 0). Beyond a foot's line but still under its sole that foot carries all.
 */
export function pressedPlaces(
  total: Wrench,
  feet: Feet,
  floorM: number,
  leastVerticalN: number,
  assumptions: SharingAssumptions,
): PressedPlaces {
  const frames = total.force.length / 3;
  const shareLeft = new Float64Array(frames).fill(Number.NaN);
  const left = new Float64Array(3 * frames).fill(Number.NaN);
  const right = new Float64Array(3 * frames).fill(Number.NaN);
  const status = new Uint8Array(frames);
  const here: Placing = { share: 0, along: 0, leftX: 0, leftZ: 0, rightX: 0, rightZ: 0 };
  for (let frame = 0, i = 0; frame < frames; frame++, i += 3) {
    const up = total.force[i + 1];
    const x = (total.moment[i + 2] + floorM * total.force[i]) / up;
    const z = (floorM * total.force[i + 2] - total.moment[i]) / up;
    status[frame] = !Number.isFinite(up)
      ? SharingStatus.unknown
      : up < leastVerticalN
        ? SharingStatus.unloaded
        : placeInto(here, feet, i, x, z, assumptions);
    if (status[frame] !== SharingStatus.shared) continue;
    shareLeft[frame] = here.share;
    left[i] = here.leftX;
    left[i + 1] = floorM;
    left[i + 2] = here.leftZ;
    right[i] = here.rightX;
    right[i + 1] = floorM;
    right[i + 2] = here.rightZ;
  }
  return { shareLeft, left, right, status };
}

/** One frame's result; written over and over. */
interface Placing {
  share: number;
  along: number;
  leftX: number;
  leftZ: number;
  rightX: number;
  rightZ: number;
}

function placeInto(
  out: Placing,
  { left, right }: Feet,
  i: number,
  x: number,
  z: number,
  { outwardLeftM, outwardRightM, alongDifference }: SharingAssumptions,
): SharingStatus {
  const { abs, hypot, sqrt } = Math;
  const lx = left.toe[i] - left.heel[i];
  const lz = left.toe[i + 2] - left.heel[i + 2];
  const rx = right.toe[i] - right.heel[i];
  const rz = right.toe[i + 2] - right.heel[i + 2];
  const leftM = hypot(lx, lz);
  const rightM = hypot(rx, rz);
  // Outward is square to the foot: (z, −x) of its direction on the left, (−z, x) on the right.
  const startLX = left.heel[i] + (alongDifference / 2) * lx + (outwardLeftM * lz) / leftM;
  const startLZ = left.heel[i + 2] + (alongDifference / 2) * lz - (outwardLeftM * lx) / leftM;
  const startRX = right.heel[i] - (alongDifference / 2) * rx - (outwardRightM * rz) / rightM;
  const startRZ = right.heel[i + 2] - (alongDifference / 2) * rz + (outwardRightM * rx) / rightM;
  const ax = x - startRX;
  const az = z - startRZ;
  const gx = startLX - startRX;
  const gz = startLZ - startRZ;
  const dx = lx - rx;
  const dz = lz - rz;
  const constant = ax * gz - az * gx;
  const slope = ax * dz - az * dx - (rx * gz - rz * gx);
  const bend = -(rx * dz - rz * dx);
  const discriminant = slope * slope - 4 * bend * constant;
  if (Number.isNaN(discriminant)) return SharingStatus.unknown;
  // The lines are apart by |B × G| / |B| at the heels: feet one behind the other, or on each other, tell no share.
  if (!(abs(rx * gz - rz * gx) >= NEAREST_FEET_M * rightM) || !(discriminant >= 0)) return SharingStatus.feetUnfit;
  const root = -(slope + (slope < 0 ? -1 : 1) * sqrt(discriminant)) / 2;
  out.along = constant / root;
  const acrossX = gx + out.along * dx;
  const acrossZ = gz + out.along * dz;
  const across = acrossX * acrossX + acrossZ * acrossZ;
  if (!(across >= NEAREST_FEET_M * NEAREST_FEET_M)) return SharingStatus.feetUnfit;
  out.share = ((ax - out.along * rx) * acrossX + (az - out.along * rz) * acrossZ) / across;
  out.leftX = startLX + out.along * lx;
  out.leftZ = startLZ + out.along * lz;
  out.rightX = startRX + out.along * rx;
  out.rightZ = startRZ + out.along * rz;
  if (out.share >= 0 && out.share <= 1) {
    const under = (foot: FootLine, placeX: number, placeZ: number) => isUnderSole(foot, i, placeX, placeZ);
    const stands = under(left, out.leftX, out.leftZ) && under(right, out.rightX, out.rightZ);
    return stands ? SharingStatus.shared : SharingStatus.outside;
  }
  const onLeft = out.share > 1;
  if (!isUnderSole(onLeft ? left : right, i, x, z)) return SharingStatus.outside;
  out.share = onLeft ? 1 : 0;
  if (onLeft) {
    out.leftX = x;
    out.leftZ = z;
  } else {
    out.rightX = x;
    out.rightZ = z;
  }
  return SharingStatus.shared;
}

/** Whether a place of the floor lies under the sole, taken as a rectangle about the foot's line. */
function isUnderSole({ heel, toe }: FootLine, i: number, x: number, z: number): boolean {
  const ex = toe[i] - heel[i];
  const ez = toe[i + 2] - heel[i + 2];
  const squared = ex * ex + ez * ez;
  const along = ((x - heel[i]) * ex + (z - heel[i + 2]) * ez) / squared;
  const aside = ((x - heel[i]) * ez - (z - heel[i + 2]) * ex) / squared;
  return (
    along >= -SOLE_MARGIN_SHARE &&
    along <= 1 + SOLE_MARGIN_SHARE &&
    Math.abs(aside) <= HALF_BREADTH_SHARE + SOLE_MARGIN_SHARE
  );
}
