import { decimalsOf, halfWidth, numberText, PER_CENT, plusMinusText } from '../study/shown.ts';
import { type Estimate, measureEstimate } from '../study/spread.ts';
import { CAUSE_GROUPS, type CauseGroup } from '../uncertainty/causes/cause.ts';
import { type Content, type Html, html } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import { figure, list } from './page.ts';
import type { ReportContent } from './report-input.ts';
import { shareAtBottom, shareAtParallel } from './wording.ts';
import * as say from './wording-doubt.ts';

/** Causes with less than this part of the doubt are not worth a line of their own. Common practice, no source. */
const LEAST_SHARE = 0.05;

/** How sure the numbers are, where the doubt comes from, what would lessen it, what is not counted. null where intervals are off. */
export function doubtSection(content: ReportContent): Html | null {
  const { uncertainty, figures } = content;
  if (uncertainty === null) return null;
  const caption = say.doubtCaption();
  return html`<section id="doubt"><h2>${say.doubtHeading()}</h2>
<p>${say.doubtMeaning()} ${say.notCounted(notCountedCauses(content))} ${say.alwaysOutside()}</p>
${figures.doubtShares ? html`<div class="single">${figure(inlineSvg(figures.doubtShares, caption), caption)}</div>` : null}
${advice(content)}</section>`;
}

export function notCountedCauses({ uncertainty }: Pick<ReportContent, 'uncertainty'>): CauseGroup[] {
  return uncertainty?.groups.filter(({ notIncluded }) => notIncluded !== '').map(({ group }) => group) ?? [];
}

/** The hips' part, at parallel or else at the bottom: what would narrow it, largest cause first. */
function advice({ record, means }: ReportContent): Content {
  const found = [
    { at: 'parallel', words: shareAtParallel() },
    { at: 'bottom', words: shareAtBottom() },
  ].flatMap(({ at, words }) => {
    const own = measureEstimate(record, means, 'hip_share', at, 'both');
    const mean = means.find((one) => one.measure === 'hip_share' && one.at === at && one.side === 'both');
    return own.known && mean && halfWidth(own.estimate) > 0 ? [{ words, estimate: own.estimate, mean }] : [];
  })[0];
  if (!found) return null;
  const { words, estimate, mean } = found;
  const barPlaced = (record.loads.motion.barbell?.placedBy ?? null) !== null;
  const causes = CAUSE_GROUPS.map((cause, i) => ({ cause, share: mean.shares[i] }))
    .filter(({ share }) => share > 0)
    .sort((a, b) => b.share - a.share);
  if (causes.length === 0) return null;
  const [largest] = causes;
  const mendable = causes.find(({ cause }) => say.IN_YOUR_HANDS.includes(cause));
  const worthALine = causes.filter(({ share }) => share >= LEAST_SHARE);
  return html`<p>${say.mostOfDoubt(words, plusMinusText(estimate, PER_CENT), largest.cause, largest.share)} ${say.wouldNarrow()}</p>
${list(
  worthALine.map(
    ({ cause, share }) =>
      html`<strong>${say.causeName(cause)}</strong>: ${say.causeItem(cause, share, leftWithout(estimate, share), barPlaced)}`,
  ),
)}
${mendable ? html`<p>${say.inYourHands(mendable.cause, mendable.share, leftWithout(estimate, mendable.share), barPlaced)}</p>` : null}
<p class="quiet">${say.sharesNote()}</p>`;
}

/** Half width that would be left, '± 3.1', with one digit more than the interval itself is worth, to show what it gains. */
function leftWithout(estimate: Estimate, share: number): string {
  const left = PER_CENT.factor * halfWidth(estimate) * Math.sqrt(Math.max(0, 1 - share));
  return `± ${numberText(left, decimalsOf(estimate, PER_CENT) + 1)}`;
}
