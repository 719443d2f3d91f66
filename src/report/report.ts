import { setMeansOf } from '../study/set-means.ts';
import { coachPart } from './coach-part.ts';
import { html, linkTo } from './html.ts';
import { page } from './page.ts';
import type { ReportContent, ReportInput } from './report-input.ts';
import { scientistPart } from './scientist-part.ts';
import { backToStudy, madeBy, reportTitle } from './wording.ts';

/**
 * The report of one lift as one HTML file that needs nothing else: no network, no script, figures and style inside.
 * First what a coach wants, in plain words; then how it came about. The same input gives the same bytes.
 */
export function reportHtml(input: ReportInput): string {
  const content: ReportContent = { ...input, means: input.uncertainty ? setMeansOf(input.uncertainty) : [] };
  return page(
    reportTitle(input.recording),
    html`${input.index ? html`<p><a href="${linkTo(input.index)}">${backToStudy()}</a></p>` : null}
${coachPart(content)}
${scientistPart(content)}
<footer class="quiet">${madeBy(input.provenance.tool_version)}</footer>`,
  );
}
