import { startWord } from '../lift/start-word.ts';
import { type Posture, shownRepetition } from '../study/postures.ts';
import { measureSpread } from '../study/spread.ts';
import { conditionWords } from '../study/summary.ts';
import { COACH_MEASURES, type CoachMeasure } from './coach-measures.ts';
import { type Content, type Html, html } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import type { PosturePanels } from './lift-figures.ts';
import { rangeText, withUnit } from './numbers.ts';
import { figure, list } from './page.ts';
import { qualitySection } from './quality-part.ts';
import type { ReportInput } from './report-input.ts';
import { unknownMeasures, withoutStickingPoint } from './unknowns.ts';
import * as say from './wording.ts';

/** The plain part: what a coach reads, from one sentence down to the cautions. No jargon. */
export function coachPart(input: ReportInput): Html {
  return html`${firstScreen(input)}
${measuresSection(input)}
${curvesSection(input)}
${qualitySection(input)}
${unknownSection(input)}
${cautionsSection()}`;
}

function fullCount({ record }: ReportInput): number {
  return record.repetitions.filter(({ completeness }) => completeness === 'full').length;
}

function firstScreen(input: ReportInput): Html {
  const { record, recording, graded } = input;
  const facts = [
    say.dateWords(recording.date),
    say.setWords(recording.lift.set),
    conditionWords(recording.condition),
    say.repetitionsWords(record.repetitions.length, fullCount(input)),
  ].filter((fact) => fact !== '');
  const sentence = say.headline(
    startWord(record),
    measureSpread(record, 'hip_share', 'parallel', 'both'),
    measureSpread(record, 'hip_share', 'bottom', 'both'),
  );
  return html`<header>
${recording.synthetic ? html`<p class="synthetic"><strong>${say.syntheticMark()}</strong> – ${say.syntheticSentence()}</p>` : null}
<div class="top"><div>
<p class="facts"><span>${say.lifterLabel()} <strong>${recording.athlete.id}</strong></span><span>${recording.id}</span></p>
<h1>${say.liftTitle(recording)}</h1>
<p class="facts">${facts.map((fact) => html`<span>${fact}</span>`)}</p>
<p class="facts"><span>${say.gradeLabel()}</span><span class="badge ${graded.grade ?? ''}">${say.gradeWords(graded.grade)}</span></p>
<p class="headline">${sentence}</p>
<p class="quiet">${say.headlineNote()}</p>
</div>
${pictures(input)}
</div></header>`;
}

/** Parallel and bottom; half way down where parallel is not reached. */
function pictures({ record, recording, figures }: ReportInput): Html {
  const repetition = shownRepetition(record);
  const { pair } = figures;
  if (!repetition || Object.keys(pair).length === 0) return html`<p>${say.noPictures(say.noRepetitionReason())}</p>`;
  const panels = posturePanels(pair, recording.athlete.id);
  const { landmarks } = record.loads.motion.trajectories;
  const feet = ['left_heel', 'right_heel', 'left_big_toe', 'right_big_toe'] as const;
  const withFoot = feet.every((name) => landmarks.includes(name));
  return html`<div><div class="pair">${panels}</div>
<p class="quiet">${say.pictureCaption(repetition.number, record.loads.centreOfMass !== null, withFoot)}${
    pair.parallel ? null : ` ${say.parallelPictureMissing()}`
  }</p></div>`;
}

function posturePanels(panels: PosturePanels, lifter: string): Html[] {
  return (Object.entries(panels) as [Posture, string][]).map(
    ([posture, svg]) => html`<figure class="card">${inlineSvg(svg, say.pictureDescription(posture, lifter))}</figure>`,
  );
}

function measuresSection(input: ReportInput): Html {
  const { record } = input;
  const full = fullCount(input);
  const rows = COACH_MEASURES.flatMap((line) => {
    const replaced = line.insteadOf && measureSpread(record, line.insteadOf, line.at, line.side).known;
    const found = measureSpread(record, line.measure, line.at, line.side);
    return found.known && !replaced ? [{ line, spread: found.spread }] : [];
  });
  const [what, mean, range] = say.measuresColumns();
  const several = full > 1;
  const groups = [...new Set(rows.map(({ line }) => line.group))];
  const body = groups.map((group): Content => {
    const of = rows.filter(({ line }) => line.group === group);
    return html`<tbody><tr><th scope="rowgroup" colspan="${several ? 3 : 2}">${group}</th></tr>
${of.map(({ line, spread }) => measureRow(line, withUnit(spread.mean, line.shown), several ? rangeWithCount(spread, line, full) : null))}</tbody>`;
  });
  return html`<section><h2>${say.measuresHeading()}</h2>
<p class="quiet">${full === 0 ? say.nothingMeasured() : say.measuresNote(full)}</p>
${
  rows.length === 0
    ? null
    : html`<div class="scroll"><table><thead><tr><th scope="col">${what}</th><th scope="col" class="n">${mean}</th>${
        several ? html`<th scope="col" class="n">${range}</th>` : null
      }</tr></thead>${body}</table></div>`
}</section>`;
}

function measureRow({ words, hint }: CoachMeasure, mean: string, range: string | null): Html {
  return html`<tr><th scope="row">${words}${hint === '' ? null : html`<span class="hint">${hint}</span>`}</th><td class="n">${mean}</td>${range === null ? null : html`<td class="n">${range}</td>`}</tr>
`;
}

/** The range; with the number of repetitions where it is not all full ones. */
function rangeWithCount(spread: Parameters<typeof rangeText>[0], { shown, at }: CoachMeasure, full: number): string {
  const range = rangeText(spread, shown);
  return at === 'set' || spread.n === full ? range : `${range} (${spread.n} of ${full})`.trim();
}

function curvesSection(input: ReportInput): Html {
  const { record, figures } = input;
  const full = fullCount(input);
  const lifter = input.recording.athlete.id;
  const reason = say.plainReason(
    record.curves.find(({ reason: why }) => why !== '')?.reason ?? say.noRepetitionReason(),
  );
  const drawn = (svg: string | null, caption: string): Content =>
    svg
      ? figure(inlineSvg(svg, caption), caption)
      : html`<p>${say.figureMissing(caption.split(/[.(]/)[0], reason)}</p>`;
  const strip = posturePanels(figures.postures, lifter);
  return html`<section><h2>${say.curvesHeading()}</h2>
<div class="figures">${drawn(figures.momentAcrossDepth, say.momentCaption(full))}${drawn(figures.hipShareAcrossDepth, say.shareCaption(full))}${drawn(figures.leanAcrossDepth, say.leanCaption(full))}${drawn(figures.timeCourse, say.timeCaption())}</div>
${
  strip.length > 0
    ? html`<h3>${say.stripCaption(shownRepetition(record)?.number ?? 1)}</h3>
<div class="strip">${strip}</div>`
    : null
}</section>`;
}

function unknownSection({ record }: ReportInput): Html {
  const notFull = record.repetitions
    .filter(({ completeness }) => completeness !== 'full')
    .map(({ number, completeness, reason }) => say.repetitionNotFull(number, completeness, reason));
  const unknown = unknownMeasures(record).map(
    ({ reason, alike, titles, repetitions }) =>
      html`<strong>${say.plainReason(reason)}</strong>${alike ? say.andTheLike() : null}${say.inRepetitions(repetitions)}: ${titles.join(', ')}.`,
  );
  return html`<section><h2>${say.unknownHeading()}</h2>
${list([...notFull, ...unknown, ...say.noStickingPointNote(withoutStickingPoint(record)), ...say.alwaysUnknown()])}</section>`;
}

function cautionsSection(): Html {
  return html`<section><h2>${say.cautionsHeading()}</h2><div class="care">${list(say.cautions())}</div></section>`;
}
