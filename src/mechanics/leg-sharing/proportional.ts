import { type Wrench, zeroWrench } from '../wrench.ts';
import { FRICTION, type SharingAssumptions } from './assumptions.ts';
import { type PressedPlaces, SharingStatus } from './pressed-places.ts';

/** Wrenches of both feet; their sum is the total, frame by frame. NaN where not shared. */
export interface SharedGround {
  readonly left: Wrench;
  readonly right: Wrench;
}

/**
 * Forces that cancel between the feet, `3 * frame`: N forward on the left foot and backward on the right one, N to the right on
 * the left foot and to the left on the right one, N·m about the upward vertical given to the left foot and taken from the right.
 */
export type Cancelling = Float64Array;

/** Side of the square that stands inside the circle of friction: |F_x| and |F_z| of each foot at most this share of F_y. */
export const PYRAMID = FRICTION / Math.SQRT2;

/**
 * Shear and free moment in the proportion of the vertical force: each foot's force is parallel to the total one. No squeeze
 * and no twist. The free moment is what the total has about its own centre of pressure.
 *
 * Marks frames in `places.status` whose total asks for more friction than there is: no sharing could hold it.
 */
export function proportionalGround(
  total: Wrench,
  { shareLeft, left, status }: PressedPlaces,
  floorM: number,
): SharedGround {
  const frames = shareLeft.length;
  const [onLeft, onRight] = [zeroWrench(frames), zeroWrench(frames)];
  const { force, moment } = total;
  for (let frame = 0, i = 0; frame < frames; frame++, i += 3) {
    const share = shareLeft[frame];
    const fx = force[i];
    const fy = force[i + 1];
    const fz = force[i + 2];
    if (status[frame] === SharingStatus.shared && !(Math.abs(fx) <= PYRAMID * fy && Math.abs(fz) <= PYRAMID * fy))
      status[frame] = SharingStatus.slips;
    // Free moment of the total about its centre of pressure: M_y − (z F_x − x F_z).
    const z = (floorM * fz - moment[i]) / fy;
    const x = (moment[i + 2] + floorM * fx) / fy;
    const free = moment[i + 1] - (z * fx - x * fz);
    const known = status[frame] === SharingStatus.shared ? 0 : Number.NaN;
    const px = left[i];
    const pz = left[i + 2];
    onLeft.force[i] = share * fx + known;
    onLeft.force[i + 1] = share * fy + known;
    onLeft.force[i + 2] = share * fz + known;
    // A foot that carries nothing has no moment either, wherever its place was taken.
    onLeft.moment[i] = (share === 1 ? moment[i] : share * (floorM * fz - pz * fy)) + known;
    onLeft.moment[i + 1] = (share === 1 ? moment[i + 1] : share * (pz * fx - px * fz + free)) + known;
    onLeft.moment[i + 2] = (share === 1 ? moment[i + 2] : share * (px * fy - floorM * fx)) + known;
    for (let a = i; a < i + 3; a++) {
      onRight.force[a] = force[a] - onLeft.force[a];
      onRight.moment[a] = moment[a] - onLeft.moment[a];
    }
  }
  return { left: onLeft, right: onRight };
}

/** What the assumptions add that cancels between the feet: squeeze, twist, and the free moment's own part. */
export function assumedCancelling(
  total: Wrench,
  { shareLeft }: PressedPlaces,
  { squeezeShare, twistShare, freeMomentM }: SharingAssumptions,
): Cancelling {
  const out = new Float64Array(3 * shareLeft.length);
  if (squeezeShare === 0 && twistShare === 0 && freeMomentM === 0) return out;
  for (let frame = 0, i = 0; frame < shareLeft.length; frame++, i += 3) {
    const size = 2 * shareLeft[frame] * (1 - shareLeft[frame]) * total.force[i + 1];
    out[i] = twistShare * size;
    out[i + 1] = squeezeShare * size;
    out[i + 2] = freeMomentM * size;
  }
  return out;
}

/** Adds `weight` times what cancels: forces at the left centre of pressure C, so that the left moment grows by C × F, the right one shrinks by it. */
export function addCancellingInto(
  { left, right }: SharedGround,
  { left: place }: PressedPlaces,
  cancelling: Cancelling,
  weight: number,
): void {
  for (let i = 0; i < cancelling.length; i += 3) {
    const forward = weight * cancelling[i];
    const sideways = weight * cancelling[i + 1];
    const mx = place[i + 1] * sideways;
    const my = place[i + 2] * forward - place[i] * sideways + weight * cancelling[i + 2];
    const mz = -place[i + 1] * forward;
    left.force[i] += forward;
    left.force[i + 2] += sideways;
    left.moment[i] += mx;
    left.moment[i + 1] += my;
    left.moment[i + 2] += mz;
    right.force[i] -= forward;
    right.force[i + 2] -= sideways;
    right.moment[i] -= mx;
    right.moment[i + 1] -= my;
    right.moment[i + 2] -= mz;
  }
}
