import { COLOUR } from '../figures/look.ts';
import { PHASE_WORDS } from '../figures/words.ts';
import { MEASURES } from '../lift/measures/index.ts';
import type { LiftComparison, MeasureDifference } from '../study/compare/compare-lifts.ts';
import { cautionsOf, conditionsOf, sameRig } from '../study/compare/conditions.ts';
import { curveOf, rangesThatDiffer, sharedDepths } from '../study/compare/depth-ranges.ts';
import { decimalsFor, numberText, shownAs } from '../study/shown.ts';
import { CAUSE_GROUPS } from '../uncertainty/causes/cause.ts';
import { HALF_WIDTH_95 } from '../uncertainty/posture-uncertainty.ts';
import { COACH_MEASURES } from './coach-measures.ts';
import { COMPARED_CURVES, type CompareFigures } from './compare-figures.ts';
import {
  type CoachRow,
  coachRows,
  countOf,
  decimalsIn,
  differenceShown,
  differenceText,
  headlineOf,
  headlineRow,
  intervalIn,
  sideText,
  signed,
  surestFirst,
  withUnit,
} from './compare-rows.ts';
import * as say from './compare-wording.ts';
import { type Content, type Html, html, linkTo } from './html.ts';
import { colourName, inlineSvg } from './inline-svg.ts';
import { dataTable, figure, list, page } from './page.ts';
import { madeBy, syntheticMark, syntheticSentence } from './wording.ts';
import { notCounted } from './wording-doubt.ts';

export interface ComparePage {
  readonly comparison: LiftComparison;
  readonly figures: CompareFigures;
  /** Names of the files written beside the page: they become links. */
  readonly files: readonly string[];
  readonly toolVersion: string;
}

/** Said beside the sentence under the headline, at most so many. */
const MOST_ALSO = 5;

const STYLE = `
.ab{display:flex;flex-wrap:wrap;gap:.3rem 1.4rem;margin:.4rem 0}
.ab span{border-bottom:.22rem solid var(${colourName(COLOUR.down)},${COLOUR.down});padding-bottom:.1rem}
.ab .b{border-bottom-style:dotted;border-bottom-color:var(${colourName(COLOUR.up)},${COLOUR.up})}
.verdict{white-space:nowrap}
.verdict.different{font-weight:700}
.verdict.cannot,.verdict.unknown{color:var(--quiet)}
.first{border-left:.3rem solid var(--usable);padding:.2rem 0 .2rem .9rem;margin:1rem 0}
.first p{margin:.25rem 0}
.conditions{max-width:44rem}
.conditions tr.differs td,.conditions tr.differs th{font-weight:700}
.postures{display:grid;gap:.6rem;grid-template-columns:repeat(2,minmax(0,1fr))}
.postures .card{padding:.3rem}
.compare td.w{min-width:9rem}
@media (max-width:32rem){
.compare thead{display:none}
.compare tr{display:grid;grid-template-columns:1fr 1fr;padding:.35rem 0;border-top:1px solid var(--line)}
.compare th,.compare td{border-top:0;padding:.1rem .6rem}
.compare tbody th{grid-column:1/-1}
.compare td.n{text-align:left}
.compare td::before{content:attr(data-label) " ";color:var(--quiet);font-size:.85em}
.compare td.wide{grid-column:1/-1}
.compare tbody th[scope=rowgroup]{display:block;padding:.4rem .6rem}
}
@media (min-width:46rem){.postures{grid-template-columns:repeat(4,minmax(0,1fr))}}
`;

/** The page of a comparison as one HTML file that needs nothing else. The same input gives the same bytes. */
export function comparePage(input: ComparePage): string {
  const { comparison, toolVersion } = input;
  const sides = say.sideWords(comparison);
  return page(
    say.compareTitle(comparison),
    html`${firstScreen(input, sides)}
${picturesSection(input, sides)}
${conditionsTable(comparison)}
${coachTable(comparison)}
${curvesSection(input)}
${cancelSection(input)}
${allSection(comparison)}
<section><h2>${say.careHeading()}</h2><div class="care">${list(say.care())}</div></section>
${filesSection(input)}
<footer class="quiet">${madeBy(toolVersion)}</footer>`,
    { style: STYLE },
  );
}

type Sides = ReturnType<typeof say.sideWords>;

function firstScreen({ comparison }: ComparePage, sides: Sides): Html {
  const { a, b } = comparison;
  const first = cautionsOf(a, b, sameRig(a, b));
  const synthetic = a.recording.synthetic || b.recording.synthetic;
  return html`<header>
${synthetic ? html`<p class="synthetic"><strong>${syntheticMark()}</strong> – ${syntheticSentence()}</p>` : null}
<p class="facts"><span>${say.compareKicker()}</span></p>
<h1>${say.compareTitle(comparison)}</h1>
<p class="ab"><span>A: <strong>${say.nameOf(a)}</strong> (${sides.a})</span><span class="b">B: <strong>${say.nameOf(b)}</strong> (${sides.b})</span></p>
<p class="headline">${headlineOf(comparison)}</p>
<p class="quiet">${a.uncertainty && b.uncertainty ? html`${say.headlineNote()} ` : null}${say.allDifferences()}</p>
${also(comparison)}
${first.length > 0 ? html`<div class="first">${first.map((text) => html`<p>${text}</p>`)}</div>` : null}
</header>`;
}

/** What else a coach would want to know is different, the surest first. */
function also(comparison: LiftComparison): Html | null {
  const told = headlineRow(comparison)?.row;
  const all = coachRows(comparison);
  if (countOf(all).judged === 0) return null;
  const rows = surestFirst(all.filter(({ row }) => row !== told));
  const first = rows.slice(0, MOST_ALSO);
  return html`<p>${say.alsoDifferent(rows.length, told?.verdict === 'different')}</p>
${first.length > 0 ? list(first.map(({ line, row }) => html`${line.words}: <strong>${differenceText(row, differenceShown(line))}</strong>`)) : null}`;
}

function conditionsTable({ a, b }: LiftComparison): Html {
  const stated = conditionsOf(a, b).filter((one) => one.a !== '' || one.b !== '');
  const ALWAYS = ['lifter', 'lift', 'load'];
  const shown = stated.filter((one) => one.a !== one.b || ALWAYS.includes(one.name));
  const alike = stated.filter((one) => !shown.includes(one));
  const cell = (text: string) => text || say.notStated();
  return html`<section><h2>${say.conditionsHeading()}</h2>
<div class="scroll conditions"><table><thead><tr>${say.conditionColumns().map((title) => html`<th scope="col">${title}</th>`)}</tr></thead><tbody>${shown.map(
    (
      one,
    ) => html`<tr${one.a === one.b ? null : html` class="differs"`}><th scope="row">${say.CONDITION_WORDS[one.name]}</th><td>${cell(one.a)}</td><td>${cell(one.b)}</td></tr>
`,
  )}</tbody></table></div>
${alike.length > 0 ? html`<p class="quiet">${say.alikeIn(alike.map((one) => `${say.CONDITION_WORDS[one.name]} (${one.a})`))}</p>` : null}</section>`;
}

function picturesSection({ figures }: ComparePage, sides: Sides): Html {
  const { postures, pairs } = figures;
  if (pairs.length === 0) return html`<section><h2>${say.picturesHeading()}</h2><p>${say.noPictures()}</p></section>`;
  const alignedBy = pairs.every((pair) => pair.alignedBy === 'mid-foot') ? 'mid-foot' : 'ankles';
  return html`<section><h2>${say.picturesHeading()}</h2>
<div class="postures">${[...postures].map(
    ([posture, svg]) => html`<figure class="card">${inlineSvg(svg, say.pictureDescription(posture))}</figure>`,
  )}</div>
<p class="quiet">${say.picturesCaption(sides, alignedBy)}</p></section>`;
}

function verdictCell(row: MeasureDifference): Html {
  const words = html`<span class="verdict ${row.verdict.split(' ')[0]}">${say.verdictWords(row.verdict)}</span>`;
  return row.verdict === 'unknown' ? html`${words}<span class="hint">${say.unknownWhy(row.reason)}</span>` : words;
}

function coachTable(comparison: LiftComparison): Html {
  const all = coachRows(comparison);
  const known = ({ row }: CoachRow) => row.a.averaged + row.b.averaged > 0;
  const rows = all.filter(known);
  const { judged, different } = countOf(rows);
  const [what, a, b, difference, verdict] = say.tableColumns();
  const groups = [...new Set(rows.map(({ line }) => line.group))];
  const body = groups.map((group): Content => {
    const own = rows.filter(({ line }) => line.group === group);
    return html`<tbody><tr><th scope="rowgroup" colspan="5">${group}</th></tr>
${own.map(({ line, row }) => {
  const shown = differenceShown(line);
  return html`<tr><th scope="row">${line.words}${line.hint === '' ? null : html`<span class="hint">${line.hint}</span>`}</th><td class="n" data-label="A">${sideText(row, 'a', line.shown)}</td><td class="n" data-label="B">${sideText(row, 'b', line.shown)}</td><td class="n wide" data-label="B − A">${differenceText(row, shown) || '–'}</td><td class="w wide">${verdictCell(row)}</td></tr>
`;
})}</tbody>`;
  });
  return html`<section><h2>${say.tableHeading()}</h2>
<p class="quiet">${say.tableNote(judged, different)}</p>
<div class="scroll compare"><table><thead><tr><th scope="col">${what}</th><th scope="col" class="n">${a}</th><th scope="col" class="n">${b}</th><th scope="col" class="n">${difference}</th><th scope="col">${verdict}</th></tr></thead>${body}</table></div>
${unknownLines(all.filter((one) => !known(one)))}</section>`;
}

/** What neither side knows, by reason. */
function unknownLines(rows: readonly CoachRow[]): Html | null {
  if (rows.length === 0) return null;
  const byReason = new Map<string, string[]>();
  for (const { line, row } of rows) byReason.set(row.reason, [...(byReason.get(row.reason) ?? []), line.words]);
  return html`<p class="quiet">${say.unknownInBoth()}</p>
${list([...byReason].map(([reason, words]) => html`${words.join('; ')}: ${say.unknownWhy(reason)}`))}`;
}

function curvesSection({ comparison, figures }: ComparePage): Html {
  const judged = comparison.a.uncertainty !== null && comparison.b.uncertainty !== null;
  const parts = COMPARED_CURVES.map((curve): Content => {
    const points = curveOf(comparison.curves, curve.quantity, curve.side);
    const ranges = rangesThatDiffer(points);
    const drawn = (['descent', 'ascent'] as const).flatMap((phase) => {
      const svg = figures.curves.get(`${curve.file} ${phase}`);
      const way = PHASE_WORDS[phase];
      const told = say.rangesSentence(
        `${way.charAt(0).toUpperCase()}${way.slice(1)}`,
        ranges.filter((range) => range.phase === phase),
        sharedDepths(points, phase),
        judged,
        curve.shown,
      );
      return svg ? [figure(inlineSvg(svg, say.figureDescription(curve.title, way)), told)] : [];
    });
    return html`<h3>${curve.title}</h3>
${drawn.length > 0 ? html`<div class="figures">${drawn}</div>` : html`<p>${say.curveMissing(curve.title)}</p>`}`;
  });
  return html`<section><h2>${say.curvesHeading()}</h2>
<p class="quiet">${say.curvesNote()}</p>
${parts}</section>`;
}

function cancelSection({ comparison }: ComparePage): Html | null {
  const { a, b, sameRecording } = comparison;
  const row = headlineRow(comparison)?.row ?? coachRows(comparison).find(({ row: one }) => one.sd > 0)?.row;
  if (!row || !a.uncertainty || !b.uncertainty || !(row.sd >= 0)) return null;
  const line = COACH_MEASURES.find(
    ({ measure, at, side }) => measure === row.measure && at === row.at && side === row.side,
  );
  const shown = line ? differenceShown(line) : shownAs(row.unit);
  const half = (variance: number) => shown.factor * HALF_WIDTH_95 * Math.sqrt(variance);
  const sum = (of: readonly number[]) => of.reduce((total, part) => total + part, 0);
  const [apart, left] = [half(sum(row.apartOf)), half(sum(row.leftOf))];
  const text = (value: number) => numberText(value, decimalsFor(Math.min(apart, left > 0 ? left : apart), 1) + 1);
  const groups = CAUSE_GROUPS.map((group, g) => ({ group, apart: row.apartOf[g], left: row.leftOf[g] })).filter(
    (part) => part.apart > 0,
  );
  return html`<section><h2>${say.cancelHeading()}</h2>
<p>${say.cancelNote(line?.words ?? row.measure, text(apart), text(left), row.cancelled)}</p>
${list(say.cancelMeaning(sameRecording, a.recording.athlete.id === b.recording.athlete.id, sameRig(a, b)))}
${dataTable(
  say.cancelColumns(shown.unit).map((title, i) => ({ title, numeric: i > 0 })),
  groups.map((part) => [say.causeName(part.group), text(half(part.apart)), text(half(part.left))]),
  say.cancelHeading(),
)}
${html`<p class="quiet">${notCounted(notCountedIn(comparison))}</p>`}</section>`;
}

/** Kinds of doubt that the files of one side or both do not state. */
const notCountedIn = ({ a, b }: LiftComparison) =>
  CAUSE_GROUPS.filter((group) =>
    [a, b].some(({ uncertainty }) => uncertainty?.groups.some((one) => one.group === group && one.notIncluded !== '')),
  );

function allSection(comparison: LiftComparison): Html {
  const titles = new Map<string, string>(MEASURES.map(({ name, title }) => [name, title]));
  const rows = comparison.measures.map((row) => ({ row }));
  const { judged, different } = countOf(rows);
  return html`<section><h2>${say.allHeading()}</h2>
<p class="quiet">${say.allNote(rows.length, judged, different)}</p>
<details><summary>${say.allFold()}</summary>
${dataTable(
  say.allColumns().map((title, i) => ({ title, numeric: i > 2 && i < 8 })),
  rows.map(({ row }) => {
    const shown = shownAs(row.unit);
    const value = Number.isFinite(row.difference) ? signed(row.difference * shown.factor, decimalsIn(row, shown)) : '';
    return [
      titles.get(row.measure) ?? row.measure,
      row.side,
      row.at,
      sideText(row, 'a', shown),
      sideText(row, 'b', shown),
      value === '' ? '–' : withUnit(value, shown.unit),
      intervalIn(row, shown).replace(/[()]/g, ''),
      Number.isFinite(row.cancelled)
        ? `${Math.round(100 * row.cancelled)
            .toString()
            .replace('-', '−')} %`
        : '',
      verdictCell(row),
    ];
  }),
  say.allHeading(),
)}</details></section>`;
}

function filesSection({ files }: ComparePage): Html {
  return html`<section><h2>${say.filesHeading()}</h2>
${list(files.map((file) => html`<a href="${linkTo(file)}">${file}</a>`))}
<p class="quiet">${say.methodNote()}</p></section>`;
}
