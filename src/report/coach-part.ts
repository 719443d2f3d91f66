import { shownRepetition } from '../study/postures.ts';
import { halfWidth, intervalText, valueText } from '../study/shown.ts';
import { type Estimate, measureEstimate } from '../study/spread.ts';
import { acrossSetSection } from './across-set-part.ts';
import { COACH_MEASURES, type CoachMeasure } from './coach-measures.ts';
import { notCountedCauses } from './doubt-part.ts';
import { findingsSection } from './findings-part.ts';
import { firstScreen, panelsOf } from './first-screen.ts';
import { type Content, type Html, html } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import { rangeText } from './numbers.ts';
import { figure, list } from './page.ts';
import { fullCount } from './repetition-count.ts';
import type { ReportContent } from './report-input.ts';
import { sceneSection } from './scene-part.ts';
import { unknownMeasures, withoutStickingPoint } from './unknowns.ts';
import * as say from './wording.ts';
import { cautionsFor } from './wording-cautions.ts';
import * as doubt from './wording-doubt.ts';

/** The coach's view: from one sentence down to the cautions. No jargon. */
export function coachPart(input: ReportContent): Html {
  return html`${firstScreen(input)}
<section class="on-paper">${cautions(input)}</section>
${sceneSection(input, input.previous?.scene ?? null)}
${findingsSection(input)}
${curvesSection(input)}
${acrossSetSection(input)}
${measuresSection(input)}
${unknownSection(input)}
${cautionsSection(input)}`;
}

function measuresSection(input: ReportContent): Html {
  const full = fullCount(input.record);
  const rows = coachRows(input);
  const intervals = input.uncertainty !== null;
  const more = rows.filter(({ line }) => !line.main);
  return html`<section id="measures"><h2>${say.measuresHeading()}</h2>
<p class="quiet">${full === 0 ? say.nothingMeasured() : say.measuresNote(full, intervals)}</p>
${measureTable(
  rows.filter(({ line }) => line.main),
  full,
  intervals,
)}
${
  more.length === 0
    ? null
    : html`<details data-print><summary>${say.moreMeasures(more.length)}</summary>${measureTable(more, full, intervals)}</details>`
}</section>`;
}

type Row = ReturnType<typeof coachRows>[number];

function measureTable(rows: readonly Row[], full: number, intervals: boolean): Html | null {
  if (rows.length === 0) return null;
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
  return html`<div class="scroll coach" tabindex="0" role="region" aria-label="${say.measuresHeading()}"><table><thead><tr><th scope="col">${what}</th><th scope="col" class="n e">${mean}</th>${
    several ? html`<th scope="col" class="n">${range}</th>` : null
  }</tr></thead>${body}</table></div>`;
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
  const full = fullCount(input.record);
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
  const strip = panelsOf(figures.postures).map(
    ([posture, svg]) => html`<figure class="card">${inlineSvg(svg, say.pictureDescription(posture, lifter))}</figure>`,
  );
  return html`<section id="curves"><h2>${say.curvesHeading()}</h2>
<p class="quiet">${say.curvesNote(full, band)}</p>
<div class="figures">${drawn(figures.momentAcrossDepth, say.momentCaption())}${drawn(figures.hipShareAcrossDepth, say.shareCaption())}${drawn(figures.leanAcrossDepth, say.leanCaption())}${drawn(figures.timeCourse, say.timeCaption())}</div>
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
  return html`<section id="unknown"><h2>${say.unknownHeading()}</h2>
${list([...notFull, ...unknown, ...withoutInterval(content), ...say.noStickingPointNote(withoutStickingPoint(record))])}</section>`;
}

/** Numbers of the coach's table that are known and have no interval, with the reason. */
function withoutInterval(content: ReportContent): string[] {
  return coachRows(content).flatMap(({ line, estimate }) => {
    if (content.uncertainty === null || Number.isFinite(halfWidth(estimate))) return [];
    const own = content.means.find((m) => m.measure === line.measure && m.at === line.at && m.side === line.side);
    return [doubt.intervalUnknown(line.words, own?.reason ?? '')];
  });
}

/** On paper the cautions stand behind the first screen, near to what it asks to try. */
const cautionsSection = (input: ReportContent): Html =>
  html`<section id="care" class="on-screen">${cautions(input)}</section>`;

const cautions = ({ recording }: ReportContent): Html =>
  html`<h2>${say.cautionsHeading()}</h2><div class="care">${list(cautionsFor(recording))}</div>`;
