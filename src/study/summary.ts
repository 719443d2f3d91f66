import type { Recording } from '../capture/recording.ts';
import type { Grade } from '../lift/grade.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { type StartWord, startWord } from '../lift/start-word.ts';
import type { SetMean } from './set-means.ts';
import { halfWidth, PER_CENT, plusMinusWithUnit, type Shown, shownAs } from './shown.ts';
import { type Estimate, measureEstimate } from './spread.ts';

/** One line of the short table that is printed after an analysis: a recording in a few numbers, over its full repetitions. */
export interface SummaryRow {
  readonly recordingId: string;
  readonly lifter: string;
  /** The free factors in words, for instance 'heel raised'; '' where none is stated. */
  readonly condition: string;
  readonly lift: string;
  readonly loadKg: number;
  /** hip_share, both legs, 1; null where unknown. */
  readonly hipShareAtParallel: Estimate | null;
  readonly hipShareAtBottom: Estimate | null;
  /** trunk_lean, largest of each repetition, degrees; null where unknown. */
  readonly largestLeanDeg: Estimate | null;
  readonly start: StartWord;
  readonly grade: string;
  readonly synthetic: boolean;
}

/** `means`: set means of the recording, which hold the intervals; empty where intervals were switched off. */
export function summaryRow(
  record: LiftRecord,
  grade: Grade | null,
  recording: Recording,
  means: readonly SetMean[] = [],
): SummaryRow {
  const known = (measure: string, at: string, side: 'both' | '') => {
    const found = measureEstimate(record, means, measure, at, side);
    return found.known ? found.estimate : null;
  };
  return {
    recordingId: record.recordingId,
    lifter: record.athleteId,
    condition: conditionWords(recording.condition),
    lift: recording.lift.kind,
    loadKg: recording.load.totalKg,
    hipShareAtParallel: known('hip_share', 'parallel', 'both'),
    hipShareAtBottom: known('hip_share', 'bottom', 'both'),
    largestLeanDeg: known('trunk_lean', 'largest', ''),
    start: startWord(record, means.find(({ measure }) => measure === 'knee_share_of_start') ?? null),
    grade: grade ?? 'not graded',
    synthetic: recording.synthetic,
  };
}

/** `{ heel: 'raised', belt: true, pause_s: 2 }` as 'heel raised, belt, pause_s 2'. */
export function conditionWords(condition: Recording['condition']): string {
  return Object.entries(condition)
    .map(([name, value]) => (value === true ? name : value === false ? `no ${name}` : `${name} ${value}`))
    .join(', ');
}

/**
 * What a recording must have in common with another, beside the kind of lift and the place of the bar, for the lifter to have done the
 * same task: its condition, and the heel of the shoe where it is stated.
 */
export function taskWords({ condition, shoes }: Pick<Recording, 'condition' | 'shoes'>): string {
  const heel = shoes.heelHeightM;
  const words = [conditionWords(condition), heel === null ? '' : `shoe heel ${Number((1000 * heel).toFixed(1))} mm`];
  return words.filter((part) => part !== '').join(', ');
}

/** Mean ± half width of its 95 % interval, and the number of repetitions: '56 ± 4 % (3)'; 'unknown' where there is none. */
export function estimateWords(estimate: Estimate | null, shown: Shown): string {
  if (!estimate) return 'unknown';
  return `${plusMinusWithUnit(estimate, shown)} (${estimate.n})`;
}

/** Widest line, and the widest an id and a condition may be; the condition gives way first. */
const LINE = 100;
const LIFTER = 10;
const RECORDING = 18;
/** Of a recording's name where the lifter has to stand before the end of its id. */
const LIFTER_BEFORE = 8;
const CONDITION = 30;
const CONDITION_AT = 1;

/** More rows than this fill screens and are read by none: the index has all of them. */
const MOST_ROWS = 30;

/**
 * The short table as aligned text, at most 100 columns wide. Long ids and conditions are cut with an ellipsis. A row is named by its
 * lifter, where a lifter has several of one condition by its recording; where ids that are cut would read alike, the lifter stands
 * before them. Of many rows the first are shown.
 */
export function formatSummary(all: readonly SummaryRow[]): string {
  const rows = all.slice(0, MOST_ROWS);
  const byLifter =
    new Set(rows.map(({ lifter, condition }) => JSON.stringify([lifter, condition]))).size === rows.length;
  const names = byLifter ? rows.map(({ lifter }) => cut(lifter, LIFTER)) : recordingNames(rows);
  const header = [
    byLifter ? 'lifter' : 'recording',
    'condition',
    'hips at parallel',
    'at bottom',
    'largest lean',
    'start',
    'grade',
  ];
  const uncut = rows.map((row, i) => [
    names[i],
    row.condition || '–',
    estimateWords(row.hipShareAtParallel, PER_CENT),
    estimateWords(row.hipShareAtBottom, PER_CENT),
    estimateWords(row.largestLeanDeg, shownAs('deg')),
    row.start,
    row.grade,
  ]);
  const gaps = 2 * (header.length - 1);
  const widthOf = (lines: readonly (readonly string[])[]) =>
    header.map((title, i) => Math.max(title.length, ...lines.map((line) => line[i].length)));
  const others = widthOf(uncut).reduce((sum, width, i) => (i === CONDITION_AT ? sum : sum + width), gaps);
  const room = Math.max(header[CONDITION_AT].length, Math.min(CONDITION, LINE - others));
  const cells = uncut.map((line) => line.map((cell, i) => (i === CONDITION_AT ? cut(cell, room) : cell)));
  const widths = widthOf(cells);
  const line = (of: readonly string[]) =>
    of
      .map((cell, i) => cell.padEnd(widths[i]))
      .join('  ')
      .trimEnd();
  const more = all.length - rows.length;
  const notes = [
    ...(more > 0 ? [`and ${more} more: their reports and tables are with the results.`, ''] : []),
    ...meaning(all),
    ...(all.some(({ synthetic }) => synthetic) ? ['SYNTHETIC data: invented lifters, no one was measured.'] : []),
  ];
  return `${[line(header), line(widths.map((width) => '-'.repeat(width))), ...cells.map(line), '', ...notes].join('\n')}\n`;
}

/** What the numbers of the table mean; where no row has an interval, that none was computed. */
function meaning(rows: readonly SummaryRow[]): string[] {
  const hips = 'hips = hip / (hip + knee) moment, both legs;';
  const estimates = rows.flatMap((row) => [row.hipShareAtParallel, row.hipShareAtBottom, row.largestLeanDeg]);
  if (!estimates.some((estimate) => estimate && Number.isFinite(halfWidth(estimate)))) {
    return [`${hips} mean of the full repetitions (their number),`, 'without intervals.'];
  }
  return [
    `${hips} mean of the full repetitions (their number)`,
    '± half width of its 95 % interval: how sure the measurement is, as far as the causes of doubt are',
    'known (quality.json says which are not).',
  ];
}

const plain = (text: string): string => text.replace(/[\p{Cc}]/gu, ' ');

const cut = (text: string, width: number): string =>
  text.length > width ? `${plain(text).slice(0, width - 1)}…` : plain(text);

function recordingNames(rows: readonly SummaryRow[]): string[] {
  const names = rows.map(({ recordingId }) => cutFront(recordingId, RECORDING));
  if (new Set(names).size === names.length) return names;
  return rows.map(({ lifter, recordingId }) => {
    const before = cut(lifter, LIFTER_BEFORE);
    return `${before} ${cutFront(recordingId, RECORDING - before.length - 1)}`;
  });
}

/** Recordings of a lifter differ at the end of their ids. */
const cutFront = (text: string, width: number): string =>
  text.length > width ? `…${plain(text).slice(1 - width)}` : plain(text);
