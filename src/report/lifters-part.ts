import { dotRows } from '../figures/dot-rows.ts';
import { halfWidth, PER_CENT, type Shown, shownAs } from '../study/shown.ts';
import type { Estimate } from '../study/spread.ts';
import type { SummaryRow } from '../study/summary.ts';
import { type Html, html } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import { digitsText } from './numbers.ts';
import { figure } from './page.ts';
import * as say from './wording-study.ts';

const SHOWN: readonly {
  readonly title: () => string;
  readonly of: (row: SummaryRow) => Estimate | null;
  readonly shown: Shown;
}[] = [
  { title: say.hipsAtParallel, of: (row) => row.hipShareAtParallel, shown: PER_CENT },
  { title: say.largestLean, of: (row) => row.largestLeanDeg, shown: shownAs('deg') },
];

/** Each lifter with two lifts or more: the main numbers across loads and conditions. null where there is no such lifter. */
export function liftersSection(rows: readonly SummaryRow[]): Html | null {
  const lifters = [...new Set(rows.map(({ lifter }) => lifter))].filter(
    (id) => rows.filter(({ lifter }) => lifter === id).length > 1,
  );
  if (lifters.length === 0) return null;
  return html`<section><h2>${say.acrossHeading()}</h2>
<p class="quiet">${say.acrossNote(SHOWN.some(({ of }) => hasInterval(rows.map(of))))}</p>
${lifters.map((lifter) => oneLifter(lifter, rows))}</section>`;
}

const hasInterval = (estimates: readonly (Estimate | null)[]): boolean =>
  estimates.some((one) => one !== null && Number.isFinite(halfWidth(one)));

function oneLifter(lifter: string, rows: readonly SummaryRow[]): Html {
  const own = rows
    .filter((row) => row.lifter === lifter)
    .sort((a, b) => a.loadKg - b.loadKg || (a.recordingId < b.recordingId ? -1 : 1));
  const loads = new Set(own.map(({ loadKg }) => loadKg)).size > 1;
  const name = ({ recordingId, loadKg, condition }: SummaryRow) =>
    [recordingId, loads && loadKg > 0 ? `${digitsText(loadKg, 4)} kg` : '', condition]
      .filter((part) => part !== '')
      .join(' · ');
  const figures = SHOWN.flatMap(({ title, of, shown }) => {
    const dots = own.flatMap((row) => {
      const estimate = of(row);
      return estimate ? [{ name: name(row), estimate }] : [];
    });
    const svg = dotRows(title(), dots, shown);
    return svg
      ? [
          figure(
            inlineSvg(svg, say.dotsDescription(lifter, title(), hasInterval(dots.map(({ estimate }) => estimate)))),
            '',
          ),
        ]
      : [];
  });
  return html`<h3>${say.lifterHeading(lifter)}</h3>
<div class="figures">${figures}</div>`;
}
