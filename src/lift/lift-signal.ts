import { measuredLength, type PointSeries } from '../body/point-series.ts';
import type { Recording } from '../capture/recording.ts';
import type { JointLoads } from '../mechanics/joint-loads.ts';
import { mean } from '../numerics/statistics.ts';
import type { LiftPoints } from './landmark-points.ts';
import { FEET_TRAVEL_M, FEET_TRAVEL_S } from './limits.ts';
import { perFrame } from './per-frame.ts';

/** What repetitions are found in: one height a frame, and whether the feet stand still. */
export interface LiftSignal {
  readonly frameRateHz: number;
  readonly frames: number;
  readonly startS: number;
  /** The height that the lift moves, m above the floor; NaN where not known. */
  readonly height: Float64Array;
  readonly heightOf: 'hips' | 'shoulders';
  /** Mid-hip height, m above the floor. */
  readonly hipHeight: Float64Array;
  /** Hip to ankle of a straight leg, m. */
  readonly legLengthM: number;
  readonly ankles: readonly PointSeries[];
}

/**
 * Heights and feet of a recording; null where hips or leg length are not known.
 *
 * The height is that of the hips, or that of the shoulders where the bar is in the hands: a hip hinge lowers the
 * shoulders by the length of the trunk and the hips by less than a walk can.
 */
export function liftSignal(
  loads: JointLoads,
  recording: Recording,
  points: Pick<LiftPoints, 'joint'>,
): LiftSignal | null {
  const { motion } = loads;
  const hip = points.joint('mid_hip');
  const legLengthM = straightLegLength(points);
  if (!hip || !Number.isFinite(legLengthM)) return null;
  const shoulder = recording.load.bar.position === 'hands' ? points.joint('mid_shoulder') : null;
  const floor = motion.trajectories.floorHeightM;
  const heightAbove = (point: PointSeries) => perFrame(loads.frames, (f) => point[3 * f + 1] - floor);
  const hipHeight = heightAbove(hip);
  return {
    frameRateHz: loads.frameRateHz,
    frames: loads.frames,
    startS: loads.startS,
    height: shoulder ? heightAbove(shoulder) : hipHeight,
    heightOf: shoulder ? 'shoulders' : 'hips',
    hipHeight,
    legLengthM,
    ankles: (['left_ankle', 'right_ankle'] as const)
      .map((name) => points.joint(name))
      .filter((point) => point !== null),
  };
}

/** Thigh plus shank, medians over the recording, mean of the sides that are known, m; NaN where neither is. */
function straightLegLength(points: Pick<LiftPoints, 'joint'>): number {
  const legs = (['left', 'right'] as const).flatMap((side) => {
    const [hip, knee, ankle] = (['hip', 'knee', 'ankle'] as const).map((part) => points.joint(`${side}_${part}`));
    return hip && knee && ankle ? [measuredLength(hip, knee).lengthM + measuredLength(knee, ankle).lengthM] : [];
  });
  return mean(legs);
}

/** How far the ankle that moved most lies from where it is at `reference`, m in the floor plane; NaN where not known. */
export function feetTravel(signal: LiftSignal, frame: number, reference: number): number {
  let travel = Number.NaN;
  for (const ankle of signal.ankles) {
    const x = ankle[3 * frame] - ankle[3 * reference];
    const z = ankle[3 * frame + 2] - ankle[3 * reference + 2];
    const moved = Math.sqrt(x * x + z * z);
    if (!Number.isNaN(moved) && !(moved <= travel)) travel = moved;
  }
  return travel;
}

/**
 * The stretch around `frame` during which both feet stay where they are: half-open [from, to) within [first, last).
 * A foot has left once it stays further than FEET_TRAVEL_M for FEET_TRAVEL_S.
 */
export function plantedAround(signal: LiftSignal, frame: number, first: number, last: number): [number, number] {
  const reference = nearestKnown(signal, frame, first, last);
  const enough = Math.max(1, Math.round(FEET_TRAVEL_S * signal.frameRateHz));
  const reach = (step: 1 | -1, end: number) => {
    let away = 0;
    for (let f = frame; f !== end; f += step) {
      away = feetTravel(signal, f, reference) > FEET_TRAVEL_M ? away + 1 : 0;
      if (away >= enough) return f - step * away;
    }
    return end - step;
  };
  return [reach(-1, first - 1), reach(1, last) + 1];
}

/** Whether the feet leave their place anywhere in [first, last), seen from where they are at `frame`. */
export function feetLeave(signal: LiftSignal, frame: number, first: number, last: number): boolean {
  const [from, to] = plantedAround(signal, frame, first, last);
  return from > first || to < last;
}

/** The frame nearest to `frame` in [first, last) at which an ankle is known; `frame` where there is none. */
function nearestKnown(signal: LiftSignal, frame: number, first: number, last: number): number {
  for (let away = 0; away < last - first; away++) {
    for (const f of [frame - away, frame + away]) {
      if (f >= first && f < last && !Number.isNaN(feetTravel(signal, f, f))) return f;
    }
  }
  return frame;
}
