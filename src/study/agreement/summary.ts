import { numberText, PER_CENT, type Shown, shownAs } from '../shown.ts';
import type { AgreementRow } from './agreement-tables.ts';

/** Lines of the short table: what a lifter's report begins with. */
const LINES: readonly (readonly [name: string, at: string, side: string, words: string, shown: Shown])[] = [
  ['hip_share', 'parallel', 'both', "hips' part at parallel", PER_CENT],
  ['hip_share', 'bottom', 'both', "hips' part at the bottom", PER_CENT],
  ['hip_moment_peak', 'largest', 'both', 'largest effort, hips', shownAs('nm')],
  ['knee_moment_peak', 'largest', 'both', 'largest effort, knees', shownAs('nm')],
  ['trunk_lean', 'largest', '', 'largest lean', shownAs('deg')],
  ['bottom_thigh_elevation', 'bottom', 'both', 'thigh elevation, bottom', shownAs('deg')],
  ['ascent_time', 'ascent', '', 'time of the way up', shownAs('s')],
];

/** The short table as aligned text: mean of A and B, mean difference, limits of agreement, number, how many are covered. */
export function formatAgreement(rows: readonly AgreementRow[]): string {
  const header = ['measure', 'A', 'B', 'A less B', '95 % limits', 'n', 'covered'];
  const cells = LINES.flatMap(([name, at, side, words, shown]) => {
    const row = rows.find(({ what }) => what.name === name && what.at === at && what.side === side);
    if (row?.what.kind !== 'measure') return [];
    const { agreement, meanA, meanB, coveredShare } = row;
    const decimals = shown.unit === 's' ? 2 : 1;
    const text = (value: number) => numberText(value * shown.factor, decimals);
    const limits = Number.isFinite(agreement.sd)
      ? `${text(agreement.lowerLimit.value)} to ${text(agreement.upperLimit.value)}`
      : '–';
    return [
      [
        `${words}${shown.unit === '' ? '' : ` (${shown.unit})`}`,
        text(meanA),
        text(meanB),
        text(agreement.bias.value),
        limits,
        String(agreement.differences),
        Number.isNaN(coveredShare)
          ? '–'
          : `${Math.round(coveredShare * agreement.differences)}/${agreement.differences}`,
      ],
    ];
  });
  const widths = header.map((title, i) => Math.max(title.length, ...cells.map((line) => line[i].length)));
  const line = (of: readonly string[]) =>
    of
      .map((cell, i) => cell.padEnd(widths[i]))
      .join('  ')
      .trimEnd();
  return `${[line(header), line(widths.map((width) => '-'.repeat(width))), ...cells.map(line)].join('\n')}\n`;
}
