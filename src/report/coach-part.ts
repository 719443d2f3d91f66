import { startWord } from '../lift/start-word.ts';
import { type Posture, shownRepetition } from '../study/postures.ts';
import { halfWidth, intervalText, valueText } from '../study/shown.ts';
import { type Estimate, measureEstimate } from '../study/spread.ts';
import { conditionWords } from '../study/summary.ts';
import { COACH_MEASURES, type CoachMeasure } from './coach-measures.ts';
import { doubtSection, notCountedCauses } from './doubt-part.ts';
import { type Content, type Html, html } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import type { PosturePanels } from './lift-figures.ts';
import { rangeText } from './numbers.ts';
import { figure, list } from './page.ts';
import { qualitySection } from './quality-part.ts';
import type { ReportContent } from './report-input.ts';
import { unknownMeasures, withoutStickingPoint } from './unknowns.ts';
import * as say from './wording.ts';
import * as doubt from './wording-doubt.ts';

/** The plain part: what a coach reads, from one sentence down to the cautions. No jargon. */
export function coachPart(input: ReportContent): Html {
  return html`${firstScreen(input)}
${measuresSection(input)}
${doubtSection(input)}
${curvesSection(input)}
${qualitySection(input)}
${unknownSection(input)}
${cautionsSection()}`;
}

function fullCount({ record }: ReportContent): number {
  return record.repetitions.filter(({ completeness }) => completeness === 'full').length;
}

function firstScreen(input: ReportContent): Html {
  const { record, recording, graded } = input;
  const facts = [
    say.dateWords(recording.date),
    say.setWords(recording.lift.set),
    conditionWords(recording.condition),
    say.repetitionsWords(record.repetitions.length, fullCount(input)),
  ].filter((fact) => fact !== '');
  const atParallel = measureEstimate(record, input.means, 'hip_share', 'parallel', 'both');
  const atBottom = measureEstimate(record, input.means, 'hip_share', 'bottom', 'both');
  const told = atParallel.known ? atParallel.estimate : atBottom.known ? atBottom.estimate : null;
  return html`<header>
${recording.synthetic ? html`<p class="synthetic"><strong>${say.syntheticMark()}</strong> – ${say.syntheticSentence()}</p>` : null}
<div class="top"><div>
<p class="facts"><span>${say.lifterLabel()} <strong>${recording.athlete.id}</strong></span><span>${recording.id}</span></p>
<h1>${say.liftTitle(recording)}</h1>
<p class="facts">${facts.map((fact) => html`<span>${fact}</span>`)}</p>
<p class="facts"><span>${say.gradeLabel()}</span><span class="badge ${graded.grade ?? ''}">${say.gradeWords(graded.grade)}</span></p>
<p class="headline">${say.headline(startWord(record), atParallel, atBottom)}</p>
<p class="quiet">${say.headlineNote(input.uncertainty !== null, doubt.notCountedBriefly(notCountedCauses(input)), told)}</p>
</div>
${pictures(input)}
</div></header>`;
}

/** Parallel and bottom; half way down where parallel is not reached. */
function pictures({ record, recording, figures }: ReportContent): Html {
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

function measuresSection(input: ReportContent): Html {
  const full = fullCount(input);
  const rows = coachRows(input);
  const intervals = input.uncertainty !== null;
  const [what, mean, range] = say.measuresColumns(intervals);
  const several = full > 1;
  const groups = [...new Set(rows.map(({ line }) => line.group))];
  const body = groups.map((group): Content => {
    const of = rows.filter(({ line }) => line.group === group);
    return html`<tbody><tr><th scope="rowgroup" colspan="${several ? 3 : 2}">${group}</th></tr>
${of.map(({ line, estimate }) =>
  measureRow(line, valueCell(estimate, line, intervals), several ? rangeWithCount(estimate, line, full) : null),
)}</tbody>`;
  });
  return html`<section><h2>${say.measuresHeading()}</h2>
<p class="quiet">${full === 0 ? say.nothingMeasured() : say.measuresNote(full, intervals)}</p>
${
  rows.length === 0
    ? null
    : html`<div class="scroll coach"><table><thead><tr><th scope="col">${what}</th><th scope="col" class="n e">${mean}</th>${
        several ? html`<th scope="col" class="n">${range}</th>` : null
      }</tr></thead>${body}</table></div>`
}</section>`;
}

/** The lines of the coach's table that have a value. */
function coachRows({ record, means }: ReportContent): { line: CoachMeasure; estimate: Estimate }[] {
  return COACH_MEASURES.flatMap((line) => {
    const replaced = line.insteadOf && measureEstimate(record, means, line.insteadOf, line.at, line.side).known;
    const found = measureEstimate(record, means, line.measure, line.at, line.side);
    return found.known && !replaced ? [{ line, estimate: found.estimate }] : [];
  });
}

/** Value and interval, each in one piece, so that a narrow screen breaks between them. */
function valueCell(estimate: Estimate, { shown }: CoachMeasure, intervals: boolean): Html {
  const value = html`<span>${valueText(estimate, shown)}</span>`;
  if (!intervals) return value;
  return html`${value} <span class="iv">${intervalText(estimate, shown) || doubt.noInterval()}</span>`;
}

function measureRow({ words, hint }: CoachMeasure, value: Html, range: Html | null): Html {
  return html`<tr><th scope="row">${words}${hint === '' ? null : html`<span class="hint">${hint}</span>`}</th><td class="n e">${value}</td>${range === null ? null : html`<td class="n e">${range}</td>`}</tr>
`;
}

/** The range; with the number of repetitions where it is not all full ones. */
function rangeWithCount(estimate: Estimate, { shown, at }: CoachMeasure, full: number): Html {
  const range = html`<span>${rangeText(estimate, say.rangeShown(estimate, shown))}</span>`;
  return at === 'set' || estimate.n === full ? range : html`${range} <span>(${estimate.n} of ${full})</span>`;
}

function curvesSection(input: ReportContent): Html {
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
  const band =
    input.uncertainty && full > 0 ? say.bandCaption(full, doubt.notCountedBriefly(notCountedCauses(input))) : '';
  const strip = posturePanels(figures.postures, lifter);
  return html`<section><h2>${say.curvesHeading()}</h2>
<div class="figures">${drawn(figures.momentAcrossDepth, say.momentCaption(full, band))}${drawn(figures.hipShareAcrossDepth, say.shareCaption(full, band))}${drawn(figures.leanAcrossDepth, say.leanCaption(full, band))}${drawn(figures.timeCourse, say.timeCaption())}</div>
${
  strip.length > 0
    ? html`<h3>${say.stripCaption(shownRepetition(record)?.number ?? 1)}</h3>
<div class="strip">${strip}</div>`
    : null
}</section>`;
}

function unknownSection(content: ReportContent): Html {
  const { record } = content;
  const notFull = record.repetitions
    .filter(({ completeness }) => completeness !== 'full')
    .map(({ number, completeness, reason }) => say.repetitionNotFull(number, completeness, reason));
  const unknown = unknownMeasures(record).map(
    ({ reason, alike, titles, repetitions }) =>
      html`<strong>${say.plainReason(reason)}</strong>${alike ? say.andTheLike() : null}${say.inRepetitions(repetitions)}: ${titles.join(', ')}.`,
  );
  return html`<section><h2>${say.unknownHeading()}</h2>
${list([...notFull, ...unknown, ...withoutInterval(content), ...say.noStickingPointNote(withoutStickingPoint(record)), ...say.alwaysUnknown()])}</section>`;
}

/** Numbers of the coach's table that are known and have no interval, with the reason. */
function withoutInterval(content: ReportContent): string[] {
  return coachRows(content).flatMap(({ line, estimate }) => {
    if (content.uncertainty === null || Number.isFinite(halfWidth(estimate))) return [];
    const own = content.means.find((m) => m.measure === line.measure && m.at === line.at && m.side === line.side);
    return [doubt.intervalUnknown(line.words, own?.reason ?? '')];
  });
}

function cautionsSection(): Html {
  return html`<section><h2>${say.cautionsHeading()}</h2><div class="care">${list(say.cautions())}</div></section>`;
}
