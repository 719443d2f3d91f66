import chisquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import type { Random } from '../../numerics/random.ts';
import { orthonormalColumns, without } from '../statistics/curves/freedman-lane.ts';
import type { PilotRecording } from './pilot-file.ts';

/** A mean square: an estimate `value` known with `freedom` degrees of freedom; freedom 0: not in the pilot. */
export interface MeanSquare {
  readonly value: number;
  readonly freedom: number;
}

/**
 * Spread of a pilot on three levels: athletes, recordings of one athlete, repetitions of one recording. Mean squares of recording
 * means and athlete means, each with what the levels below add to it.
 */
export interface PilotSpread {
  readonly athletes: number;
  readonly recordings: number;
  readonly conditions: number;
  /** Repetitions within recordings: expects σ²_repetition. */
  readonly repetition: MeanSquare;
  /** Recording means within athletes, mean differences between conditions taken out: expects σ²_recording + `repetitionInRecording` σ²_repetition. */
  readonly recording: MeanSquare;
  readonly repetitionInRecording: number;
  /** Athlete means: expects σ²_athlete + `recordingInAthlete` σ²_recording + `repetitionInAthlete` σ²_repetition. */
  readonly athlete: MeanSquare;
  readonly recordingInAthlete: number;
  readonly repetitionInAthlete: number;
}

/** Variances of one draw, or of the estimate. `recording` holds `athlete` too where the pilot has one recording an athlete. */
export interface Components {
  readonly athlete: number;
  readonly recording: number;
  readonly repetition: number;
}

/**
 * Mean squares of the pilot. Of a balanced pilot they are those of the nested analysis of variance (up to a factor); of an unbalanced
 * one the analysis of unweighted means (Searle, Casella & McCulloch 1992, Variance Components, § 4.4 and 5.4; from memory): every
 * recording counts once within its athlete, every athlete once.
 */
export function pilotSpread(recordings: readonly PilotRecording[]): PilotSpread {
  const ids = [...new Set(recordings.map(({ athlete }) => athlete))];
  const conditions = [...new Set(recordings.map(({ condition }) => condition))];
  const indicator = (is: (one: PilotRecording) => boolean) => Float64Array.from(recordings, (one) => (is(one) ? 1 : 0));
  const ofAthletes = orthonormalColumns(ids.map((id) => indicator(({ athlete }) => athlete === id)));
  const both = orthonormalColumns([
    ...ids.map((id) => indicator(({ athlete }) => athlete === id)),
    ...conditions.slice(1).map((name) => indicator(({ condition }) => condition === name)),
  ]);
  const means = Float64Array.from(recordings, ({ mean }) => mean);
  const within = without(means, both);
  const freedom = recordings.length - both.length;
  let fromRepetitions = 0;
  recordings.forEach(({ repetitions }, i) => {
    const taken = both.reduce((sum, column) => sum + column[i] ** 2, 0);
    fromRepetitions += (1 - taken) / repetitions;
  });
  const level = athleteLevel(recordings, ids, conditionFree(means, within, ofAthletes, both));
  const squares = recordings.reduce((sum, one) => sum + one.squares, 0);
  const overRepetitions = recordings.reduce((sum, one) => sum + one.freedom, 0);
  return {
    athletes: ids.length,
    recordings: recordings.length,
    conditions: conditions.length,
    repetition: { value: overRepetitions > 0 ? squares / overRepetitions : 0, freedom: overRepetitions },
    recording: { value: freedom > 0 ? sumOfSquares(within) / freedom : 0, freedom },
    repetitionInRecording: freedom > 0 ? fromRepetitions / freedom : 0,
    ...level,
  };
}

/** Recording means less the fitted effect of their condition, which has no mean over an athlete-balanced pilot. */
function conditionFree(
  means: Float64Array,
  within: Float64Array,
  ofAthletes: readonly Float64Array[],
  both: readonly Float64Array[],
): Float64Array {
  if (both.length === ofAthletes.length) return means;
  // What conditions explain beyond athletes, as deviations within athletes.
  const deviations = without(means, ofAthletes);
  return means.map((mean, i) => mean - (deviations[i] - within[i]));
}

function athleteLevel(recordings: readonly PilotRecording[], ids: readonly string[], values: Float64Array) {
  let [recordingPart, repetitionPart] = [0, 0];
  const means = ids.map((id) => {
    const own = [...values.keys()].filter((i) => recordings[i].athlete === id);
    recordingPart += 1 / own.length;
    repetitionPart += own.reduce((sum, i) => sum + 1 / recordings[i].repetitions, 0) / own.length ** 2;
    return own.reduce((sum, i) => sum + values[i], 0) / own.length;
  });
  const mean = means.reduce((sum, value) => sum + value, 0) / means.length;
  const squares = means.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return {
    athlete: { value: squares / Math.max(1, ids.length - 1), freedom: ids.length - 1 },
    recordingInAthlete: recordingPart / ids.length,
    repetitionInAthlete: repetitionPart / ids.length,
  };
}

const sumOfSquares = (values: Float64Array): number => values.reduce((sum, value) => sum + value * value, 0);

/** Variances that the mean squares say; below 0 is 0. */
export function componentsOf(
  spread: PilotSpread,
  [repetition, recording, athlete]: readonly [number, number, number] = [
    spread.repetition.value,
    spread.recording.value,
    spread.athlete.value,
  ],
): Components {
  const ofRecording =
    spread.recording.freedom > 0 ? Math.max(0, recording - spread.repetitionInRecording * repetition) : 0;
  const ofAthlete = Math.max(
    0,
    athlete - spread.recordingInAthlete * ofRecording - spread.repetitionInAthlete * repetition,
  );
  return { athlete: ofAthlete, recording: ofRecording, repetition };
}

/**
 * Draws of the variances given the pilot: each true mean square is freedom · estimate / χ² (the posterior under the usual flat prior of
 * log σ, and the fiducial distribution), independent of each other. Few pilots give a long tail: that is what they do not say.
 */
export function drawComponents(spread: PilotSpread, draws: number, random: Random): Components[] {
  const square = ({ value, freedom }: MeanSquare) =>
    freedom > 0 ? (freedom * value) / chisquareQuantile(random.uniform(), freedom) : 0;
  return Array.from({ length: draws }, () =>
    componentsOf(spread, [square(spread.repetition), square(spread.recording), square(spread.athlete)]),
  );
}

/**
 * Variance of what the t test sees of one athlete: paired, the difference of two recordings (the athlete's level cancels); groups,
 * the mean of one recording. `repetitions` 0: as in the pilot, whose repetition noise was not told apart.
 */
export function varianceOfOne(
  { athlete, recording, repetition }: Components,
  design: 'paired' | 'groups',
  repetitions: number,
): number {
  const one = recording + (repetitions > 0 ? repetition / repetitions : 0);
  return design === 'paired' ? 2 * one : athlete + one;
}
