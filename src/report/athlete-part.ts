import type { Recording } from '../capture/recording.ts';
import { type MeasureEstimate, measureEstimate } from '../study/spread.ts';
import { filmingAdvice } from './filming-advice.ts';
import { startOf } from './first-screen.ts';
import { type Html, html } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import { isShown } from './one-thing-to-try.ts';
import { list } from './page.ts';
import type { PreviousLift } from './previous-lift.ts';
import { marked } from './previous-marks.ts';
import type { ReportContent } from './report-input.ts';
import { taskOf } from './task.ts';
import * as say from './wording-athlete.ts';
import { cautionsFor } from './wording-cautions.ts';
import { against } from './wording-first.ts';
import { whatDiffers } from './wording-task.ts';

/** Two pieces of advice on filming are enough for whoever is filmed. */
const MOST_ADVICE = 2;

/** The athlete's view: what was seen, what to try, what is not known; in the second person and with few numbers. */
export function athletePart(input: ReportContent): Html {
  return html`<div class="say">
<p class="headline">${say.opening(input.recording)}</p>
${input.recording.synthetic ? html`<p class="quiet">${say.invented()}</p>` : null}
<div class="top"><div>
<section><h2>${say.seenHeading()}</h2>
${list(seen(input))}
${input.uncertainty === null ? null : html`<p class="quiet">${say.onlyWhatIsSure()}</p>`}</section>
${trySection(input)}
${sinceSection(input)}
</div>
${bottomPicture(input)}
</div>
${notSeenSection(input)}
<section><h2>${say.careHeading()}</h2><div class="care">${list(cautionsFor(input.recording))}</div></section>
</div>`;
}

/** What can be said of the lift in words; a sentence that the interval does not allow says that it cannot be told. */
function seen(input: ReportContent): string[] {
  const { record, means } = input;
  const of = (measure: string, at: string, side: 'both' | ''): MeasureEstimate =>
    measureEstimate(record, means, measure, at, side);
  return [
    say.startSentence(startOf(input)),
    say.effortSentence(of('hip_share', 'parallel', 'both')),
    say.depthSentence(of('bottom_thigh_elevation', 'bottom', 'both')),
    say.leanSentence(of('trunk_lean', 'largest', '')),
    say.footSentence(of('com_along_foot', 'parallel', '')),
  ].filter((sentence) => sentence !== '');
}

function trySection({ oneThing, findings }: ReportContent): Html {
  const heading = html`<h2>${say.tryHeading()}</h2>`;
  if (oneThing === null) return html`<section>${heading}<p>${say.nothingToTry(isShown(findings))}</p></section>`;
  return html`<section>${heading}
<div class="card try"><p class="cue">${oneThing.cue}</p>
${oneThing.caution === '' ? null : html`<p>${oneThing.caution}</p>`}
<p>${say.howToTry()}</p></div></section>`;
}

/** What changed since the previous lift; nothing where there is none. */
export function sinceSection({ previous, recording }: Pick<ReportContent, 'previous' | 'recording'>): Html {
  return marked('since', previous && sinceThen(previous, recording));
}

function sinceThen(previous: PreviousLift, recording: Recording): Html {
  const differs = say.notOnlyYou(whatDiffers(previous, taskOf(recording)));
  const changed = previous.differences.filter(({ verdict }) => verdict === 'different');
  const open = previous.differences.filter(({ verdict }) => verdict === 'cannot tell');
  return html`<section><h2>${say.sinceHeading()}</h2>
<p class="quiet">${say.sinceWhen(against(previous))}</p>
${differs === '' ? null : html`<p>${differs}</p>`}
${
  changed.length === 0
    ? html`<p>${say.nothingChanged(open.length)}</p>`
    : html`${list(changed.map((one) => say.changed(one.measure, one.difference)).filter((words) => words !== ''))}${open.length === 0 ? null : html`<p>${say.restOpen()}</p>`}`
}</section>`;
}

function bottomPicture({ figures, recording }: ReportContent): Html | null {
  const svg = figures.pair.bottom;
  if (!svg) return null;
  const words = say.bottomPicture(recording.athlete.id);
  return html`<figure class="card">${inlineSvg(svg, words)}<figcaption>${say.bottomCaption()}</figcaption></figure>`;
}

function notSeenSection({ record }: ReportContent): Html | null {
  const advice = filmingAdvice(record).slice(0, MOST_ADVICE);
  if (advice.length === 0) return null;
  return html`<section><h2>${say.notSeenHeading()}</h2>
${list(advice.map(({ notSeen, nextTime }) => html`<strong>${say.couldNotSee(notSeen)}</strong> ${nextTime}`))}</section>`;
}
