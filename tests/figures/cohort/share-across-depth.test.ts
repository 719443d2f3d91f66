import { describe, expect, test } from '@jest/globals';
import type { ColumnTable } from 'arquero';
import type { ComparisonFile } from '../../../src/capture/comparison-file.ts';
import { type ComparedDepths, comparedDepths, type DepthTables } from '../../../src/figures/cohort/curve-rows.ts';
import { shareAcrossDepthByGroup } from '../../../src/figures/cohort/share-across-depth-by-group.ts';
import {
  differsMark,
  notTestedMark,
  shareAcrossDepthByGroupCaption,
} from '../../../src/figures/cohort/share-across-depth-words.ts';
import { renderSvg } from '../../../src/figures/render-svg.ts';
import { acrossDepth } from '../../../src/report/cohort-figures.ts';
import { cohortComparison } from '../../../src/study/cohort/cohort-comparison.ts';
import type { CohortRecording } from '../../../src/study/cohort/recording-facts.ts';
import { tableOf } from '../../../src/study/csv.ts';
import { madeDepthStudy } from '../../study/cohort/made-depth-study.ts';
import { madeComparison } from '../../study/cohort/made-study.ts';
import { reread } from './made-tables.ts';

/* An invented study; its tables are read back from CSV, as a command does. */

function tablesOf(recordings: readonly CohortRecording[], block: ComparisonFile): DepthTables {
  const tables = cohortComparison(madeComparison(block), recordings)!;
  return {
    curveTests: reread('cohort-curve-tests.csv', tables.curveTests!),
    curves: reread('cohort-curves.csv', tables.curves!),
    groupCurves: reread('cohort-group-curves.csv', tables.groupCurves!),
  };
}
const compared = (recordings: readonly CohortRecording[], block: ComparisonFile) =>
  comparedDepths(tablesOf(recordings, block));

interface Layer {
  readonly mark: {
    readonly type: string;
    readonly x?: number;
    readonly strokeDash?: readonly number[];
    readonly strokeWidth?: number;
    readonly text?: string;
  };
  readonly data: {
    readonly values: readonly {
      depth: number;
      value: number | null;
      lower?: number | null;
      from: number;
      to: number;
    }[];
  };
}
type Panel = { readonly vconcat: readonly { readonly width: number; readonly layer: readonly Layer[] }[] };
const panelsOf = (of: ComparedDepths, width: 85 | 175) => {
  const figure = shareAcrossDepthByGroup(of, width).figure as unknown as { vconcat?: Panel[]; hconcat?: Panel[] };
  return width === 85 ? figure.vconcat! : figure.hconcat!;
};
const lines = (panel: Panel) =>
  panel.vconcat[0].layer.filter(({ mark }) => mark.type === 'line' && mark.strokeWidth === 1.7);

const byHeel: ComparisonFile = { predictors: ['heel_height_mm'] };
const [paired] = compared(madeDepthStudy({ athletes: 12, heelsMm: [0, 20], effect: -0.03 }), byHeel);

describe('two heels, the same athletes', () => {
  test('way down and way up, two lines of unlike dash each, numbers of the table in per cent', () => {
    const panels = panelsOf(paired, 85);
    expect(panels).toHaveLength(2);
    for (const panel of panels) {
      const [reference, level] = lines(panel);
      expect(reference.mark.strokeDash).not.toEqual(level.mark.strokeDash);
      const at = (layer: Layer, depth: number) => layer.data.values.find((one) => one.depth === depth)!.value;
      const phase = panel === panels[0] ? 'descent' : 'ascent';
      const mean = (g: number) => paired.groups[g].find((row) => row.depth === 0 && row.phase === phase)!.mean;
      expect([at(reference, 0), at(level, 0)]).toEqual([100 * mean(0), 100 * mean(1)]);
      // Nobody is known there: the line ends, it does not fall to 0.
      expect([at(reference, -25), at(level, 75)]).toEqual([null, null]);
    }
  });

  test('the bar along the axis spans just the depths that differ', () => {
    const bar = panelsOf(paired, 85)[0].vconcat[0].layer.find(
      ({ mark }) => mark.type === 'rule' && mark.strokeWidth === 4,
    )!;
    const depths = paired.curves
      .filter(({ phase, verdict }) => phase === 'descent' && verdict === 'differs')
      .map(({ depth }) => depth);
    const covered = paired.curves
      .filter(
        ({ phase, depth }) => phase === 'descent' && bar.data.values.some(({ from, to }) => depth < from && depth > to),
      )
      .map(({ depth }) => depth);
    expect(depths.length).toBeGreaterThan(5);
    expect(covered).toEqual(depths);
  });

  test.each([85, 175] as const)(
    'at %d mm it draws within the width, names both levels, marks what differs',
    async (width) => {
      const svg = await renderSvg(shareAcrossDepthByGroup(paired, width).figure!);
      expect(svg).not.toContain('NaN');
      for (const word of ['0 mm', '20 mm', differsMark(false)]) expect(svg).toContain(word);
      expect(Number(/width="([\d.]+)"/.exec(svg)![1])).toBeLessThanOrEqual((width * 96) / 25.4);
    },
  );

  test('the caption tells n, what is missing, the level, how bands are made, test and p', () => {
    const caption = shareAcrossDepthByGroupCaption(paired);
    for (const fact of [
      '12 athletes',
      '24 recordings',
      '96 repetitions',
      'Missing: 0 athletes, 0 recordings',
      '4,096 rearrangements',
      'p = 0.0005',
      'family-wise level 5 %',
      'widened',
    ])
      expect(caption).toContain(fact);
    expect(caption).not.toMatch(/NaN|undefined|null| {2}/);
  });
});

describe('names of the two groups', () => {
  const LONG = ['wedge of wood under the heels, twenty millimetres', 'without a wedge, in the usual shoes'] as const;
  const longStudy = madeDepthStudy({ athletes: 8, heelsMm: [0, 20], effect: -0.03 }).map((one) => {
    const shoe = LONG[one.recording.condition.shoe === 'flat' ? 0 : 1];
    return { ...one, recording: { ...one.recording, condition: { shoe } } };
  });
  const tables = cohortComparison(madeComparison({ predictors: ['condition_shoe'] }, ['shoe']), longStudy)!;
  const [long] = comparedDepths({
    curveTests: reread('cohort-curve-tests.csv', tables.curveTests!),
    curves: reread('cohort-curves.csv', tables.curves!),
    groupCurves: reread('cohort-group-curves.csv', tables.groupCurves!),
  });
  const axisTitle = (of: ComparedDepths) => {
    const difference = panelsOf(of, 85)[0].vconcat[1] as unknown as {
      layer: { mark: { type: string }; encoding: { y: { axis: { title: string[] } } } }[];
    };
    return difference.layer.find(({ mark }) => mark.type === 'line')!.encoding.y.axis.title;
  };

  test.each([85, 175] as const)('at %d mm long names stand above, and the plot keeps its width', async (width) => {
    expect(panelsOf(long, width)[0].vconcat[0].width).toBeGreaterThanOrEqual(
      panelsOf(paired, width)[0].vconcat[0].width,
    );
    const svg = await renderSvg(shareAcrossDepthByGroup(long, width).figure!);
    for (const name of LONG) expect(svg).toContain(name);
    expect(Number(/width="([\d.]+)"/.exec(svg)![1])).toBeLessThanOrEqual((width * 96) / 25.4);
  });

  test('the axis of the difference names short ones, of long ones their marks', () => {
    expect(axisTitle(paired)).toEqual(['20 mm − 0 mm', '(points)']);
    expect(axisTitle(long)).toEqual(['□ − ●', '(points)']);
  });

  test('right of the frame, where no mark is taken for a value', () => {
    for (const comparison of [paired, long]) {
      const { width, layer } = panelsOf(comparison, 85)[0].vconcat[0];
      const names = layer.filter(({ mark }) => /^[●□]/.test(mark.text ?? ''));
      expect(names).toHaveLength(2);
      for (const { mark } of names) expect(mark.x).toBeGreaterThan(width);
    }
  });
});

test('one athlete: no panel of the difference, and none is spoken of', () => {
  const [alone] = compared(madeDepthStudy({ athletes: 1, heelsMm: [0, 20], effect: -0.03 }), byHeel);
  expect(panelsOf(alone, 85).every(({ vconcat }) => vconcat.length === 1)).toBe(true);
  for (const width of [85, 175] as const)
    expect(JSON.stringify(shareAcrossDepthByGroup(alone, width).figure)).not.toContain('below');
});

test('nothing differs: no bar, and the caption says that this is no proof of sameness', async () => {
  const [none] = compared(madeDepthStudy({ athletes: 8, heelsMm: [0, 20], effect: 0, intervals: false }), byHeel);
  expect(none.test.verdict).toBe('cannot tell');
  const svg = await renderSvg(shareAcrossDepthByGroup(none).figure!);
  expect(svg).not.toContain(`>${differsMark(false)}<`);
  expect(shareAcrossDepthByGroupCaption(none)).toContain('no proof of sameness');
  expect(shareAcrossDepthByGroupCaption(none)).toContain('not in the band');
});

test('five athletes: curves without bands, and the caption says that no data could be significant', async () => {
  const [few] = compared(madeDepthStudy({ athletes: 5, heelsMm: [0, 20], effect: -0.05 }), byHeel);
  const svg = await renderSvg(shareAcrossDepthByGroup(few, 175).figure!);
  expect(svg).not.toContain('NaN');
  expect(svg).not.toContain(`>${differsMark(false)}<`);
  expect(svg).toContain(notTestedMark());
  expect(svg).not.toContain('bands hold');
  const caption = shareAcrossDepthByGroupCaption(few);
  expect(caption).toContain('at least 6');
  expect(caption).not.toContain('squares: as the bars');
});

test('along a covariate: one line, the slope for a step that happens below', async () => {
  const [along] = compared(madeDepthStudy({ athletes: 12, heelsMm: [0, 20], effect: 0 }), {
    ...byHeel,
    curves: [{ quantity: 'hip_share', by: 'femur_per_trunk' }],
  });
  expect(lines(panelsOf(along, 85)[0])).toHaveLength(1);
  const row = along.curves.find(({ phase, depth }) => phase === 'descent' && depth === 0)!;
  const slope = panelsOf(along, 85)[0].vconcat[1].layer.find(({ mark }) => mark.type === 'line')!;
  // Points for a tenth of the ratio.
  expect(slope.data.values.find(({ depth }) => depth === 0)!.value).toBeCloseTo(10 * row.estimate, 12);
  expect(shareAcrossDepthByGroupCaption(along)).toContain('for 0.1 of femur to trunk');
  expect(await renderSvg(shareAcrossDepthByGroup(along).figure!)).not.toContain('NaN');
});

test('more comparisons than are drawn: the page is told how many, and where they are', () => {
  const tables = tablesOf(madeDepthStudy({ athletes: 12, heelsMm: [0, 20], effect: -0.03 }), byHeel);
  const ofEach = (table: ColumnTable, quantities: readonly string[]) => {
    const rows = quantities.flatMap((quantity) => table.objects().map((row) => ({ ...row, quantity })));
    return tableOf(table.columnNames(), rows);
  };
  const asked = (quantities: readonly string[]) =>
    acrossDepth({
      curveTests: ofEach(tables.curveTests, quantities),
      curves: ofEach(tables.curves, quantities),
      groupCurves: ofEach(tables.groupCurves, quantities),
    });
  const six = ['hip_share', 'hip_moment', 'knee_moment', 'ankle_moment', 'support_moment', 'trunk_lean'];
  expect(asked(six)).toHaveLength(6);
  const eight = asked([...six, 'ankle_share', 'com_along_foot']);
  expect(eight).toHaveLength(7);
  expect(eight[6].title).toBe('2 more comparisons across depth');
  expect(eight[6].make()).toMatchObject({ figure: null, why: expect.stringContaining('cohort-curve-tests.csv') });
});

test('a comparison that could not be made has no curves to show', () => {
  expect(compared(madeDepthStudy({ athletes: 6, heelsMm: [0, 10, 20], effect: 0 }), byHeel)).toEqual([]);
});
