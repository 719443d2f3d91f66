import { CHANGE_PANELS } from '../figures/change-words.ts';
import { type SetChange, WATCHED, watchedChanges } from '../study/set-changes.ts';
import { shownAs } from '../study/shown.ts';
import { type Html, html } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import { figure, list } from './page.ts';
import { fullCount } from './repetition-count.ts';
import type { ReportContent } from './report-input.ts';
import * as say from './wording-across-set.ts';

/** From which repetition technique begins to change, with the effort as rated; null for a set of one repetition. */
export function acrossSetSection({ record, recording, setChanges, figures, uncertainty }: ReportContent): Html | null {
  const full = fullCount(record);
  if (full < 2) return null;
  const called = watchedChanges(setChanges);
  const watched = WATCHED.filter(({ measure, side, at }) =>
    setChanges.some((one) => one.measure === measure && one.side === side && one.at === at),
  );
  return html`<section id="set"><h2>${say.setHeading()}</h2>
<p class="quiet">${say.setNote(full, recording.lift.effortRpe)}</p>
${
  uncertainty === null
    ? html`<p>${say.changesWithoutIntervals()}</p>`
    : called.length === 0
      ? html`<p>${say.nothingChanges()}</p>`
      : list(called.flatMap(sentenceOf))
}
${figures.acrossSet === null ? null : figure(inlineSvg(figures.acrossSet, say.setCaption()), say.setCaption())}
${watched.length === 0 ? null : html`<p class="quiet">${say.watchedNote(watched.length)}</p>`}</section>`;
}

function sentenceOf({ measure, side, at, unit, points, change }: SetChange): string[] {
  const panel = CHANGE_PANELS.find((one) => one.measure === measure && one.side === side && one.at === at);
  if (change === null || !panel) return [];
  const shown = panel.unit === '%' ? { factor: 100, unit: '%', decimals: 0 } : shownAs(unit);
  const { difference: value, lower, upper, from, shape } = change;
  const gradual = shape === 'little by little';
  return [say.changeSentence(panel.words, points[from].repetition, gradual, { value, lower, upper }, shown)];
}
