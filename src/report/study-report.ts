import type { ColumnTable } from 'arquero';
import type { Recording } from '../capture/recording.ts';
import { halfWidth, intervalText, PER_CENT, type Shown, shownAs, valueText } from '../study/shown.ts';
import type { Estimate } from '../study/spread.ts';
import type { SummaryRow } from '../study/summary.ts';
import { acrossLoadsSection, type LoadPart } from './across-loads.ts';
import { COHORT_STYLE, cohortPlace } from './cohort-part.ts';
import { comparisonSection } from './comparison-part.ts';
import { GLYPH } from './glyph.ts';
import { type Content, html, linkTo } from './html.ts';
import { liftersSection } from './lifters-part.ts';
import { digitsText } from './numbers.ts';
import { dataTable, list, page } from './page.ts';
import { VIEWS_STYLE } from './style-views.ts';
import * as say from './wording.ts';
import { cautionsForAll } from './wording-cautions.ts';
import { maker } from './wording-page.ts';
import * as science from './wording-science.ts';
import { liftersCount, liftsCount } from './wording-study.ts';

export interface StudyReportInput {
  readonly id: string;
  readonly title: string;
  readonly synthetic: boolean;
  readonly toolVersion: string;
  /** One row a lift, with its recording and the path of its report from the index's folder. */
  readonly lifts: readonly { readonly row: SummaryRow; readonly recording: Recording; readonly report: string }[];
  /** Recordings that could not be analysed, and what the program said. */
  readonly failures: readonly { readonly recording: string; readonly message: string }[];
  /** Table with the columns of comparisons.csv; left out where recordings are not compared. */
  readonly comparisons?: ColumnTable;
  /** What the load changes, by lifter; left out or empty where nobody lifted two loads. */
  readonly loads?: readonly LoadPart[];
  /** Names of the files written beside the index. */
  readonly files: readonly string[];
}

/** The index of a study: the short table with a link to every lift's report. */
export function studyReportHtml({
  id,
  title,
  synthetic,
  toolVersion,
  lifts,
  failures,
  comparisons,
  loads = [],
  files,
}: StudyReportInput): string {
  const columns = science.studyColumns().map((name) => ({ title: name, numeric: false }));
  const rows = lifts.map(({ row, report }) => {
    const most = Math.max(0, ...estimatesOf(row).map(({ n }) => n));
    return [
      html`<a href="${linkTo(report)}">${row.recordingId}</a>`,
      row.lifter,
      row.loadKg > 0 ? `${digitsText(row.loadKg, 4)} kg` : science.noLoad(),
      row.condition,
      most,
      estimateCell(row.hipShareAtParallel, PER_CENT, most),
      estimateCell(row.hipShareAtBottom, PER_CENT, most),
      estimateCell(row.largestLeanDeg, shownAs('deg'), most),
      row.start,
      html`<strong class="${row.grade}">${row.grade}</strong>`,
    ];
  });
  const recordings = lifts.map(({ recording }) => recording);
  const intervals = lifts.some(({ row }) => withInterval(row));
  const lifters = new Set(lifts.map(({ row }) => row.lifter)).size;
  const band = html`<header class="band"><div>
<p class="maker"><span>${GLYPH}${maker()}</span></p>
${synthetic ? html`<p class="synthetic"><strong>${say.syntheticMark()}</strong> – ${say.syntheticSentence()}</p>` : null}
<h1>${title || id}</h1>
<p class="facts"><span>${liftersCount(lifters)}</span><span>${liftsCount(lifts.length)}</span></p>
</div></header>`;
  return page(
    title || id,
    html`<section><h2>${science.studyHeading()}</h2>
${rows.length > 0 ? dataTable(columns, rows, science.studyHeading(), true) : html`<p>${science.noLifts()}</p>`}
<p class="quiet">${science.studyNote(intervals)}</p></section>
${cohortPlace()}
${liftersSection(lifts.map(({ row }) => row))}
${comparisons ? comparisonSection(comparisons, recordings, intervals) : null}
${acrossLoadsSection(loads, recordings, intervals)}
${
  failures.length > 0
    ? html`<section><h2>${science.failuresHeading()}</h2>${list(failures.map(({ recording, message }) => html`<strong>${recording}</strong>: ${message}`))}</section>`
    : null
}
<section><h2>${say.cautionsHeading()}</h2><div class="care">${list(cautionsForAll())}</div></section>
<section><h2>${science.filesHeading()}</h2><p class="quiet">${science.filesNote()}</p>
${list(files.map((file) => html`<a href="${linkTo(file)}">${file}</a> ${science.fileWords(file)}`))}</section>
<footer class="quiet">${say.madeBy(toolVersion)}</footer>`,
    { style: VIEWS_STYLE + COHORT_STYLE, band },
  );
}

/** '64 % (59 to 69)', with the number of repetitions where it is less than the most of this lift. */
function estimateCell(estimate: Estimate | null, shown: Shown, most: number): Content {
  if (!estimate) return science.unknownCell();
  return html`<span class="est"><span>${valueText(estimate, shown)}</span> <span class="iv">${intervalText(estimate, shown)}</span></span>${
    estimate.n < most ? html`<span class="hint">${science.repetitionCount(estimate.n)}</span>` : null
  }`;
}

function estimatesOf({ hipShareAtParallel, hipShareAtBottom, largestLeanDeg }: SummaryRow): Estimate[] {
  return [hipShareAtParallel, hipShareAtBottom, largestLeanDeg].filter((estimate) => estimate !== null);
}

const withInterval = (row: SummaryRow): boolean =>
  estimatesOf(row).some((estimate) => Number.isFinite(halfWidth(estimate)));
