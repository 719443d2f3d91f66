import { type ComparedCurve, compareAcrossDepth } from '../figures/compare-across-depth.ts';
import { comparePostures } from '../figures/compare-postures.ts';
import { renderSvg } from '../figures/render-svg.ts';
import { leanAxisTitle } from '../figures/words.ts';
import type { LiftComparison } from '../study/compare/compare-lifts.ts';
import { curveDifferencesTable } from '../study/compare/difference-tables.ts';
import { type ComparedPosture, type PosturePair, posturePairs } from '../study/compare/postures-at-depth.ts';
import { PER_CENT, type Shown, shownAs } from '../study/shown.ts';

/** A share differs by points, not by per cent. */
export const POINTS: Shown = { ...PER_CENT, unit: 'points' };

/** What is drawn across depth, in the order of the page. */
export const COMPARED_CURVES: readonly (ComparedCurve & { readonly file: string; readonly shown: Shown })[] = [
  {
    file: 'hip-share',
    quantity: 'hip_share',
    side: 'both',
    title: 'Hips’ part of hip + knee',
    valueTitle: 'hips’ part (%)',
    unit: 'points',
    factor: 100,
    shown: POINTS,
  },
  {
    file: 'lean',
    quantity: 'trunk_lean',
    side: '',
    title: 'Trunk lean',
    valueTitle: leanAxisTitle(),
    unit: '°',
    factor: 1,
    shown: shownAs('deg'),
  },
  {
    file: 'hip-moment',
    quantity: 'hip_moment',
    side: 'both',
    title: 'Effort at the hips',
    valueTitle: 'both legs (N·m)',
    unit: 'N·m',
    factor: 1,
    shown: shownAs('nm'),
  },
  {
    file: 'knee-moment',
    quantity: 'knee_moment',
    side: 'both',
    title: 'Effort at the knees',
    valueTitle: 'both legs (N·m)',
    unit: 'N·m',
    factor: 1,
    shown: shownAs('nm'),
  },
];

export interface CompareFigures {
  /** By file name of the curve and phase, as `hip-share descent`; null where both have no depth in common. */
  readonly curves: ReadonlyMap<string, string | null>;
  readonly postures: ReadonlyMap<ComparedPosture, string>;
  readonly pairs: readonly PosturePair[];
}

/** Draws every figure of a comparison. The same comparison gives the same bytes. */
export async function compareFigures(comparison: LiftComparison): Promise<CompareFigures> {
  const table = curveDifferencesTable(comparison);
  const curves = new Map<string, string | null>();
  for (const curve of COMPARED_CURVES) {
    for (const phase of ['descent', 'ascent'] as const) {
      const figure = compareAcrossDepth(table, curve, phase);
      curves.set(`${curve.file} ${phase}`, figure && (await renderSvg(figure)));
    }
  }
  const pairs = posturePairs(comparison.a, comparison.b);
  return { curves, pairs, postures: comparePostures(pairs) };
}

const POSTURE_FILES: Readonly<Record<ComparedPosture, string>> = {
  standing: 'standing',
  '45°': '45-degrees',
  parallel: 'parallel',
  'bottom of the shallower': 'bottom',
};

/** The figures as files: name inside the folder → SVG text. */
export function compareFigureFiles({ curves, postures }: CompareFigures): ReadonlyMap<string, string> {
  const drawn = [...curves].filter((entry): entry is [string, string] => entry[1] !== null);
  return new Map([
    ...drawn.map(([name, svg]): [string, string] => [`${name.replace(' ', '-')}.svg`, svg]),
    ...[...postures].map(([posture, svg]): [string, string] => [`posture-${POSTURE_FILES[posture]}.svg`, svg]),
  ]);
}
