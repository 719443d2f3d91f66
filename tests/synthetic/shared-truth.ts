import type { Random } from '../../src/numerics/random.ts';
import { LEG_SHARING_SD } from '../../src/uncertainty/priors.ts';
import { landmarksOf, type VirtualLift } from './lift.ts';
import { loadsAt } from './truth.ts';

/** How a virtual lifter presses: departures from what the analyser assumes, drawn from the sizes that it states. */
export interface DrawnPressing {
  readonly sidewaysM: number;
  readonly outwardM: { readonly left: number; readonly right: number };
  readonly alongDifference: number;
  readonly squeezeShare: number;
  readonly twistShare: number;
}

export function drawnPressing(random: Random): DrawnPressing {
  const draw = (name: keyof typeof LEG_SHARING_SD) => LEG_SHARING_SD[name] * random.normal();
  return {
    sidewaysM: draw('sidewaysM'),
    outwardM: { left: draw('outwardLeftM'), right: draw('outwardRightM') },
    alongDifference: draw('alongDifference'),
    squeezeShare: draw('squeezeShare'),
    twistShare: draw('twistShare'),
  };
}

export interface TrueLegs {
  /** Part of the vertical force on the left foot. */
  readonly shareLeft: number;
  /** Extensor moments of left less right, N·m. */
  readonly hipDifference: number;
  readonly kneeDifference: number;
}

/**
 * The two legs of a lifter who moves alike on both sides and presses as drawn.
 *
 * Share and place along the feet by Newton's method on the two equations of the lever. A leg's own moment is half of that of
 * both, and what its foot's force has about its joint beyond half of the total's: the segments are alike, so they cancel.
 */
export function trueLegsAt(lift: VirtualLift, t: number, pressing: DrawnPressing): TrueLegs {
  const posture = lift.postureAt(t);
  const points = landmarksOf(posture, lift.setup.equipment);
  const { groundForce: force, centreOfPressure } = loadsAt(lift, t);
  const [totalX, totalZ] = [centreOfPressure[0], centreOfPressure[2] + pressing.sidewaysM];
  const foot = (side: 'left' | 'right') => {
    const [heel, big, small] = (['heel', 'big_toe', 'small_toe'] as const).map(
      (name) => points.get(`${side}_${name}`)!,
    );
    const toe = [0, 1, 2].map((a) => big[a] + (small[a] - big[a]) / 3);
    const along = [toe[0] - heel[0], toe[2] - heel[2]];
    const lengthM = Math.hypot(along[0], along[1]);
    const outward =
      side === 'left' ? [along[1] / lengthM, -along[0] / lengthM] : [-along[1] / lengthM, along[0] / lengthM];
    const ahead = (side === 'left' ? 1 : -1) * (pressing.alongDifference / 2);
    return (u: number) =>
      [heel[0], heel[2]].map((start, a) => start + (u + ahead) * along[a] + pressing.outwardM[side] * outward[a]);
  };
  const [left, right] = [foot('left'), foot('right')];
  let [share, u] = [0.5, 0.5];
  for (let step = 0; step < 30; step++) {
    const at = (s: number, v: number) => [0, 1].map((a) => s * left(v)[a] + (1 - s) * right(v)[a]);
    const here = at(share, u);
    const [ds, du] = [at(share + 1, u), at(share, u + 1)].map((next) => next.map((value, a) => value - here[a]));
    const off = [totalX - here[0], totalZ - here[1]];
    const determinant = ds[0] * du[1] - ds[1] * du[0];
    share += (off[0] * du[1] - off[1] * du[0]) / determinant;
    u += (ds[0] * off[1] - ds[1] * off[0]) / determinant;
  }
  const twistN = pressing.twistShare * 2 * share * (1 - share) * force[1];
  const about = (point: readonly number[], place: readonly number[], fx: number, fy: number) =>
    (place[0] - point[0]) * fy + point[1] * fx;
  const difference = (point: readonly number[]) =>
    about(point, left(u), share * force[0] + twistN, share * force[1]) -
    about(point, right(u), (1 - share) * force[0] - twistN, (1 - share) * force[1]);
  return {
    shareLeft: share,
    hipDifference: difference(posture.legs.hip),
    kneeDifference: -difference(posture.legs.knee),
  };
}
