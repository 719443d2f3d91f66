import { DataError, UsageError } from '../errors.ts';

/** The file is neither measures.csv nor means.csv. */
export const pilotFileUnknown = (file: string, columns: readonly string[]) =>
  new DataError(
    'sample-size-file-unknown',
    `${file}: neither a measures.csv (columns repetition, value) nor a means.csv (columns repetitions, mean, between_sd) of kneeward analyse. It has: ${columns.join(', ')}.`,
    { file, columns: columns.join(' ') },
  );

/** No known value of the measure at this place. */
export const pilotMeasureMissing = (
  file: string,
  measure: string,
  at: string,
  side: string,
  meant: string | null,
  there: readonly string[],
) =>
  new DataError(
    'sample-size-measure-missing',
    `${file}: no known value of ${measure}, at "${at}", side "${side}".${meant === null ? '' : ` Did you mean "${meant}"?`}` +
      (there.length === 0 ? '' : ` Of ${measure} there are: ${there.join('; ')}. Choose with --at and --side.`),
    { file, measure, at, side, meant: meant ?? '', there: there.join('; ') },
  );

/** One repetition (recording) stands in two rows. */
export const pilotRowTwice = (file: string, line: number, recording: string, repetition: number) =>
  new DataError(
    'sample-size-row-twice',
    `${file}:${line}: recording ${recording}${repetition > 0 ? `, repetition ${repetition}` : ''} is there twice. Take out one of the rows.`,
    { file, line, recording, repetition },
  );

/** Rows of the measure in two units. */
export const pilotUnits = (file: string, line: number, unit: string, before: string) =>
  new DataError(
    'sample-size-units',
    `${file}:${line}: unit "${unit}" after rows in "${before}". Analyse all recordings with the same settings.`,
    { file, line, unit, before },
  );

/** One recording under two athletes. */
export const pilotTwoAthletes = (file: string, line: number, recording: string, one: string, other: string) =>
  new DataError(
    'sample-size-two-athletes',
    `${file}:${line}: recording ${recording} belongs to ${one} above and to ${other} here.`,
    { file, line, recording, one, other },
  );

/** A recording of the pilot that recordings.csv does not have. */
export const pilotRecordingUnknown = (file: string, recording: string) =>
  new DataError(
    'sample-size-recording-unknown',
    `${file}: no row for recording ${recording} of the pilot. Use the recordings.csv of the same analysis, or leave --recordings out.`,
    { file, recording },
  );

/** A ratio of 0 or less has no logarithm; a mean of ratios is not the ratio of anything. */
export const pilotRatio = (file: string, line: number, measure: string, value: number) =>
  new DataError(
    'sample-size-ratio',
    `${file}:${line}: ${measure} is ${value}, and ratios are compared by their logarithm. Use a share instead (hip_share).`,
    { file, line, measure, value },
  );

export const pilotRatioMeans = (file: string, measure: string) =>
  new DataError(
    'sample-size-ratio-means',
    `${file}: ${measure} is a ratio, which is averaged by its logarithm; a table of means does not have that. Give measures.csv instead.`,
    { file, measure },
  );

/** Fewer than three athletes. */
export const pilotTooSmall = (file: string, athletes: number, least: number) =>
  new DataError(
    'sample-size-too-few-athletes',
    `${file}: ${athletes} athlete${athletes === 1 ? '' : 's'} with a known value, and how athletes differ cannot be learned from fewer than ${least}. Film more athletes; more repetitions do not replace them.`,
    { file, athletes, least },
  );

/** A paired design rests on how one athlete varies between conditions; the pilot does not show it. */
export const pilotNoRepeat = (file: string, freedom: number, least: number, conditions: boolean) =>
  new DataError(
    'sample-size-no-second-recording',
    `${file}: a paired design rests on how one athlete differs from recording to recording, and the pilot shows it with ${freedom} degree${freedom === 1 ? '' : 's'} of freedom; at least ${least} are needed. ` +
      `Film at least ${conditions ? 3 : 2} athletes ${conditions ? 'under both conditions' : 'twice or more'}, or choose --design groups.`,
    { file, freedom, least },
  );

/** Everything is one and the same value. */
export const pilotNoSpread = (file: string, measure: string) =>
  new DataError(
    'sample-size-no-spread',
    `${file}: ${measure} does not vary at all in the pilot, so nothing can be planned from it. Is it the right measure and place?`,
    { file, measure },
  );

/** Repetitions were asked for, and the pilot does not part their noise from the rest. */
export const repetitionsUnknown = (file: string, asked: number) =>
  new DataError(
    'sample-size-repetitions-unknown',
    `${file}: one value a recording, so what more repetitions would gain is not known. Leave --repetitions ${asked} out, or use measures.csv with several repetitions.`,
    { file, asked },
  );

export const effectMeansNothing = (effect: number, ratio: boolean) =>
  new UsageError(
    'sample-size-effect',
    ratio
      ? `--effect ${effect}: of a ratio the effect is a factor, from a third to three times and not 1: 1.1 for a tenth more, 0.9 for a tenth less.`
      : `--effect ${effect}: the smallest difference that matters, not 0, in the unit of the measure (hip_share: 0.05 is 5 points of 100).`,
  );

const number = (value: number) => Number(value.toPrecision(3));

/** What the command says around its numbers. */
export const sampleSizeWords = {
  needed: (n: number | null, most: number, design: 'paired' | 'groups', power: number) =>
    n === null
      ? `More than ${most} athletes${design === 'groups' ? ' in each group' : ''} for a power of ${power}: choose a larger effect, more repetitions or a larger pilot.`
      : `${n} athletes${design === 'groups' ? ' in each group' : ''} for a power of ${power}, averaged over what the pilot leaves open.`,
  others: (asPilot: string, cautious: string) =>
    `If the pilot's spread were exact: ${asPilot}. If it were at the upper end of its 95 % range (one-sided): ${cautious}.`,
  assumed: (what: {
    design: 'paired' | 'groups';
    effect: number;
    unit: string;
    alpha: number;
    repetitions: number;
    athletes: number;
    recordings: number;
    conditions: number;
    conditionColumns: readonly string[];
  }) => [
    `Effect ${number(what.effect)}${what.unit === '' ? '' : ` ${what.unit}`}, two-sided t test at ${what.alpha}, ${what.design === 'paired' ? 'every athlete under both conditions, one recording each' : 'two groups of equal size, one recording an athlete'}, ${what.repetitions > 0 ? `${what.repetitions} repetitions a recording` : 'repetitions as in the pilot'}.`,
    `Pilot: ${what.athletes} athletes, ${what.recordings} recordings${what.conditions > 1 ? ` under ${what.conditions} conditions (${what.conditionColumns.join(', ')}), whose mean differences are taken out` : ''}.`,
    ...(what.design === 'paired' && what.conditions < 2
      ? [
          'Conditions are not told apart (--recordings recordings.csv does): a mean difference between them counts as spread, which asks for more athletes.',
        ]
      : []),
    'Values are taken as normal; the same rig, detector and settings as in the pilot; errors that all athletes share are in no power (docs/method/sample-size.md).',
    'One number at one place. A test of whole curves across depth needs more athletes, and exact tests of few athletes have a smallest p: 6 in pairs, 4 and 4 in groups for 0.05.',
  ],
};
