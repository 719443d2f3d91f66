import { DOUBTED } from '../figures/doubt-shares.ts';
import { PER_CENT, valueWithInterval } from '../study/shown.ts';
import { measureEstimate } from '../study/spread.ts';
import { CAUSE_GROUPS } from '../uncertainty/causes/cause.ts';
import { type Content, type Html, html, linkTo } from './html.ts';
import { dataTable, list } from './page.ts';
import type { ReportContent } from './report-input.ts';
import * as say from './wording-doubt.ts';

/** For the scientist: how the intervals were made, what an interval is, the causes with their parts, what is left out. */
export function intervalsPart(content: ReportContent): Html {
  const { uncertainty, files } = content;
  if (uncertainty === null) return html``;
  const { options, groups, noiseDraws } = uncertainty;
  const missing = groups.filter(({ notIncluded }) => notIncluded !== '');
  return html`<h3>${say.intervalsHeading()}</h3>
${list([
  say.modeWords(options.mode, options.draws, noiseDraws, options.seed),
  ...say.intervalDefinition(options.mode),
  ...missing.map(
    ({ group, notIncluded }) => html`${say.notCountedScience()}: <strong>${group}</strong>, ${notIncluded}`,
  ),
])}
<p class="quiet">${say.causesNote()}${
    files.includes('causes.csv') ? html`<a href="${linkTo('causes.csv')}">causes.csv</a>` : 'causes.csv'
  }.</p>
${causesTable(content)}`;
}

/** One row a cause, one column a number; the first row the numbers themselves. */
function causesTable({ uncertainty, means, record }: ReportContent): Html {
  const shown = DOUBTED.flatMap((one) => {
    const mean = means.find(
      (m) => m.measure === one.measure && m.at === one.at && (m.side === 'both' || m.side === ''),
    );
    const found = mean && measureEstimate(record, means, one.measure, one.at, mean.side as 'both' | '');
    return mean && found?.known ? [{ ...one, mean, estimate: found.estimate }] : [];
  });
  const rows = uncertainty!.groups.map(({ group, causes, notIncluded }): Content[] => [
    group,
    group === 'noise' ? say.noiseUnknowns(uncertainty!.noiseDraws) : causes.length,
    ...shown.map(({ mean }) => {
      const share = mean.shares[CAUSE_GROUPS.indexOf(group)];
      return notIncluded !== '' || !Number.isFinite(share) ? '' : shareText(share);
    }),
  ]);
  const columns = [...say.causeColumns(), ...shown.map(({ word }) => word)];
  return dataTable(
    columns.map((title, i) => ({ title, numeric: i > 0 })),
    [[say.intervalRow(), '', ...shown.map(({ estimate, shown: as }) => valueWithInterval(estimate, as))], ...rows],
    say.causesTableLabel(),
  );
}

const shareText = (share: number): string => (PER_CENT.factor * share).toFixed(share > 0 && share < 0.1 ? 1 : 0);
