import { type ShownEffect, shownEffects, signed, verdictOf } from '../figures/cohort/forest.ts';
import { outcomeName } from '../figures/cohort/names.ts';
import { groupsOf, known, said } from '../figures/cohort/publication.ts';
import { changeText, weekSeries } from '../figures/cohort/week-to-week.ts';
import { numberText } from '../study/shown.ts';
import type { CohortFigure, CohortInput, CohortSection, ComparisonTables } from './cohort-figures.ts';
import { cohortSentences } from './cohort-sentences.ts';
import { type Content, type Html, html, linkTo, Html as RawHtml } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import { dataTable, list } from './page.ts';
import { fileWords } from './wording-science.ts';
import * as say from './wording-study.ts';

/** Comments around the place that tells of the whole study: it is written after the rest of the page. */
const MARKS = ['<!--whole-study-->', '<!--/whole-study-->'] as const;

/** What the coach reads first stands larger; captions are long and keep to a readable width. */
export const COHORT_STYLE =
  '.finding{font-size:1.2rem;line-height:1.35;font-weight:600;margin:.7rem 0;max-width:44rem}';

/** The place between its marks, empty. */
export const cohortPlace = (): Html => new RawHtml(MARKS.join(''));

/**
 * The page of a study with what is said of the whole study put in, exchanged, or (null) taken out. null where the text is no such page.
 */
export function withCohort(page: string, part: Html | null): string | null {
  const from = page.indexOf(MARKS[0]);
  const to = page.indexOf(MARKS[1], from);
  if (from < 0 || to < 0) return null;
  return page.slice(0, from + MARKS[0].length) + (part?.text ?? '') + page.slice(to);
}

/** What the page says of the whole study: comparison, weeks, repeated recordings. `tables`: names of the files there. */
export function cohortPart(input: CohortInput, figures: readonly CohortFigure[], tables: readonly string[]): Html {
  return html`${input.comparison ? comparison(input.comparison, figures, tables) : null}
${weeks(input.weeks, figures, tables)}
${repeated(figures, tables)}`;
}

function comparison(of: ComparisonTables, figures: readonly CohortFigure[], tables: readonly string[]): Html {
  const all = shownEffects(of.effects);
  const sentences = cohortSentences(of);
  const open = sentences.flatMap(({ text, differs }) => (differs ? [] : [text]));
  const within = all.some(({ row }) => said(row.athlete_id) !== '');
  return html`<section><h2>${say.cohortHeading()}</h2>
${sentences.flatMap(({ text, differs }) =>
  differs
    ? [
        html`<p class="finding">${text}</p>
`,
      ]
    : [],
)}
${open.length === 0 ? null : list(open)}
${within ? html`<p>${say.ownContrasts()}</p>` : null}
<p class="quiet">${say.cohortNote()}</p>
${drawn(figures, 'comparison')}
${all.length > 0 ? effectTable(all) : null}
${links(tables.filter((name) => name.startsWith('cohort-')))}</section>`;
}

function effectTable(effects: readonly ShownEffect[]): Html {
  const columns = say.effectColumns().map((title, i) => ({ title, numeric: i === 4 }));
  const rows = effects.map((effect): Content[] => {
    const { row } = effect;
    const verdict = verdictOf(effect);
    return [
      outcomeName(row),
      effect.name,
      html`<span class="est">${signed(effect)}</span>${effect.known && !effect.withShared ? html`<span class="hint">${say.withoutSharedMark()}</span>` : null}`,
      effect.differs ? html`<strong>${verdict}</strong>` : verdict,
      known(row.p_holm) ? probability(row.p_holm) : '–',
      say.effectCounts(row.recordings, row.athletes),
      known(row.recordings_missing) ? say.effectMissing(row.recordings_missing) : '–',
    ];
  });
  return html`<h3>${say.effectsTableHeading()}</h3>
${dataTable(columns, rows, say.effectsTableHeading(), true)}`;
}

const probability = (p: number): string => (p < 0.001 ? '< 0.001' : numberText(p, 3));

/** Changes named on the page: beyond, they are no reading matter. */
const WEEK_CHANGES = 20;

/** Changes that are more than days or repetitions are named; the table has the rest. Without a session, why. */
function weeks(
  { weeks: sessions, changes }: CohortInput['weeks'],
  figures: readonly CohortFigure[],
  tables: readonly string[],
): Html {
  const series = weekSeries(sessions, changes);
  if (series.length === 0) return html`<section><h2>${say.weeksHeading()}</h2><p>${say.noWeeks()}</p></section>`;
  const compared = series.flatMap(({ change }) => (change ? [change] : []));
  const changed = compared.filter(({ verdict }) => verdict === 'changed');
  return html`<section><h2>${say.weeksHeading()}</h2>
<p class="quiet">${say.weeksNote()}</p>
${
  compared.length === 0
    ? null
    : changed.length === 0
      ? html`<p class="finding">${say.noWeekChange(compared.length)}</p>`
      : list([
          ...changed
            .slice(0, WEEK_CHANGES)
            .map((row) =>
              say.weekWords(row.athlete_id, outcomeName(row), changeText(row, row.measure), said(row.verdict)),
            ),
          ...(changed.length > WEEK_CHANGES ? [say.moreWeekChanges(changed.length - WEEK_CHANGES)] : []),
        ])
}
${drawn(figures, 'weeks')}
${links(tables.filter((name) => name.startsWith('week')))}</section>`;
}

function repeated(figures: readonly CohortFigure[], tables: readonly string[]): Html {
  return html`<section><h2>${say.reliabilityHeading()}</h2>
<p class="quiet">${say.reliabilityNote()}</p>
${drawn(figures, 'reliability')}
${links(tables.filter((name) => name === 'reliability.csv'))}</section>`;
}

/** The figures of a section with their captions and files; those that could not be made, why. */
function drawn(figures: readonly CohortFigure[], section: CohortSection): Html {
  const own = figures.filter((figure) => figure.section === section);
  const there = own.flatMap(({ name, title, caption, drawn: pictured }) =>
    pictured === null
      ? []
      : [
          html`<figure class="card" id="${name}">${inlineSvg(pictured.svg, title)}<figcaption><strong>${title}.</strong> ${caption} ${say.filesOfFigure()} ${joined(
            ['svg', 'png', 'vl.json'].map(
              (ending) => html`<a href="${linkTo(`figures/${name}.${ending}`)}">${name}.${ending}</a>`,
            ),
          )}</figcaption></figure>
`,
        ],
  );
  const missing = groupsOf(
    own.filter(({ drawn: pictured }) => pictured === null),
    ({ name }) => name,
  ).map(
    ([{ title, why }]) => html`<p class="quiet">${say.notDrawn(title, why)}</p>
`,
  );
  return html`${there.length > 0 ? html`<div class="figures">${there}</div>` : null}${missing}`;
}

const links = (files: readonly string[]): Html | null =>
  files.length === 0
    ? null
    : html`<p>${say.tablesOf()}</p>${list(files.map((file) => html`<a href="${linkTo(file)}">${file}</a> ${fileWords(file)}`))}`;

const joined = (parts: readonly Html[]): Content => parts.map((part, i) => (i === 0 ? part : html`, ${part}`));
