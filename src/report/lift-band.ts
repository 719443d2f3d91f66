import { conditionWords } from '../study/summary.ts';
import { GLYPH } from './glyph.ts';
import { type Html, html, linkTo } from './html.ts';
import { fullCount } from './repetition-count.ts';
import type { ReportContent } from './report-input.ts';
import { viewsNavigation } from './views.ts';
import * as say from './wording.ts';
import * as pageWords from './wording-page.ts';

/** Above every view: who lifted what, when, and how good the recording is; then the way between the views. */
export function liftBand(input: ReportContent): Html {
  const { record, recording, graded, index } = input;
  const facts = [
    say.dateWords(recording.date),
    say.setWords(recording.lift.set),
    conditionWords(recording.condition),
    say.repetitionsWords(record.repetitions.length, fullCount(record)),
  ].filter((fact) => fact !== '');
  return html`<header class="band"><div>
<p class="maker"><span>${GLYPH}${pageWords.maker()}</span>${index ? html`<a href="${linkTo(index)}">${say.backToStudy()}</a>` : null}</p>
${recording.synthetic ? html`<p class="synthetic" data-picture="mark"><strong>${say.syntheticMark()}</strong> – ${say.syntheticSentence()}</p>` : null}
<h1 data-picture="title">${say.liftTitle(recording)}</h1>
<p class="facts"><span data-picture="facts">${say.lifterLabel()} <strong>${recording.athlete.id}</strong></span>${facts.map((fact) => html`<span data-picture="facts">${fact}</span>`)}<span>${recording.id}</span><span>${say.gradeLabel()} <span class="badge ${graded.grade ?? ''}">${say.gradeWords(graded.grade)}</span></span></p>
</div></header>
${viewsNavigation()}`;
}
