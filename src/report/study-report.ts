import { type SummaryRow, spreadWords } from '../study/summary.ts';
import { html, linkTo } from './html.ts';
import { dataTable, list, page } from './page.ts';
import * as say from './wording.ts';
import * as science from './wording-science.ts';

export interface StudyReportInput {
  readonly id: string;
  readonly title: string;
  readonly synthetic: boolean;
  readonly toolVersion: string;
  /** One row a lift, with the path of its report from the index's folder. */
  readonly lifts: readonly { readonly row: SummaryRow; readonly report: string }[];
  /** Recordings that could not be analysed, and what the program said. */
  readonly failures: readonly { readonly recording: string; readonly message: string }[];
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
  files,
}: StudyReportInput): string {
  const columns = science.studyColumns().map((name) => ({ title: name, numeric: false }));
  const rows = lifts.map(({ row, report }) => [
    html`<a href="${linkTo(report)}">${row.recordingId}</a>`,
    row.lifter,
    row.condition,
    spreadWords(row.hipShareAtParallel, '%', 100),
    spreadWords(row.hipShareAtBottom, '%', 100),
    spreadWords(row.largestLeanDeg, '°'),
    row.start,
    html`<strong class="${row.grade}">${row.grade}</strong>`,
  ]);
  return page(
    title || id,
    html`${synthetic ? html`<p class="synthetic"><strong>${say.syntheticMark()}</strong> – ${say.syntheticSentence()}</p>` : null}
<h1>${title || id}</h1>
<section><h2>${science.studyHeading()}</h2>
${rows.length > 0 ? dataTable(columns, rows, science.studyHeading()) : html`<p>${science.noLifts()}</p>`}
<p class="quiet">${science.studyNote()}</p></section>
${
  failures.length > 0
    ? html`<section><h2>${science.failuresHeading()}</h2>${list(failures.map(({ recording, message }) => html`<strong>${recording}</strong>: ${message}`))}</section>`
    : null
}
<section><h2>${say.cautionsHeading()}</h2><div class="care">${list(say.cautions())}</div></section>
<section><h2>${science.filesHeading()}</h2><p class="quiet">${science.filesNote()}</p>
${list(files.map((file) => html`<a href="${linkTo(file)}">${file}</a> ${science.fileWords(file)}`))}</section>
<footer class="quiet">${say.madeBy(toolVersion)}</footer>`,
  );
}
