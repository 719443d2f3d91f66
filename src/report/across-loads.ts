import type { Recording } from '../capture/recording.ts';
import { acrossLoads } from '../figures/across-loads.ts';
import { CHANGE_PANELS } from '../figures/change-words.ts';
import { renderSvg } from '../figures/render-svg.ts';
import { type LoadChange, loadChangesTable, loadGroup } from '../study/across-loads.ts';
import { shownAs } from '../study/shown.ts';
import { type Html, html } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import { figure, list } from './page.ts';
import * as say from './wording-across-loads.ts';
import { withoutIntervals } from './wording-doubt.ts';

/** What the load changes in one athlete's lifts of one kind and condition. */
export interface LoadPart {
  readonly title: string;
  /** From which load what is called changed, in sentences. */
  readonly changes: readonly string[];
  /** SVG text; null where nothing can be drawn. */
  readonly picture: string | null;
}

/** One part an athlete, kind of lift, place of the bar and condition, in the order of the changes. */
export async function loadParts(changes: readonly LoadChange[]): Promise<LoadPart[]> {
  const groups = new Map<string, LoadChange[]>();
  for (const change of changes) {
    const { athleteId, liftKind, barPosition, condition } = change;
    const key = JSON.stringify([athleteId, liftKind, barPosition, condition]);
    groups.set(key, [...(groups.get(key) ?? []), change]);
  }
  const parts: LoadPart[] = [];
  for (const group of groups.values()) {
    const drawn = acrossLoads(loadChangesTable(group));
    parts.push({
      title: say.loadGroup(group[0].athleteId, group[0].liftKind, group[0].condition),
      changes: group.flatMap(sentenceOf),
      picture: drawn && (await renderSvg(drawn)),
    });
  }
  return parts;
}

/** Only what has plain words of its own: the table holds the rest. */
function sentenceOf({ measure, side, at, unit, points, changesFromKg }: LoadChange): string[] {
  const panel = CHANGE_PANELS.find((one) => one.measure === measure && one.side === side && one.at === at);
  const point = points.find(({ loadKg }) => loadKg === changesFromKg);
  if (!panel || !point) return [];
  const shown = panel.unit === '%' ? { factor: 100, unit: '%', decimals: 0 } : shownAs(unit);
  const { difference: value, differenceLower: lower, differenceUpper: upper } = point;
  return [say.loadSentence(panel.words, point.loadKg, { value, lower, upper }, shown)];
}

/**
 * null where no athlete lifted two loads.
 *
 * @param recordings of the study
 * @param intervals false where they were switched off
 */
export function acrossLoadsSection(
  parts: readonly LoadPart[],
  recordings: readonly Recording[],
  intervals: boolean,
): Html | null {
  if (parts.length === 0) {
    return intervals || !twoLoads(recordings)
      ? null
      : html`<section id="loads"><h2>${say.loadsHeading()}</h2><p>${withoutIntervals()}</p></section>`;
  }
  return html`<section id="loads"><h2>${say.loadsHeading()}</h2>
<p class="quiet">${say.loadsNote()}</p>
${parts.map(
  ({ title, changes, picture }) => html`<h3>${title}</h3>
${changes.length === 0 ? html`<p>${say.noLoadChange()}</p>` : list(changes)}
${picture === null ? null : figure(inlineSvg(picture, say.loadsCaption()), say.loadsCaption())}
`,
)}</section>`;
}

/** Whether two recordings are alike but for their load. */
function twoLoads(recordings: readonly Recording[]): boolean {
  const loads = new Map<string, number>();
  return recordings.some((recording) => {
    const group = loadGroup(recording);
    const { totalKg } = recording.load;
    if (loads.has(group)) return loads.get(group) !== totalKg;
    loads.set(group, totalKg);
    return false;
  });
}
