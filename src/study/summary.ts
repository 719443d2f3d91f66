import type { Recording } from '../capture/recording.ts';
import type { Grade } from '../lift/grade.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { type StartWord, startWord } from '../lift/start-word.ts';
import { measureSpread, type Spread } from './spread.ts';

/** One line of the short table that is printed after an analysis: a recording in a few numbers, over its full repetitions. */
export interface SummaryRow {
  readonly recordingId: string;
  readonly lifter: string;
  /** The free factors in words, for instance 'heel raised'; '' where none is stated. */
  readonly condition: string;
  readonly lift: string;
  readonly loadKg: number;
  /** hip_share, both legs, 1; null where unknown. */
  readonly hipShareAtParallel: Spread | null;
  readonly hipShareAtBottom: Spread | null;
  /** trunk_lean, largest of each repetition, degrees; null where unknown. */
  readonly largestLeanDeg: Spread | null;
  readonly start: StartWord;
  readonly grade: string;
  readonly synthetic: boolean;
}

export function summaryRow(record: LiftRecord, grade: Grade | null, recording: Recording): SummaryRow {
  const known = (measure: string, at: string, side: 'both' | '') => {
    const found = measureSpread(record, measure, at, side);
    return found.known ? found.spread : null;
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
    start: startWord(record),
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

/** Mean ± spread between repetitions, and their number: '56 ± 2 % (3)'; 'unknown' where there is none. */
export function spreadWords(spread: Spread | null, unit: '%' | '°', factor = 1): string {
  if (!spread) return 'unknown';
  const number = (value: number) => (value * factor).toFixed(0);
  const sd = Number.isFinite(spread.sd) ? ` ± ${number(spread.sd)}` : '';
  return `${number(spread.mean)}${sd}${unit === '%' ? ' %' : unit} (${spread.n})`;
}

/** Widest line, and the widest a lifter's id and a condition may be; the condition gives way first. */
const LINE = 100;
const LIFTER = 10;
const CONDITION = 30;
const CONDITION_AT = 1;

/** The short table as aligned text, at most 100 columns wide. Long ids and conditions are cut with an ellipsis. */
export function formatSummary(rows: readonly SummaryRow[]): string {
  const header = ['lifter', 'condition', 'hips at parallel', 'at bottom', 'largest lean', 'start', 'grade'];
  const uncut = rows.map((row) => [
    cut(row.lifter, LIFTER),
    row.condition || '–',
    spreadWords(row.hipShareAtParallel, '%', 100),
    spreadWords(row.hipShareAtBottom, '%', 100),
    spreadWords(row.largestLeanDeg, '°'),
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
  const notes = [
    'hips = hip / (hip + knee) moment, both legs. Mean ± standard deviation between full repetitions',
    '(their number): how the repetitions differ, not how sure the measurement is.',
    ...(rows.some(({ synthetic }) => synthetic) ? ['SYNTHETIC data: invented lifters, no one was measured.'] : []),
  ];
  return `${[line(header), line(widths.map((width) => '-'.repeat(width))), ...cells.map(line), '', ...notes].join('\n')}\n`;
}

function cut(text: string, width: number): string {
  const plain = text.replace(/[\p{Cc}]/gu, ' ');
  return plain.length > width ? `${plain.slice(0, width - 1)}…` : plain;
}
