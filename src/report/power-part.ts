import { shownAs, valueWithInterval } from '../study/shown.ts';
import { measureEstimate } from '../study/spread.ts';
import { type Html, html, linkTo } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import { digitsText } from './numbers.ts';
import { dataTable, figure } from './page.ts';
import type { ReportContent } from './report-input.ts';
import * as say from './wording-science.ts';

/** For the scientist: what hips, knees and ankles do in work, power and impulse, and how the energy adds up. */
export function powerPart({ record, means, figures }: ReportContent): Html | null {
  const rows = say.powerRows().map(({ words, suffix, at, unit }) => [
    words,
    ...(['hip', 'knee', 'ankle', 'bar'] as const).map((what) => {
      const side = what === 'bar' ? '' : 'both';
      const found = measureEstimate(record, means, `${what}_${suffix}`, at, side);
      return found.known ? valueWithInterval(found.estimate, { ...shownAs(unit), unit: '' }) : '';
    }),
  ]);
  if (rows.every((row) => row.slice(1).every((cell) => cell === ''))) return null;
  const { powerBalance } = record.loads.quality;
  const svg = figures.momentAgainstAngle;
  return html`<p class="quiet">${say.powerNote()}</p>
${dataTable(
  say.powerColumns().map((title, i) => ({ title, numeric: i > 0 })),
  rows,
  say.powerHeading(),
)}
${powerBalance ? html`<p class="quiet">${say.balanceNote(powerBalance)}</p>` : null}
${svg ? figure(inlineSvg(svg, say.angleCaption()), say.angleCaption()) : null}`;
}

interface TableRow {
  readonly segments: string;
  readonly used: boolean;
  readonly measure: string;
  readonly side: string;
  readonly at: string;
  readonly mean: number | null;
  readonly unit: string;
}

/** The main numbers with every segment table, side by side. */
export function segmentTablesPart({ segmentTables, files }: ReportContent): Html | null {
  const rows = segmentTables.objects({ limit: Infinity }) as TableRow[];
  const tables = [...new Map(rows.map(({ segments, used }) => [segments, used]))];
  const shown = say.tablesRows().flatMap(({ measure, at, words }) => {
    const own = rows.filter(
      (row) => row.measure === measure && row.at === at && (row.side === 'both' || row.side === ''),
    );
    if (own.every(({ mean }) => mean === null)) return [];
    const unit = own[0].unit === '1' ? '' : shownAs(own[0].unit).unit;
    return [
      [
        unit === '' ? words : `${words} (${unit})`,
        ...tables.map(([segments]) => {
          const mean = own.find((row) => row.segments === segments)?.mean ?? null;
          return mean === null ? '' : digitsText(mean, 3);
        }),
      ],
    ];
  });
  if (shown.length === 0) return null;
  const name = 'segment-tables.csv';
  return html`<p class="quiet">${say.tablesNote()} ${files.includes(name) ? html`<a href="${linkTo(name)}">${name}</a>` : name}.</p>
${dataTable(
  [say.tablesFirstColumn(), ...tables.map(([segments, used]) => say.tableColumn(segments, used))].map((title, i) => ({
    title,
    numeric: i > 0,
  })),
  shown,
  say.tablesHeading(),
)}`;
}
