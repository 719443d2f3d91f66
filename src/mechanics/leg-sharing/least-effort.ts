import { type QuadraticProgramme, quadraticProgramme } from '../../numerics/quadratic-programme.ts';
import { LOADED_JOINTS } from '../joint-loads.ts';
import type { Wrench } from '../wrench.ts';
import { FRICTION } from './assumptions.ts';
import type { Feet } from './feet.ts';
import type { LegJoints } from './leg-joints.ts';
import type { LegMoments } from './leg-moments.ts';
import { type PressedPlaces, SharingStatus } from './pressed-places.ts';
import { type Cancelling, PYRAMID } from './proportional.ts';

/** What cancels between the feet, and how the quadratic programme went. */
export interface LeastEffort {
  /** Over the proportional sharing; NaN where no sharing fulfils the conditions. */
  readonly cancelling: Cancelling;
  /** Frames whose least point had to be found at the bounds of friction. */
  readonly framesAtBounds: number;
}

/** A foot pressed evenly along its length L can hold friction · F_y · L / 4 about the vertical: the mean lever of a line turned about its middle. */
const FREE_MOMENT_LEVER_SHARE = 1 / 4;

/**
 * The shear and free moments for which the joints of both legs work least: the least sum of the squares of the moments at both
 * hips, knees and ankles, about all three axes, N²m², joint centre by joint centre.
 *
 * Vertical forces and places of pressure stay as they are; what may change is what cancels between the feet: (p, q, t) = forward
 * and sideways force and free moment of the left foot, taken from the right one, so that the six equations hold whatever they
 * are. Conditions: feet that can only push hold no more shear than a pyramid inside the cone of friction, and no more free moment
 * than a pressed line. The moments are linear in (p, q, t): with r = C − P from joint to the left centre of pressure they grow by
 * t ŷ + r × (p, 0, q) on the left and shrink by it on the right: a quadratic programme of three variables a frame. Moments:
 * those of the proportional sharing.
 */
export function leastEffort(
  joints: LegJoints,
  total: Wrench,
  places: PressedPlaces,
  feet: Feet,
  moments: { readonly left: LegMoments; readonly right: LegMoments },
): LeastEffort {
  const { shareLeft, left: leftPlace, right: rightPlace, status } = places;
  const cancelling = new Float64Array(3 * shareLeft.length).fill(Number.NaN);
  const legs = (['left', 'right'] as const).flatMap((side) =>
    LOADED_JOINTS.flatMap((joint) => {
      const point = joints[`${side}_${joint}`];
      return point ? [{ sign: side === 'left' ? 1 : -1, point, moment: moments[side][joint] }] : [];
    }),
  );
  const programme: QuadraticProgramme = {
    hessian: new Float64Array(9),
    linear: new Float64Array(3),
    rows: new Float64Array(36),
    bounds: new Float64Array(12),
  };
  const { hessian, linear } = programme;
  const least = new Float64Array(3);
  let framesAtBounds = 0;
  for (let frame = 0, i = 0; frame < shareLeft.length; frame++, i += 3) {
    if (status[frame] !== SharingStatus.shared) continue;
    const share = shareLeft[frame];
    if (share === 0 || share === 1) {
      // The other foot can give nothing back.
      cancelling.fill(0, i, i + 3);
      continue;
    }
    hessian.fill(0);
    linear.fill(0);
    for (let k = 0; k < legs.length; k++) {
      const { sign, point, moment } = legs[k];
      const x = leftPlace[i] - point[i];
      const y = leftPlace[i + 1] - point[i + 1];
      const z = leftPlace[i + 2] - point[i + 2];
      const mx = sign * moment[i];
      const my = sign * moment[i + 1];
      const mz = sign * moment[i + 2];
      // Columns of the moment's change: r × x̂ = (0, z, −y), r × ẑ = (y, −x, 0), ŷ.
      hessian[0] += z * z + y * y;
      hessian[1] -= z * x;
      hessian[2] += z;
      hessian[4] += y * y + x * x;
      hessian[5] -= x;
      hessian[8] += 1;
      linear[0] -= z * my - y * mz;
      linear[1] -= y * mx - x * my;
      linear[2] -= my;
    }
    hessian[3] = hessian[1];
    hessian[6] = hessian[2];
    hessian[7] = hessian[5];
    if (!Number.isFinite(hessian[0] + hessian[4] + linear[0] + linear[1] + linear[2])) continue;
    conditions(i, share);
    if (solveFree(least, hessian, linear) && fulfils(least, programme)) cancelling.set(least, i);
    else {
      framesAtBounds++;
      if (quadraticProgramme(least, programme)) cancelling.set(least, i);
    }
  }
  return { cancelling, framesAtBounds };

  /** |shear| and |free moment| of each foot within friction, two rows each: A x ≥ b. */
  function conditions(i: number, share: number): void {
    const { rows, bounds } = programme;
    const { force, moment } = total;
    const fx = force[i];
    const fy = force[i + 1];
    const fz = force[i + 2];
    const dx = leftPlace[i] - rightPlace[i];
    const dz = leftPlace[i + 2] - rightPlace[i + 2];
    const px = share * leftPlace[i] + (1 - share) * rightPlace[i];
    const pz = share * leftPlace[i + 2] + (1 - share) * rightPlace[i + 2];
    const free = moment[i + 1] - (pz * fx - px * fz);
    for (let foot = 0; foot < 2; foot++) {
      const part = foot === 0 ? share : 1 - share;
      const sign = foot === 0 ? 1 : -1;
      const lengthM = foot === 0 ? feet.left.lengthM : feet.right.lengthM;
      for (let kind = 0; kind < 3; kind++) {
        const most = (kind === 2 ? FRICTION * FREE_MOMENT_LEVER_SHARE * lengthM : PYRAMID) * part * fy;
        const usual = part * (kind === 0 ? fx : kind === 1 ? fz : free);
        for (let way = 0; way < 2; way++) {
          const row = 3 * (6 * foot + 2 * kind + way);
          const turn = way === 0 ? sign : -sign;
          rows[row] = kind === 0 ? turn : 0;
          rows[row + 1] = kind === 1 ? turn : 0;
          rows[row + 2] = kind === 2 ? turn : 0;
          if (kind === 2 && foot === 1) {
            // The right foot also takes the couple of the shears: (C_left − C_right) × (p, 0, q), upward part.
            rows[row] = turn * dz;
            rows[row + 1] = -turn * dx;
          }
          bounds[row / 3] = -most - (way === 0 ? usual : -usual);
        }
      }
    }
  }
}

/** The least point without conditions: D x = d by Cramer's rule; false where D is as good as singular. */
function solveFree(out: Float64Array, d: Float64Array, b: Float64Array): boolean {
  const c00 = d[4] * d[8] - d[5] * d[7];
  const c01 = d[5] * d[6] - d[3] * d[8];
  const c02 = d[3] * d[7] - d[4] * d[6];
  const determinant = d[0] * c00 + d[1] * c01 + d[2] * c02;
  if (!(determinant > 1e-12 * d[0] * d[4] * d[8])) return false;
  out[0] = (b[0] * c00 + b[1] * c01 + b[2] * c02) / determinant;
  out[1] = (b[0] * c01 + b[1] * (d[0] * d[8] - d[2] * d[6]) + b[2] * (d[1] * d[6] - d[0] * d[7])) / determinant;
  out[2] = (b[0] * c02 + b[1] * (d[1] * d[6] - d[0] * d[7]) + b[2] * (d[0] * d[4] - d[1] * d[3])) / determinant;
  return true;
}

function fulfils(x: Float64Array, { rows, bounds }: QuadraticProgramme): boolean {
  for (let k = 0; k < bounds.length; k++) {
    if (rows[3 * k] * x[0] + rows[3 * k + 1] * x[1] + rows[3 * k + 2] * x[2] < bounds[k]) return false;
  }
  return true;
}
