import { measurePicture } from '../figures/measure-pictures/index.ts';
import type { FindingChain } from '../lift/findings/chains.ts';
import type { Finding } from '../lift/findings/findings.ts';
import type { FindingWord } from '../lift/findings/probability.ts';
import { findingSentence, findingShown, thresholdText } from '../study/finding-words.ts';
import { plusMinusWithUnit } from '../study/shown.ts';
import { type FindingGroup, type FindingOfSide, findingGroups } from './findings-groups.ts';
import { type Content, type Html, html, Html as RawHtml } from './html.ts';
import { list } from './page.ts';
import type { ReportContent } from './report-input.ts';
import { plainReason } from './wording.ts';
import * as say from './wording-findings.ts';

type FindingsContent = Pick<ReportContent, 'findings' | 'chains' | 'uncertainty'>;

/** The coach's list: what is shown, what is suggested, what was seen together; the rest folded, with reasons. */
export function findingsSection({ findings, chains, uncertainty }: FindingsContent): Html {
  const groups = findingGroups(findings);
  const of = (word: FindingWord) => groups.filter((group) => group.word === word);
  const told = [...of('shown'), ...of('suggested')];
  return html`<section id="findings"><h2>${say.findingsHeading()}</h2>
<p class="quiet">${groups.length === 0 ? say.noFindings() : say.findingsNote(uncertainty !== null)}</p>
${groups.length > 0 && told.length === 0 && uncertainty !== null ? html`<p>${say.nothingFound()}</p>` : null}
${told.map(findingCard)}
${chainsPart(chains)}
${folded(say.openSummary(of('open').length), of('open').map(openLine))}
${folded(say.notThereSummary(of('not there').length), of('not there').map(notThereLine))}
${folded(say.unknownSummary(of('unknown').length), unknownLines(of('unknown')))}
</section>`;
}

function findingCard({ rule, word, sides }: FindingGroup): Html {
  const [first] = sides;
  const limit = thresholdText(rule, first.set.unit);
  return html`<article class="card finding ${word}" data-finding="${rule.name}">
${drawing(rule.measure)}<h3>${rule.title} <span class="badge">${say.wordLabel(word)}</span></h3>
${sides.map((side) => sideLines(side, limit))}
<dl><dt>${say.whyLabel()}</dt><dd>${rule.why}</dd>
<dt>${say.cueLabel()}</dt><dd>${rule.cue === '' ? say.noCue() : rule.cue}</dd>
${rule.caution === '' ? null : html`<dt>${say.cautionLabel()}</dt><dd>${rule.caution}</dd>`}</dl>
<p class="basis">${say.basisLine(limit, rule.basis)}</p>
</article>
`;
}

/** Our own drawing, no text from outside: it may stand as it is. */
function drawing(measure: string): Content {
  const svg = measurePicture(measure);
  return svg === null ? null : html`<div class="drawn" aria-hidden="true">${new RawHtml(svg)}</div>`;
}

/** What one side shows: sentence, number, in how many repetitions, and the way to its frames. */
function sideLines(side: FindingOfSide, limit: string): Html {
  const { set, known, seen } = side;
  const only = set.word !== 'shown' && set.word !== 'suggested';
  // Where the mean says little, the sentence is that of the repetition that shows it most.
  const told = only && seen.length > 0 ? [...seen].sort((a, b) => b.probability - a.probability)[0] : set;
  return html`<p>${findingSentence(told)}</p>
<p class="quiet">${say.numberLine(numberText(told), told.rule.comparison, limit, told.probability)}. ${say.seenIn(seen.length, known.length)}${
    only ? ` ${say.notInTheMean()}` : null
  }</p>
${jumps(set, seen.length > 0 ? seen : known)}
`;
}

const numberText = (finding: Finding): string =>
  plusMinusWithUnit(finding, findingShown(finding.rule.measure, finding.unit));

/** Buttons to the frames of each repetition; of a measure of the whole set to its own. */
function jumps(set: Finding, repetitions: readonly Finding[]): Content {
  const shown = [...(repetitions.length === 0 ? [set] : repetitions)].filter(({ frameLast }) => frameLast >= 0);
  if (shown.length === 0) return null;
  return html`<div class="where">${shown.map(
    (finding) =>
      html`<button type="button" data-jump-frame="${finding.frameLast}" data-jump-view="${viewOf(finding.rule.measure)}" aria-label="${say.jumpLabel(finding.rule.title, finding.repetition)}">${
        finding.repetition === 0 ? say.wholeSetButton() : say.repetitionButton(finding.repetition)
      }</button>`,
  )}</div>`;
}

const FROM_THE_FRONT: ReadonlySet<string> = new Set([
  'knee_track',
  'hip_shift',
  'bar_tilt',
  'hips_tilt',
  'shoulders_tilt',
  'left_minus_right_thigh',
  'elbow_width',
  'hand_spacing',
]);
const FROM_ABOVE: ReadonlySet<string> = new Set(['bar_turn', 'toe_out', 'feet_moved', 'stance_stagger']);

/** From where a measure is best seen. */
function viewOf(measure: string): 'side' | 'front' | 'top' {
  if (FROM_THE_FRONT.has(measure)) return 'front';
  return FROM_ABOVE.has(measure) ? 'top' : 'side';
}

function chainsPart(chains: readonly FindingChain[]): Content {
  if (chains.length === 0) return null;
  return html`<h3>${say.chainsHeading()}</h3>
${chains.map(
  ({ links, sentence }) => html`<div class="card finding"><ol class="chain">${links.map(
    ({ rule }) => html`<li><span>${rule.title}</span></li>`,
  )}</ol>
<p>${sentence}</p></div>
`,
)}`;
}

function folded(summary: string, lines: readonly Content[]): Content {
  if (lines.length === 0) return null;
  return html`<details data-print><summary>${summary}</summary>
${list(lines)}</details>`;
}

function openLine({ rule, sides: [{ set }] }: FindingGroup): Html {
  const number = say.numberLine(numberText(set), rule.comparison, thresholdText(rule, set.unit), set.probability);
  return html`<strong>${rule.title}</strong>: ${number}.${set.reason === '' ? null : ` (${plainReason(set.reason)})`}`;
}

/** With its limit: less than the limit is not nothing. */
const notThereLine = ({ rule, sides: [{ set }] }: FindingGroup): Html =>
  html`${rule.title} <span class="quiet">(${say.limitNote(rule.comparison, thresholdText(rule, set.unit))})</span>`;

/** Rules that could not be looked at, under each reason once. */
function unknownLines(groups: readonly FindingGroup[]): Html[] {
  const byReason = new Map<string, string[]>();
  for (const { rule, sides } of groups) {
    const reason = plainReason(sides[0].set.reason);
    byReason.set(reason, [...(byReason.get(reason) ?? []), rule.title]);
  }
  return [...byReason].map(([reason, names]) => html`<strong>${reason}</strong>: ${names.join('; ')}.`);
}
