import type { Recording } from '../capture/recording.ts';
import { withPlus } from '../figures/cohort/publication.ts';
import { effortBars } from '../figures/effort-bars.ts';
import { weightOnFoot } from '../figures/weight-on-foot.ts';
import type { Repetition } from '../lift/lift-record.ts';
import { startWord } from '../lift/start-word.ts';
import { type Posture, shownRepetition } from '../study/postures.ts';
import {
  halfWidth,
  intervalText,
  PER_CENT,
  type Shown,
  shownAs,
  valueText,
  valueWithInterval,
} from '../study/shown.ts';
import { type MeasureEstimate, measureEstimate } from '../study/spread.ts';
import { notCountedCauses } from './doubt-part.ts';
import { filmingAdvice } from './filming-advice.ts';
import { type Content, type Html, html, linkTo, Html as RawHtml } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import type { PosturePanels } from './lift-figures.ts';
import { unbroken } from './numbers.ts';
import { isShown } from './one-thing-to-try.ts';
import type { PreviousDifference, PreviousLift } from './previous-lift.ts';
import { marked } from './previous-marks.ts';
import type { ReportContent } from './report-input.ts';
import { stillsPart } from './stills-part.ts';
import * as say from './wording.ts';
import * as doubt from './wording-doubt.ts';
import * as first from './wording-first.ts';
import * as pageWords from './wording-page.ts';

/** Cards of the first screen name no more than this many things that were not seen; the list of unknowns has all. */
const MOST_ADVICE = 2;
/** Changes with their numbers; further ones are named. */
const MOST_CHANGES = 3;

/** What a coach sees before anything is scrolled: the sentence, two pictures, one thing to try, last time, what was not seen. */
export function firstScreen(input: ReportContent): Html {
  const { record, means } = input;
  const atParallel = measureEstimate(record, means, 'hip_share', 'parallel', 'both');
  const atBottom = measureEstimate(record, means, 'hip_share', 'bottom', 'both');
  const told = atParallel.known ? atParallel.estimate : atBottom.known ? atBottom.estimate : null;
  return html`<section class="first">
<div class="top"><div>
<p class="headline" data-picture="sentence">${unbroken(say.headline(startOf(input), atParallel, atBottom))}</p>
${effortPicture(atParallel, atBottom)}
</div>
${pictures(input)}
<div class="under">${pictureNumbers(input)}
<p class="quiet">${say.headlineNote(input.uncertainty !== null, doubt.notCountedBriefly(notCountedCauses(input)), told)}${
    input.uncertainty === null ? null : html` <a href="#doubt">${first.moreDoubt()}</a>`
  }</p>
<p class="scripted-only"><button type="button" data-save-picture="${input.recording.id}.png">${pageWords.savePicture()}</button></p>
</div>
</div>
<div class="cards">${tryCard(input)}${lastTimeCard(input)}${notSeenCard(input)}</div>
${stillsPart(input)}
</section>`;
}

/** The two words of the headline. */
export function startOf({ record, means }: ReportContent) {
  return startWord(record, means.find(({ measure }) => measure === 'knee_share_of_start') ?? null);
}

function effortPicture(atParallel: MeasureEstimate, atBottom: MeasureEstimate): Content {
  const bars = [
    { place: first.atParallel(), found: atParallel },
    { place: first.atBottom(), found: atBottom },
  ].flatMap(({ place, found }) => {
    if (!found.known) return [];
    const [hips, knees] = first.effortParts(found.estimate);
    return [{ place, share: found.estimate, hips, knees }];
  });
  const svg = effortBars(bars);
  return svg === null
    ? null
    : html`<figure class="card">${inlineSvg(svg, first.effortDescription(bars.map(({ place, hips, knees }) => `${place} ${hips}, ${knees}`)))}</figure>`;
}

/** Parallel and bottom, half way down where parallel is not reached, each with the weight on the foot. */
function pictures(input: ReportContent): Html {
  const { record, figures } = input;
  const repetition = shownRepetition(record);
  const { pair } = figures;
  if (!repetition || Object.keys(pair).length === 0) return html`<p>${say.noPictures(say.noRepetitionReason())}</p>`;
  const { landmarks } = record.loads.motion.trajectories;
  const feet = ['left_heel', 'right_heel', 'left_big_toe', 'right_big_toe'] as const;
  const withFoot = feet.every((name) => landmarks.includes(name));
  return html`<div class="pictures"><div class="pair">${panelsOf(pair).map(([posture, svg]) => posturePicture(input, posture, svg))}</div>
<p class="quiet">${say.pictureCaption(repetition.number, record.loads.centreOfMass !== null, withFoot)}${
    pair.parallel ? null : ` ${say.parallelPictureMissing()}`
  }</p></div>`;
}

/** Panels in the order of time. */
export const panelsOf = (panels: PosturePanels) => Object.entries(panels) as [Posture, string][];

/** One posture from the side and, where it is known there, the weight on the foot (mean of the set). */
function posturePicture({ record, means, recording }: ReportContent, posture: Posture, svg: string): Html {
  const foot = measureEstimate(record, means, 'com_along_foot', posture, '');
  const frame = frameOf(posture, shownRepetition(record) ?? null);
  return html`<figure class="card" data-picture="figure">${inlineSvg(svg, say.pictureDescription(posture, recording.athlete.id))}
${foot.known ? inlineSvg(weightOnFoot(foot.estimate), first.footDescription(foot.estimate)) : null}
<figcaption>${foot.known ? first.footCaption(posture, foot.estimate) : first.noFootCaption(posture)}</figcaption>${frame === null ? null : jumpButton(frame, posture)}</figure>`;
}

/** Frame of a posture in the repetition that is drawn; null where it is not one of the repetition's own marks. */
function frameOf(posture: Posture, repetition: Repetition | null): number | null {
  if (repetition === null) return null;
  const frame =
    posture === 'parallel' ? repetition.parallelDescentFrame : posture === 'bottom' ? repetition.bottomFrame : -1;
  return frame < 0 ? null : frame;
}

const jumpButton = (frame: number, posture: Posture): Html =>
  html`<p class="jump scripted-only"><button type="button" data-jump-frame="${frame}" data-jump-view="side" aria-label="${first.jumpLabel(posture)}">${first.jumpWords()}</button></p>`;

function tryCard({ oneThing, findings, recording, uncertainty }: ReportContent): Html {
  if (oneThing === null)
    return html`<section class="card try"><h2>${first.tryHeading()}</h2><p>${first.nothingToTry(uncertainty !== null, isShown(findings))}</p></section>`;
  const { title, cue, caution } = oneThing;
  return html`<section class="card try"><h2>${first.tryHeading()}</h2>
<p class="cue">${cue}</p>
<p>${first.because(title)} <a href="#findings">${first.whyLink()}</a></p>
${caution === '' ? null : html`<p class="quiet">${first.careWords()} ${caution}</p>`}
${recording.synthetic ? null : html`<p class="quiet">${first.tryLightly()}</p>`}</section>`;
}

/** Changed, or cannot tell yet, against the lifter's last recording of this lift. */
export function lastTimeCard({ previous, recording }: Pick<ReportContent, 'previous' | 'recording'>): Html {
  const heading = html`<h2>${first.lastTimeHeading()}</h2>`;
  const card =
    previous === null
      ? html`<section class="card">${heading}<p>${first.noLastTime()}</p></section>`
      : againstLastTime(heading, previous, recording);
  return marked('last-time', card);
}

function againstLastTime(heading: Html, previous: PreviousLift, recording: Recording): Html {
  const { differences, report, recordingId } = previous;
  const of = (verdict: PreviousDifference['verdict']) => differences.filter((one) => one.verdict === verdict);
  const [changed, open] = [of('different'), of('cannot tell')];
  return html`<section class="card">${heading}
<p class="quiet">${first.against(previous)}${report === null ? null : html` <a href="${linkTo(report)}">${recordingId}</a>`}</p>
${
  changed.length === 0
    ? html`<p><span class="verdict">${first.nothingChanged(open.length)}</span></p>`
    : html`<ul class="plainlist">${changed
        .slice(0, MOST_CHANGES)
        .map(
          (one) =>
            html`<li><span class="verdict">${first.changedWords(one.difference)}</span> ${one.title}: ${differenceText(one)}</li>`,
        )}</ul>`
}
${
  changed.length <= MOST_CHANGES
    ? null
    : html`<p><span class="verdict">${first.alsoChanged()}</span> ${changed
        .slice(MOST_CHANGES)
        .map(({ title }) => title)
        .join(', ')}.</p>`
}
${open.length === 0 ? null : html`<p><span class="verdict">${first.cannotTell()}</span> ${open.map(({ title }) => title).join(', ')}.</p>`}
${first.otherwiseAlike(previous, recording).map((note) => html`<p class="quiet">${note}</p>`)}</section>`;
}

export function differenceText({ difference, lower, upper, shown }: PreviousDifference): string {
  return withPlus(valueWithInterval({ value: difference, lower, upper }, shown));
}

function notSeenCard({ record }: ReportContent): Html {
  const advice = filmingAdvice(record);
  return html`<section class="card"><h2>${first.notSeenHeading()}</h2>
${
  advice.length === 0
    ? html`<p>${first.allSeen()}</p>`
    : html`<ul class="plainlist">${advice
        .slice(0, MOST_ADVICE)
        .map(
          ({ notSeen, nextTime, titles }) =>
            html`<li><span class="verdict">${first.notSeenWords(notSeen)}</span> ${nextTime}${
              titles.length === 0 ? null : html`<span class="hint">${first.hangsOnIt(titles.length)}</span>`
            }</li>`,
        )}</ul>`
}
<p><a href="#unknown">${first.allUnknown()}</a></p></section>`;
}

/** Numbers that a coach quotes, for the picture that is sent; the first screen says them in its sentence. */
const KEY_NUMBERS: readonly {
  readonly onScreen: boolean;
  readonly measure: string;
  readonly at: string;
  readonly side: 'both' | '';
  readonly shown: Shown;
}[] = [
  { onScreen: false, measure: 'hip_share', at: 'parallel', side: 'both', shown: PER_CENT },
  { onScreen: false, measure: 'hip_share', at: 'bottom', side: 'both', shown: PER_CENT },
  { onScreen: true, measure: 'trunk_lean', at: 'largest', side: '', shown: shownAs('deg') },
  { onScreen: true, measure: 'bottom_thigh_elevation', at: 'bottom', side: 'both', shown: shownAs('deg') },
];

function pictureNumbers({ record, means }: ReportContent): Html {
  const known = KEY_NUMBERS.flatMap((one) => {
    const found = measureEstimate(record, means, one.measure, one.at, one.side);
    return found.known ? [{ ...one, estimate: found.estimate }] : [];
  });
  return html`<dl class="keys">${known.map(
    ({ onScreen, measure, at, estimate, shown }) =>
      html`<div data-picture="number"${onScreen ? null : new RawHtml(' hidden')}><dt>${first.keyWords(measure, at)}</dt><dd>${valueText(estimate, shown)} ${Number.isFinite(halfWidth(estimate)) ? intervalText(estimate, shown) : null}</dd></div>`,
  )}</dl>`;
}
