import { setMeansOf } from '../study/set-means.ts';
import { athletePart } from './athlete-part.ts';
import { coachPart } from './coach-part.ts';
import { FINDINGS_STYLE } from './findings-style.ts';
import { html } from './html.ts';
import { liftBand } from './lift-band.ts';
import { oneThingToTry } from './one-thing-to-try.ts';
import { page } from './page.ts';
import type { ReportContent, ReportInput } from './report-input.ts';
import { SCENE_STYLE } from './scene-style.ts';
import { scientistPart } from './scientist-part.ts';
import { VIEWS_STYLE } from './style-views.ts';
import { view } from './views.ts';
import { madeBy, reportTitle } from './wording.ts';
import { printAll, printView } from './wording-page.ts';

/**
 * The report of one lift as one HTML file that needs nothing else: no network; figures, style, tables and code inside. Three
 * views of the same lift, for the coach, the athlete and the scientist. Without its code everything still stands on the
 * page. The same input gives the same bytes.
 */
export function reportHtml(input: ReportInput): string {
  const content: ReportContent = {
    ...input,
    means: input.uncertainty ? setMeansOf(input.uncertainty) : [],
    oneThing: oneThingToTry(input),
  };
  return page(
    reportTitle(input.recording),
    html`${view('coach', coachPart(content))}
${view('athlete', athletePart(content))}
${view('science', scientistPart(content))}
<footer class="quiet"><span data-picture="maker">${madeBy(input.provenance.tool_version)}</span>
<span class="actions scripted-only"><button type="button" data-print-views="one">${printView()}</button><button type="button" data-print-views="all">${printAll()}</button></span></footer>`,
    { style: VIEWS_STYLE + SCENE_STYLE + FINDINGS_STYLE, band: liftBand(content), script: input.script },
  );
}
