import { GRAVITY_M_PER_S2 } from '../../numerics/constants.ts';
import { markEdgesInto } from '../../reconstruction/edge-frames.ts';
import type { JointLoads } from '../joint-loads.ts';

/** What the movement needs from the floor, less what the force plates gave: above minus measured, one value or triple a frame. */
export interface ResidualSeries {
  readonly frames: number;
  /** N, lab axes, `3 * frame`. */
  readonly force: Float64Array;
  /** About mid-hip, N·m, lab axes, `3 * frame`; about the vertical NaN unless each foot was measured alone. */
  readonly momentAboutMidHip: Float64Array;
  /** Fore–aft centre of pressure, metres. */
  readonly pressureForwardM: Float64Array;
  /** Lean of the line mid-hip to mid-shoulder, degrees, forward positive. */
  readonly trunkLeanDeg: Float64Array;
  /** Largest measured force and mean height of the centre of mass above the floor: what recommended limits are shares of. */
  readonly largestForceN: number;
  readonly centreHeightM: number;
  /** Weight of the lifter without a bar, N. */
  readonly bodyWeightN: number;
  /** 1 where the frame counts: both ways known, and no edge of a filter. */
  readonly counts: Uint8Array;
}

/**
 * The residual of every frame; null without force plates under both feet or without an upper body.
 *
 * A wrench is a force through its centre of pressure and a moment about the vertical, so the moments about the two level axes
 * follow from force and centre of pressure alone. The difference of the vertical moment needs the cuts of both legs.
 */
export function residualSeries(loads: JointLoads): ResidualSeries | null {
  const { groundForce, centreOfPressure, measuredForce, measuredCentreOfPressure, motion, frames, centreOfMass } =
    loads;
  const midHip = motion.joints.mid_hip;
  const trunk = motion.segments.find(({ name }) => name === 'trunk');
  if (!groundForce || !centreOfPressure || !measuredForce || !measuredCentreOfPressure) return null;
  if (!midHip || !trunk || !centreOfMass) return null;
  const force = new Float64Array(3 * frames);
  const moment = new Float64Array(3 * frames);
  const pressureForwardM = new Float64Array(frames);
  const trunkLeanDeg = new Float64Array(frames);
  for (let frame = 0, i = 0; frame < frames; frame++, i += 3) {
    for (let k = 0; k < 3; k++) force[i + k] = groundForce[i + k] - measuredForce[i + k];
    addMomentInto(moment, i, centreOfPressure, midHip, groundForce, 1);
    addMomentInto(moment, i, measuredCentreOfPressure, midHip, measuredForce, -1);
    moment[i + 1] = Number.NaN;
    pressureForwardM[frame] = centreOfPressure[i] - measuredCentreOfPressure[i];
    trunkLeanDeg[frame] = (Math.atan2(trunk.axis[i], trunk.axis[i + 1]) * 180) / Math.PI;
  }
  fillVerticalMoment(moment, loads, midHip);
  const counts = countedFrames(loads, force, pressureForwardM);
  let largestForceN = 0;
  let height = 0;
  let n = 0;
  for (let frame = 0, i = 0; frame < frames; frame++, i += 3) {
    if (!counts[frame]) continue;
    largestForceN = Math.max(largestForceN, Math.hypot(measuredForce[i], measuredForce[i + 1], measuredForce[i + 2]));
    height += centreOfMass[i + 1] - motion.trajectories.floorHeightM;
    n++;
  }
  return {
    frames,
    force,
    momentAboutMidHip: moment,
    pressureForwardM,
    trunkLeanDeg,
    largestForceN,
    centreHeightM: n > 0 ? height / n : Number.NaN,
    bodyWeightN: motion.bodyMassKg * GRAVITY_M_PER_S2,
    counts,
  };
}

/** Adds `sign` times the moment about P of a force through C, at offset i. */
function addMomentInto(out: Float64Array, i: number, c: Float64Array, p: Float64Array, f: Float64Array, sign: 1 | -1) {
  const [x, y, z] = [c[i] - p[i], c[i + 1] - p[i + 1], c[i + 2] - p[i + 2]];
  out[i] += sign * (y * f[i + 2] - z * f[i + 1]);
  out[i + 1] += sign * (z * f[i] - x * f[i + 2]);
  out[i + 2] += sign * (x * f[i + 1] - y * f[i]);
}

/** Cuts at the hips, from above less both from below: their difference is the ground's, moments about the lab's origin. */
function fillVerticalMoment(moment: Float64Array, { cuts }: JointLoads, p: Float64Array): void {
  const { above, left, right } = cuts;
  if (!above || !left || !right) return;
  const about = ({ force, moment: m }: { force: Float64Array; moment: Float64Array }, i: number) =>
    m[i + 1] - (p[i + 2] * force[i] - p[i] * force[i + 2]);
  for (let i = 0; i < moment.length; i += 3)
    moment[i + 1] = about(above.hip.total, i) - about(left.hip.total, i) - about(right.hip.total, i);
}

function countedFrames({ motion, measuredForce }: JointLoads, force: Float64Array, pressure: Float64Array): Uint8Array {
  const edge = new Uint8Array(motion.frames);
  markEdgesInto(edge, motion.trajectories);
  markForceEdgesInto(edge, motion, measuredForce!);
  return edge.map((is, k) =>
    is || !Number.isFinite(force[3 * k] + force[3 * k + 1] + force[3 * k + 2] + pressure[k]) ? 0 : 1,
  );
}

/** Frames within one filter memory of a gap or an end of the measured force: the force plates pass the trunk's filter. */
function markForceEdgesInto(
  edge: Uint8Array,
  { trajectories, frameRateHz }: JointLoads['motion'],
  force: Float64Array,
) {
  const { landmarks, cutoffHz } = trajectories;
  const hz = cutoffHz[landmarks.indexOf('left_hip')] ?? Number.NaN;
  if (!Number.isFinite(hz)) return;
  const memory = Math.ceil(frameRateHz / hz);
  for (let k = 0; k < edge.length; k++) {
    const known = Number.isFinite(force[3 * k + 1]);
    if (known && k > 0 && k < edge.length - 1) continue;
    for (let j = Math.max(0, k - memory); j <= Math.min(edge.length - 1, k + memory); j++) edge[j] = 1;
  }
}
