import { type JointLoads, LOADED_JOINTS, type LoadedJoint, type MomentSeries } from '../mechanics/joint-loads.ts';
import {
  gravityPartUnknown,
  needsForcePlates,
  needsUpperBodyOrForcePlates,
  ratioUndefined,
  shareUndefined,
  supportUndefined,
} from '../messages.ts';
import type { FrameQuantity, Side } from './lift-record.ts';
import { RATIO_KNEE_SHARE, SHARE_FLOOR_NM_PER_KG } from './limits.ts';
import { perFrame } from './per-frame.ts';
import { ankleShare, hipKneeRatio, hipShare } from './shares.ts';

type Joints = Readonly<Record<LoadedJoint, MomentSeries>>;

/**
 * Moments and what is made of them, N·m and 1, extensor positive.
 *
 * `both` (always given): hip, knee, ankle moment with gravity and inertial parts, by the primary way; support moment;
 * hip_share, hip_share_gravity, hip_minus_knee, hip_knee_ratio, ankle_share. `left`, `right`: the same, from measured
 * ground forces. Where both ways exist the moments from below (or above, where below is primary) stand beside them.
 */
export function momentQuantities(loads: JointLoads): FrameQuantity[] {
  const { fromAbove, fromBelow, primary } = loads;
  const both = primary === 'above' ? fromAbove : primary === 'below' ? (fromBelow?.both ?? null) : null;
  const out = sideQuantities(loads, both, 'both', needsUpperBodyOrForcePlates());
  for (const side of ['left', 'right'] as const) {
    const leg = fromBelow?.[side];
    if (leg) out.push(...sideQuantities(loads, leg, side, needsForcePlates()));
  }
  if (fromAbove && fromBelow?.both) {
    for (const joint of LOADED_JOINTS) {
      out.push(moment(`${joint}_moment_from_below`, 'both', fromBelow.both[joint].total));
      if (primary === 'below') out.push(moment(`${joint}_moment_from_above`, 'both', fromAbove[joint].total));
    }
  }
  return out;
}

function sideQuantities(loads: JointLoads, joints: Joints | null, side: Side, needs: string): FrameQuantity[] {
  // One leg carries about half: its floor is half of that of both.
  const massKg = (loads.motion.bodyMassKg + loads.motion.barMassKg) * (side === 'both' ? 1 : 0.5);
  const { hip, knee, ankle } = joints ?? unknownJoints(loads.frames);
  const of = (make: (f: number) => number) => perFrame(loads.frames, make);
  const total = { hip: hip.total, knee: knee.total, ankle: ankle.total };
  const dimensionless = (quantity: string, values: Float64Array, reason: string): FrameQuantity => ({
    quantity,
    side,
    unit: '',
    values,
    reason: joints ? reason : needs,
  });
  const moments = LOADED_JOINTS.flatMap((joint) => {
    const series = { hip, knee, ankle }[joint];
    return [
      moment(`${joint}_moment`, side, series.total, joints ? undefined : needs),
      moment(`${joint}_moment_gravity`, side, series.gravity, joints ? partReason(series) : needs),
      moment(`${joint}_moment_inertial`, side, series.inertial, joints ? partReason(series) : needs),
    ];
  });
  const shareReason = shareUndefined(SHARE_FLOOR_NM_PER_KG);
  return [
    ...moments,
    moment(
      'support_moment',
      side,
      of((f) => total.hip[f] + total.knee[f] + total.ankle[f]),
      joints ? undefined : needs,
    ),
    moment(
      'hip_minus_knee',
      side,
      of((f) => total.hip[f] - total.knee[f]),
      joints ? undefined : needs,
    ),
    dimensionless(
      'hip_share',
      of((f) => hipShare(total.hip[f], total.knee[f], massKg)),
      shareReason,
    ),
    dimensionless(
      'hip_share_gravity',
      of((f) => hipShare(hip.gravity[f], knee.gravity[f], massKg)),
      shareReason,
    ),
    dimensionless(
      'hip_knee_ratio',
      of((f) => hipKneeRatio(total.hip[f], total.knee[f], massKg)),
      ratioUndefined(RATIO_KNEE_SHARE),
    ),
    dimensionless(
      'ankle_share',
      of((f) => ankleShare(total.hip[f], total.knee[f], total.ankle[f], massKg)),
      supportUndefined(SHARE_FLOOR_NM_PER_KG),
    ),
  ];
}

function moment(quantity: string, side: Side, values: Float64Array, reason?: string): FrameQuantity {
  return { quantity, side, unit: 'nm', values, reason };
}

/** Why gravity and inertial part are unknown where the moment comes from measured forces. */
function partReason({ gravity }: MomentSeries): string | undefined {
  return gravity.every(Number.isNaN) ? gravityPartUnknown() : undefined;
}

function unknownJoints(frames: number): Joints {
  const unknown = new Float64Array(frames).fill(Number.NaN);
  const series: MomentSeries = { total: unknown, gravity: unknown, inertial: unknown };
  return { hip: series, knee: series, ankle: series };
}
