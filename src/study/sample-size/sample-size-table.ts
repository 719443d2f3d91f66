import type { ColumnTable } from 'arquero';
import { sampleSizeWords } from '../../messages/sample-size.ts';
import { tableOf } from '../csv.ts';
import { number, type TableEntry, text, whole } from '../dictionary-columns.ts';
import type { Pilot } from './pilot-file.ts';
import type { PowerRow, SampleSize } from './sample-size.ts';

/** The dictionary entry of the table that `kneeward sample-size --out` writes. */
export const sampleSizeEntry: TableEntry = {
  file: 'sample-size.csv',
  row: 'a number of athletes; written by `kneeward sample-size` only',
  columns: [
    text('design', '`paired` (every athlete under both conditions) or `groups` (two independent groups).'),
    whole('athletes', 'Number of athletes; of two groups in each.'),
    whole('repetitions', 'Repetitions in each recording; empty where the pilot does not tell their noise apart.'),
    number('power', '1', 'Probability that the t test finds the effect, averaged over what the pilot leaves open.'),
    number('lower', '1', 'Lower end of its 95 % Monte Carlo interval: how far the simulation itself is exact.'),
    number('upper', '1', 'Upper end of it.'),
    number(
      'power_as_pilot',
      '1',
      'Power if the variances of the pilot were exact; empty past the first number with the wanted power.',
    ),
    number(
      'power_cautious',
      '1',
      'Power if the spread were at the upper end of its one-sided 95 % range: a lower bound; empty past the first number with the wanted power.',
    ),
  ],
};

export function sampleSizeTable({ design, repetitions, rows }: SampleSize): ColumnTable {
  return tableOf(
    sampleSizeEntry.columns.map(({ column }) => column),
    rows.map((row) => ({
      design,
      athletes: row.athletes,
      repetitions: repetitions > 0 ? repetitions : null,
      power: row.power,
      lower: row.lower,
      upper: row.upper,
      power_as_pilot: row.powerAsPilot,
      power_cautious: row.powerCautious,
    })),
  );
}

/** Rows of the printed table at most, beside the last ones. */
const PRINTED = 14;

/** What the command prints. */
export function sampleSizeLines(found: SampleSize, pilot: Pilot): string[] {
  const unit = pilot.scale === 'logarithm' ? '(factor)' : pilot.unit === '1' ? '' : pilot.unit;
  const many = (n: number | null) => (n === null ? `more than ${found.most}` : String(n));
  return [
    `${pilot.measure}: ${sampleSizeWords.needed(found.needed, found.most, found.design, found.power)}`,
    sampleSizeWords.others(many(found.neededAsPilot), many(found.neededCautious)),
    '',
    columns(['standard deviation', 'estimate', '95 % range', 'freedom']),
    ...found.components.map(({ name, sd, lower, upper, freedom }) =>
      columns([name, short(sd), `${short(lower)} to ${short(upper)}`, Number.isNaN(freedom) ? '' : String(freedom)]),
    ),
    '',
    columns([
      found.design === 'groups' ? 'athletes a group' : 'athletes',
      'power',
      '95 % Monte Carlo',
      'as pilot / cautious',
    ]),
    ...printed(found).map((row) =>
      columns([
        String(row.athletes),
        row.power.toFixed(3),
        `${row.lower.toFixed(3)} to ${row.upper.toFixed(3)}`,
        `${share(row.powerAsPilot)} / ${share(row.powerCautious)}`,
      ]),
    ),
    ...(found.tradeOff.length === 0
      ? []
      : [
          '',
          columns(['repetitions each', found.design === 'groups' ? 'athletes a group' : 'athletes']),
          ...found.tradeOff.map(({ repetitions, needed }) => columns([String(repetitions), many(needed)])),
        ]),
    '',
    ...sampleSizeWords.assumed({ ...found, unit, conditionColumns: pilot.conditionColumns }),
  ];
}

/** All rows of a short table; of a long one every so many, and the last. */
function printed({ rows }: SampleSize): readonly PowerRow[] {
  const step = Math.max(1, Math.ceil(rows.length / PRINTED));
  return rows.filter((_, i) => (rows.length - 1 - i) % step === 0);
}

const short = (value: number) => String(Number(value.toPrecision(3)));
const share = (value: number) => (Number.isNaN(value) ? '·' : value.toFixed(3));
const columns = (cells: readonly string[]) =>
  cells
    .map((cell) => cell.padEnd(24))
    .join('')
    .trimEnd();
