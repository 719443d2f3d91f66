import type { ColumnTable } from 'arquero';
import { athletesAcrossLevels, modelDrawn, predictorWithin } from '../figures/cohort/athletes-across-levels.ts';
import {
  acrossLevelsCaption,
  forestCaption,
  heatCaption,
  limbRatioCaption,
  reliabilityCaption,
  weeksCaption,
} from '../figures/cohort/captions.ts';
import { type CurveTestRow, comparedDepths, type DepthTables } from '../figures/cohort/curve-rows.ts';
import { FOREST_FIGURES, forest, forestPages } from '../figures/cohort/forest.ts';
import { cannot, type Made, rowsOf, said } from '../figures/cohort/publication.ts';
import { reliability } from '../figures/cohort/reliability.ts';
import { shareAcrossDepthByGroup } from '../figures/cohort/share-across-depth-by-group.ts';
import { depthTitle, shareAcrossDepthByGroupCaption } from '../figures/cohort/share-across-depth-words.ts';
import { shareAgainstLimbRatio } from '../figures/cohort/share-against-limb-ratio.ts';
import { stanceByHeel } from '../figures/cohort/stance-by-heel.ts';
import { weekToWeek } from '../figures/cohort/week-to-week.ts';
import type { Figure } from '../figures/look.ts';
import { renderSvg } from '../figures/render-svg.ts';
import * as say from './wording-study.ts';

/** Tables of the comparison of a whole study, and the intervals of its recordings. */
export interface ComparisonTables {
  /** cohort-effects.csv, cohort-means.csv, cohort-models.csv, cohort-rows.csv. */
  readonly effects: ColumnTable;
  readonly levelMeans: ColumnTable;
  readonly models: ColumnTable;
  readonly rows: ColumnTable;
  /** Rows of means.csv of the hips' part at parallel. */
  readonly setMeans: ColumnTable;
  /** cohort-curve-tests.csv, cohort-curves.csv, cohort-group-curves.csv; null where no curves are compared. */
  readonly depths: DepthTables | null;
}

/** What the figures of a whole study are drawn from. */
export interface CohortInput {
  /** null where the study file asks for no comparison. */
  readonly comparison: ComparisonTables | null;
  /** weeks.csv and week-changes.csv. */
  readonly weeks: { readonly weeks: ColumnTable; readonly changes: ColumnTable };
  /** reliability.csv. */
  readonly reliability: ColumnTable;
}

export type CohortSection = 'comparison' | 'weeks' | 'reliability';

/** A figure of a whole study, or why there is none. */
export interface CohortFigure {
  /** Of its files, without an ending. */
  readonly name: string;
  readonly section: CohortSection;
  readonly title: string;
  readonly caption: string;
  /** null: `why` says why. */
  readonly drawn: { readonly figure: Figure; readonly svg: string } | null;
  readonly why: string;
}

interface Wanted {
  readonly name: string;
  readonly section: CohortSection;
  readonly title: string;
  readonly make: () => Made;
  readonly caption: () => string;
}

/** Comparisons across depth at most; the tables have all. */
const DEPTH_FIGURES = 6;
const numbered = (name: string, index: number): string => `${name}${index === 0 ? '' : `-${index + 1}`}`;
const depthFigureName = (index: number): string => numbered('share-across-depth', index);

/** Names of all figures, also of those that cannot be made: files of these names are this page's own. */
export const COHORT_FIGURE_NAMES: readonly string[] = [
  ...Array.from({ length: DEPTH_FIGURES }, (_, i) => depthFigureName(i)),
  ...Array.from({ length: FOREST_FIGURES }, (_, i) => numbered('forest', i)),
  'athletes-across-levels',
  'share-against-limb-ratio',
  'stance-by-heel',
  'week-to-week',
  'reliability',
];

/** Draws what can be drawn. Deterministic: the same tables give the same bytes. */
export async function cohortFigures(input: CohortInput): Promise<CohortFigure[]> {
  const figures: CohortFigure[] = [];
  for (const { name, section, title, make, caption } of wanted(input)) {
    const { figure, why } = make();
    figures.push({
      ...{ name, section, title, why },
      caption: figure === null ? '' : caption(),
      drawn: figure === null ? null : { figure, svg: await renderSvg(figure) },
    });
  }
  return figures;
}

function wanted({ comparison, weeks, reliability: alike }: CohortInput): Wanted[] {
  return [
    ...(comparison === null ? [] : ofComparison(comparison)),
    {
      name: 'week-to-week',
      section: 'weeks',
      title: say.weeksFigure(),
      make: () => weekToWeek(weeks.weeks, weeks.changes),
      caption: () => weeksCaption(weeks.weeks, weeks.changes),
    },
    {
      name: 'reliability',
      section: 'reliability',
      title: say.reliabilityFigure(),
      make: () => reliability(alike),
      caption: () => reliabilityCaption(alike),
    },
  ];
}

function ofComparison({ effects, levelMeans, models, rows, setMeans, depths }: ComparisonTables): Wanted[] {
  const section = 'comparison' as const;
  const predictor = predictorWithin(rows);
  const levels = { rows, means: levelMeans, effects, models };
  const ratio = { rows, effects, models, means: setMeans };
  // One also where there is nothing to draw: it says why.
  const forests = Math.max(1, forestPages(effects).length);
  return [
    ...Array.from({ length: forests }, (_, page) => ({
      name: numbered('forest', page),
      section,
      title: say.forestFigure(page + 1, forests),
      make: () => forest(effects, page),
      caption: () => forestCaption(effects, page),
    })),
    {
      name: 'athletes-across-levels',
      section,
      title: say.levelsFigure(modelDrawn(levels, predictor)),
      make: () => athletesAcrossLevels(levels, predictor),
      caption: () => (predictor === null ? '' : acrossLevelsCaption(levels, predictor)),
    },
    {
      name: 'share-against-limb-ratio',
      section,
      title: say.limbRatioFigure(),
      make: () => shareAgainstLimbRatio(ratio),
      caption: () => limbRatioCaption(ratio),
    },
    {
      name: 'stance-by-heel',
      section,
      title: say.heatFigure(),
      make: () => stanceByHeel(rows),
      caption: () => heatCaption(rows, models),
    },
    ...(depths === null ? [] : acrossDepth(depths)),
  ];
}

/** A figure a comparison across depth, the first ones; where there is none to show, or more than are drawn, says so. */
export function acrossDepth(depths: DepthTables): Wanted[] {
  const section = 'comparison' as const;
  const compared = comparedDepths(depths);
  if (compared.length === 0) {
    const why = rowsOf<CurveTestRow>(depths.curveTests).map(({ reason }) => said(reason))[0];
    const make = () => cannot(why || say.noCurves());
    return [{ name: depthFigureName(0), section, title: say.depthFigure(), make, caption: () => '' }];
  }
  const drawn = compared.slice(0, DEPTH_FIGURES).map((one, i) => ({
    name: depthFigureName(i),
    section,
    title: depthTitle(one.test),
    make: () => shareAcrossDepthByGroup(one),
    caption: () => shareAcrossDepthByGroupCaption(one),
  }));
  const more = compared.length - drawn.length;
  return more === 0 ? drawn : [...drawn, notDrawn(more)];
}

/** Says that there are more comparisons than are drawn. */
function notDrawn(more: number): Wanted {
  return {
    name: depthFigureName(DEPTH_FIGURES),
    section: 'comparison',
    title: say.moreDepthsFigure(more),
    make: () => cannot(say.moreDepths(DEPTH_FIGURES)),
    caption: () => '',
  };
}
