import type { BodyMotion } from '../body/body-motion.ts';
import { armsNotPlaced, barBetweenHandsAndShoulders, handsNotApart } from '../messages/mechanics.ts';
import { bodiesOf, type Demand, demandAdder, zeroDemand } from './body-wrenches.ts';
import { type Cut, extensorMoment } from './cut-moments.ts';
import type { MomentSeries } from './loaded-joints.ts';
import { addWrenchInto, copyWrench, type Wrench } from './wrench.ts';

export const ARM_LOADED_JOINTS = ['shoulder', 'elbow'] as const;
export type ArmLoadedJoint = (typeof ARM_LOADED_JOINTS)[number];

/** Load of one arm's joint. */
export interface ArmLoad {
  readonly joint: ArmLoadedJoint;
  readonly side: 'left' | 'right';
  /** What the part nearer to the trunk gives the arm beyond the joint; null where it is not known. */
  readonly cut: Cut | null;
  /** About lab Z, extensor positive (shoulder: the arm backward and down); NaN where not known. */
  readonly moment: MomentSeries;
  /** Why it is unknown where it is; '' where nothing general can be said. */
  readonly reason: string;
}

/**
 * Loads at shoulders and elbows, summed from the hands up.
 *
 * The moment that the upper arm (trunk) gives the forearm (arm): an arm that hangs forward, or holds something in front,
 * needs flexors, which is negative here. A bar in the hands is shared between them by the lever rule along the line from
 * hand to hand, without couples at the grips; its moment of inertia then has no part. Where the bar rests on the shoulders,
 * how much of it the hands take is not known, and neither are these moments.
 */
export function armLoads(motion: BodyMotion): readonly ArmLoad[] {
  const bodies = new Map(bodiesOf(motion).map((body) => [body.name, body]));
  const addDemand = demandAdder(motion);
  const barbell = motion.barbell;
  const inHands = motion.barPosition === 'hands' || motion.barPosition === 'overhead';
  const hands = { left: bodies.get('left_hand')?.centre, right: bodies.get('right_hand')?.centre };
  const bar = barbell && inHands ? zeroDemand(motion.frames) : null;
  if (bar && barbell) addDemand(bar, barbell);

  return (['left', 'right'] as const).flatMap((side) => {
    const sum = zeroDemand(motion.frames);
    const parts = { elbow: ['hand', 'forearm'], shoulder: ['upper_arm'] } as const;
    return (['elbow', 'shoulder'] as const).map((joint): ArmLoad => {
      const point = motion.joints[`${side}_${joint}`];
      for (const part of parts[joint]) {
        const body = bodies.get(`${side}_${part}`);
        if (body) addDemand(sum, body);
      }
      if (joint === 'elbow' && bar && barbell && hands.left && hands.right)
        addShareOfBarInto(sum, bar, barbell.centre, hands.left, hands.right, side);
      const onShoulders = barbell !== null && !inHands;
      const placed = point !== undefined && hands.left !== undefined && hands.right !== undefined;
      const cut = onShoulders || !placed ? null : { total: copyWrench(sum.total), gravity: copyWrench(sum.gravity) };
      return { joint, side, cut, moment: momentAt(cut, point, motion.frames), reason: reasonFor(onShoulders, placed) };
    });
  });

  function reasonFor(onShoulders: boolean, placed: boolean): string {
    if (onShoulders) return barBetweenHandsAndShoulders();
    if (!placed) return armsNotPlaced();
    return barbell ? handsNotApart() : '';
  }
}

/** About −Z: a moment on the outer part about +Z lifts it forward, which is flexion. */
function momentAt(cut: Cut | null, point: Float64Array | undefined, frames: number): MomentSeries {
  if (cut) return extensorMoment(cut, point, -1, frames);
  const unknown = new Float64Array(frames).fill(Number.NaN);
  return { total: unknown, gravity: unknown, inertial: unknown };
}

/** Hands closer than this have no lever to share a bar by, metres: common practice, no source. */
const LEAST_HANDS_APART_M = 0.1;

/** The hand's part of the bar's force, acting at the hand. */
function addShareOfBarInto(
  sum: Demand,
  bar: Demand,
  centre: Float64Array,
  left: Float64Array,
  right: Float64Array,
  side: 'left' | 'right',
): void {
  const hand = side === 'left' ? left : right;
  const shares = new Float64Array(centre.length / 3);
  for (let f = 0, i = 0; f < shares.length; f++, i += 3) {
    const [x, y, z] = [right[i] - left[i], right[i + 1] - left[i + 1], right[i + 2] - left[i + 2]];
    const apart2 = x * x + y * y + z * z;
    const reach = (centre[i] - left[i]) * x + (centre[i + 1] - left[i + 1]) * y + (centre[i + 2] - left[i + 2]) * z;
    const ofRight = apart2 >= LEAST_HANDS_APART_M ** 2 ? reach / apart2 : Number.NaN;
    shares[f] = side === 'right' ? ofRight : 1 - ofRight;
  }
  addWrenchInto(sum.total, forceAt(bar.total, hand, shares));
  addWrenchInto(sum.gravity, forceAt(bar.gravity, hand, shares));
}

/** A share of a force, moved to a point without its couple. */
function forceAt({ force }: Wrench, point: Float64Array, shares: Float64Array): Wrench {
  const out = { force: new Float64Array(force.length), moment: new Float64Array(force.length) };
  for (let f = 0, i = 0; f < shares.length; f++, i += 3) {
    const [fx, fy, fz] = [shares[f] * force[i], shares[f] * force[i + 1], shares[f] * force[i + 2]];
    out.force[i] = fx;
    out.force[i + 1] = fy;
    out.force[i + 2] = fz;
    out.moment[i] = point[i + 1] * fz - point[i + 2] * fy;
    out.moment[i + 1] = point[i + 2] * fx - point[i] * fz;
    out.moment[i + 2] = point[i] * fy - point[i + 1] * fx;
  }
  return out;
}
