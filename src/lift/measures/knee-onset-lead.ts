import type { PointSeries } from '../../body/point-series.ts';
import {
  ascentComesFirst,
  edgeOfRecording,
  missing,
  needsLandmarks,
  noOnset,
  phaseMissing,
  standingTooShort,
  withinNoise,
  withinOneFrame,
} from '../../messages.ts';
import { mean, standardDeviation } from '../../numerics/statistics.ts';
import { studentQuantile } from '../../numerics/student.ts';
import { absentLandmarks } from '../landmark-points.ts';
import type { Repetition } from '../lift-record.ts';
import {
  ONSET_BASELINE_S,
  ONSET_CORRELATION_S,
  ONSET_SD_FLOOR_M,
  ONSET_SDS,
  ONSET_SPEED_S,
  START_DROP_SHARE,
} from '../limits.ts';
import { HIPS, KNEES, type Lift, type MeasureReading, type RepetitionMeasure } from './measure.ts';
import { dropCrossing, known, unknown } from './readings.ts';

const AT = 'descent';

const INDEPENDENT = ONSET_BASELINE_S / ONSET_CORRELATION_S;
const LEAD_FACTOR = studentQuantile(0.975, INDEPENDENT - 1) * Math.sqrt(1 + 1 / INDEPENDENT);

/**
 * Time by which the knees start forward before the hips start back, seconds.
 *
 * The onset of either is the last time, looking back from 15 % of the drop, at which it is within ONSET_SDS standard
 * deviations of where it stood: what moved and came back before (bracing, breath) is sway. Both are held against the same
 * distance, the larger of the two, so that the noisier point is not called later for its noise. A lead is called only
 * beyond one frame and beyond its 95 % interval, t √((1 + 1/n) ((σ_knee / v_knee)² + (σ_hip / v_hip)²)): the point's own noise
 * and that of its standing mean, over the speed at the onset. n is the number of independent samples that the standing
 * time holds, since the slow part of the noise of smoothed points lasts for about ONSET_CORRELATION_S; t is Student's
 * quantile for n − 1 degrees of freedom.
 */
export const kneeOnsetLead: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_onset_lead',
  unit: 's',
  title: 'Lead of the knees over the hips',
  definition:
    'Time from the onset of forward knee movement to the onset of backward hip movement; positive = the knees start first, negative = the hips do. Unknown where it is not longer than one frame and than its own noise.',
  knownAs: ['knees first', 'hips first'],
  needs: [...HIPS, ...KNEES],
  source: 'onset by multiples of the resting standard deviation; 3 SD and the windows: common practice, no source',
  of: (repetition, lift) => [leadOf(repetition, lift)],
};

function leadOf(repetition: Repetition, lift: Lift): MeasureReading {
  if (repetition.order === 'ascent first') return unknown(AT, null, ascentComesFirst());
  if (!repetition.descent) return unknown(AT, null, phaseMissing(AT));
  const knee = lift.joint('mid_knee');
  const hip = lift.joint('mid_hip');
  if (!knee || !hip) return unknown(AT, null, needsLandmarks(absentLandmarks(lift, [...HIPS, ...KNEES])));

  const rate = lift.loads.frameRateHz;
  const begin = repetition.descent.from;
  const crossing = dropCrossing(lift, repetition, 'descent', 100 * START_DROP_SHARE);
  if (crossing.reason !== '') return unknown(AT, null, crossing.reason, begin);
  const until = Math.floor(crossing.at[0]);

  // The stand ends where the movement leaves it: whatever starts first, the hips sink from there on.
  const standTo = repetition.topFrame + 1;
  const standFrom = standTo - Math.round(ONSET_BASELINE_S * rate);
  if (standFrom < endOfPrevious(repetition, lift)) return unknown(AT, null, standingTooShort(), begin);
  if (lift.table.edge[standFrom]) return unknown(AT, null, edgeOfRecording(), begin);
  const span = Math.max(1, Math.round(ONSET_SPEED_S * rate));
  const onsets = onsetsAfter(knee, hip, standFrom, standTo, until, span);
  if (typeof onsets === 'string') return unknown(AT, null, onsets, begin, until);
  const lead = (onsets.hip.frame - onsets.knee.frame) / rate;
  const halfWidth = (LEAD_FACTOR * Math.hypot(onsets.knee.errorFrames, onsets.hip.errorFrames)) / rate;
  const first = Math.floor(Math.min(onsets.knee.frame, onsets.hip.frame));
  const last = Math.ceil(Math.max(onsets.knee.frame, onsets.hip.frame));
  // A lead of exactly one frame is not called; the margin is for rounding only.
  if (Math.abs(lead) * rate <= 1 + 1e-9) return unknown(AT, null, withinOneFrame(), first, last);
  if (!(Math.abs(lead) > halfWidth)) return unknown(AT, null, withinNoise(), first, last);
  return known(AT, null, lead, first, last);
}

function endOfPrevious(repetition: Repetition, lift: Lift): number {
  const previous = lift.repetitions.find(({ number }) => number === repetition.number - 1);
  return previous?.ascent?.to ?? previous?.bottomFrame ?? 0;
}

interface Onset {
  /** Fractional frame. */
  readonly frame: number;
  /** Standing noise over the speed at the onset, frames. */
  readonly errorFrames: number;
}

/** Onsets of forward knee and backward hip movement after the stand [standFrom, standTo); or why there is none. */
function onsetsAfter(
  knee: PointSeries,
  hip: PointSeries,
  standFrom: number,
  standTo: number,
  until: number,
  span: number,
): { readonly knee: Onset; readonly hip: Onset } | string {
  const forward = displacement(knee, 1, standFrom, standTo, until);
  const backward = displacement(hip, -1, standFrom, standTo, until);
  if (forward.moved.some(Number.isNaN) || backward.moved.some(Number.isNaN)) return missing();
  const threshold = ONSET_SDS * Math.max(forward.sd, backward.sd);
  const kneeOnset = onset(forward, threshold, span, standFrom);
  const hipOnset = onset(backward, threshold, span, standFrom);
  if (!kneeOnset || !hipOnset) return noOnset(kneeOnset ? 'hip' : 'knee');
  return { knee: kneeOnset, hip: hipOnset };
}

interface Displacement {
  /** From the standing mean, in the direction of interest, m; element 0 is the first frame of the stand. */
  readonly moved: Float64Array;
  /** Standard deviation while standing, m, at least ONSET_SD_FLOOR_M. */
  readonly sd: number;
}

function displacement(
  point: PointSeries,
  direction: 1 | -1,
  standFrom: number,
  standTo: number,
  until: number,
): Displacement {
  const x = Float64Array.from({ length: until - standFrom + 1 }, (_, i) => direction * point[3 * (standFrom + i)]);
  const stand = x.subarray(0, standTo - standFrom);
  const centre = mean(stand);
  return { moved: x.map((value) => value - centre), sd: Math.max(ONSET_SD_FLOOR_M, standardDeviation(stand)) };
}

/**
 * Last crossing of the threshold before the end, the speed taken over `span` frames on either side; null where the end is
 * not beyond the threshold or the stand already is.
 */
function onset({ moved, sd }: Displacement, threshold: number, span: number, firstFrame: number): Onset | null {
  let f = moved.length - 1;
  if (!(moved[f] > threshold)) return null;
  while (f > 0 && moved[f - 1] > threshold) f--;
  if (f === 0) return null;
  const before = Math.max(0, f - 1 - span);
  const after = Math.min(moved.length - 1, f + span);
  const perFrame = Math.max(0, (moved[after] - moved[before]) / (after - before));
  return {
    frame: firstFrame + f - 1 + (threshold - moved[f - 1]) / (moved[f] - moved[f - 1]),
    errorFrames: sd / perFrame,
  };
}
