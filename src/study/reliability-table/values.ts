import { scaleOf as measureScale } from '../../lift/measures/index.ts';
import { fromScale, toScale } from '../../numerics/scale.ts';
import { mean } from '../../numerics/statistics.ts';
import type { LoadedRecording } from '../across-loads.ts';
import { WATCHED } from '../set-changes.ts';
import { taskWords } from '../summary.ts';
import type { SessionMeasure } from '../weeks/session-measure.ts';

type Named = Pick<SessionMeasure, 'measure' | 'side' | 'at'>;

/** What is asked about where a study names no outcomes: what is watched over a set, and share and lean at parallel. */
const USUAL: readonly Named[] = [
  { measure: 'hip_share', side: 'both', at: 'parallel' },
  { measure: 'trunk_lean', side: '', at: 'parallel' },
  ...WATCHED,
];

/** The measures of reliability.csv: the usual ones and a study's outcomes, each once. */
export function reliabilityMeasures(outcomes: readonly Named[] = []): Named[] {
  const all = [...outcomes, ...USUAL].map(({ measure, side, at }) => ({ measure, side, at }));
  return [...new Map(all.map((one) => [JSON.stringify(one), one])).values()];
}

/** A recording as its values of these measures: the mean over its full repetitions, of a ratio on its scale; NaN where unknown. */
export function reliabilityValues(
  { recording, record }: Pick<LoadedRecording, 'recording' | 'record'>,
  measures: readonly Named[],
): SessionMeasure[] {
  const full = new Set(record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number));
  return measures.map(({ measure, side, at }): SessionMeasure => {
    const own = record.measures.filter((m) => m.measure === measure && m.side === side && m.at === at);
    const scale = measureScale(measure);
    const values = own
      .filter(({ repetition }) => repetition === 0 || full.has(repetition))
      .map(({ value }) => (scale === null ? value : toScale(scale, value)))
      .filter(Number.isFinite);
    const centre = values.length > 0 ? mean(values) : Number.NaN;
    return {
      athleteId: recording.athlete.id,
      recordingId: recording.id,
      date: recording.date,
      loadKg: recording.load.totalKg,
      liftKind: recording.lift.kind,
      barPosition: recording.load.bar.position,
      condition: taskWords(recording),
      ...{ measure, side, at },
      unit: own[0]?.unit ?? '',
      value: scale === null ? centre : fromScale(scale, centre),
      repetitions: values.length,
      missing: full.size - values.length,
      // Doubt of the measurement takes no part: recordings are held against each other as they are.
      noiseVariance: Number.NaN,
      noiseFreedom: Number.NaN,
      effects: new Map(),
      scatterSquares: 0,
      scatterFreedom: 0,
      reason: '',
    };
  });
}

/** Without the measures that no recording knows. */
export function knownSomewhere(rows: readonly SessionMeasure[]): SessionMeasure[] {
  const nameOf = ({ measure, side, at }: Named) => JSON.stringify([measure, side, at]);
  const somewhere = new Set(rows.filter(({ value }) => Number.isFinite(value)).map(nameOf));
  const units = new Map(rows.filter(({ unit }) => unit !== '').map((row) => [nameOf(row), row.unit]));
  return rows
    .filter((row) => somewhere.has(nameOf(row)))
    .map((row) => ({ ...row, unit: row.unit || (units.get(nameOf(row)) ?? '') }));
}
