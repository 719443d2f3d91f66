import { MEASURES } from '../../lift/measures/index.ts';
import { mean } from '../../numerics/statistics.ts';
import type { LoadedRecording } from '../across-loads.ts';
import type { SetMean } from '../set-means.ts';
import { taskWords } from '../summary.ts';
import type { SessionMeasure } from './session-measure.ts';

/** What a body or a stance is does not belong to a week; what a set loses does. */
const OF_THE_BODY: ReadonlySet<string> = new Set(
  MEASURES.flatMap(({ name, scope }) =>
    scope === 'repetition' || name === 'velocity_loss' || name === 'depth_loss' ? [] : [name],
  ),
);

/**
 * The set means of analysed recordings as sessions: date, load and athlete from the recording's manifest, doubt from the set
 * mean, scatter and missing repetitions from the record. Measures of the body (limb ratios) are left out. The value is that of means.csv.
 */
export function sessionMeasuresOf(recordings: readonly LoadedRecording[]): SessionMeasure[] {
  return recordings.flatMap((one) =>
    one.means.filter(({ measure }) => !OF_THE_BODY.has(measure)).map((of) => sessionMeasure(one, of)),
  );
}

function sessionMeasure({ recording, record }: LoadedRecording, of: SetMean): SessionMeasure {
  const full = new Set(record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number));
  const own = record.measures.filter((m) => m.measure === of.measure && m.side === of.side && m.at === of.at);
  const values = own.filter(({ repetition }) => full.has(repetition)).map(({ value }) => value);
  const known = values.filter(Number.isFinite);
  const centre = known.length > 0 ? mean(known) : of.value;
  return {
    athleteId: recording.athlete.id,
    recordingId: recording.id,
    date: recording.date,
    loadKg: recording.load.totalKg,
    liftKind: recording.lift.kind,
    barPosition: recording.load.bar.position,
    condition: taskWords(recording),
    measure: of.measure,
    side: of.side,
    at: of.at,
    unit: of.unit,
    value: of.value,
    repetitions: of.repetitions,
    missing: values.length - known.length,
    noiseVariance: of.noiseVariance,
    noiseFreedom: of.noiseFreedom,
    effects: of.effects,
    scatterSquares: known.reduce((sum, value) => sum + (value - centre) ** 2, 0),
    scatterFreedom: Math.max(0, known.length - 1),
    reason: of.reason,
  };
}
