import { beforeAll, describe, expect, test } from '@jest/globals';
import { compile } from 'vega-lite';
import { cameraResiduals } from '../../src/figures/camera-residuals.ts';
import { DOUBTED, doubtShares } from '../../src/figures/doubt-shares.ts';
import { hipShareAcrossDepth } from '../../src/figures/hip-share-across-depth.ts';
import { valueDomain } from '../../src/figures/interval-band.ts';
import { leanAcrossDepth } from '../../src/figures/lean-across-depth.ts';
import { COLOUR, DARK, type Figure } from '../../src/figures/look.ts';
import { momentAcrossDepth } from '../../src/figures/moment-across-depth.ts';
import { momentAgainstAngle } from '../../src/figures/moment-against-angle.ts';
import { postureStrip } from '../../src/figures/posture-strip.ts';
import { renderSvg } from '../../src/figures/render-svg.ts';
import { timeCourse } from '../../src/figures/time-course.ts';
import { tableOf } from '../../src/study/csv.ts';
import { meanCurvesTable } from '../../src/study/mean-curves.ts';
import { meansTable } from '../../src/study/means-table.ts';
import { posturesTable } from '../../src/study/postures.ts';
import { residualsTable } from '../../src/study/residuals.ts';
import { curvesTable, framesTable, repetitionsTable } from '../../src/study/tables.ts';
import { makeRecord } from '../study/make-record.ts';
import { makeUncertainty } from '../study/make-uncertainty.ts';

function figuresOf(uncertainty = makeUncertainty(makeRecord({ partialRepetition: 2 }))): Record<string, Figure> {
  const { record } = uncertainty;
  const curves = curvesTable(record);
  const means = meanCurvesTable(record, uncertainty);
  return {
    'moment-across-depth': momentAcrossDepth(curves, means),
    'hip-share-across-depth': hipShareAcrossDepth(curves, means),
    'lean-across-depth': leanAcrossDepth(curves, means),
    'posture-strip': postureStrip(posturesTable(record))!,
    'camera-residuals': cameraResiduals(residualsTable(record))!,
    'doubt-shares': doubtShares(meansTable(record, uncertainty))!,
    'moment-against-angle': momentAgainstAngle(framesTable(record), repetitionsTable(record))!,
    'time-course': timeCourse(framesTable(record), repetitionsTable(record))!,
  };
}

const figures = figuresOf();
const again = figuresOf();

describe.each(Object.keys(figures))('%s', (name) => {
  let svg = '';
  beforeAll(async () => {
    svg = await renderSvg(figures[name]);
  });

  test('is drawn without a warning of the drawing library', () => {
    const warnings: string[] = [];
    const warn = (...texts: readonly unknown[]) => {
      warnings.push(texts.join(' '));
      return logger;
    };
    const logger = { level: () => logger, error: warn, warn, info: () => logger, debug: () => logger };
    compile(figures[name], { logger: logger as never });
    expect(warnings).toEqual([]);
  });

  test('the same table gives the same bytes', async () => {
    expect(await renderSvg(again[name])).toBe(svg);
  });

  test('has no text of an unknown number, and nothing from elsewhere', () => {
    expect(svg).not.toMatch(/NaN|undefined|Infinity|null/);
    expect(svg.replace(/ xmlns(:\w+)?="[^"]*"/g, '')).not.toMatch(/https?:|<image|<script|href=/);
  });

  test('every colour in it has one for the dark', () => {
    const colours = [...svg.matchAll(/="(#[0-9a-f]{6})"/g)].map((match) => match[1]);
    expect(colours.length).toBeGreaterThan(0);
    expect([...new Set(colours)].filter((hex) => !DARK[hex])).toEqual([]);
  });
});

/** Coordinates of the paths drawn with a stroke colour and width. */
const pathsOf = (svg: string, colour: string, width: number) =>
  [...svg.matchAll(/<path [^>]*d="([^"]*)"[^>]*>/g)]
    .filter(([tag]) => tag.includes(`stroke="${colour}"`) && tag.includes(`stroke-width="${width}"`))
    .map(([, path]) => path);

describe('across depth', () => {
  test('the way down runs left to right: x rises while thigh elevation falls', async () => {
    const svg = await renderSvg(figures['lean-across-depth']);
    const [down] = pathsOf(svg, COLOUR.down, 2.8);
    const xs = [...down.matchAll(/[ML](-?[\d.]+),/g)].map((match) => Number(match[1]));
    expect(xs.length).toBeGreaterThan(10);
    // Points are joined in the order of depth, from deep (right) to shallow (left) or the other way: one direction only.
    const steps = xs.slice(1).map((x, i) => Math.sign(x - xs[i]));
    expect(new Set(steps).size).toBe(1);
    // Lean grows with depth: the right end is higher (smaller y) than the left end.
    const points = [...down.matchAll(/[ML](-?[\d.]+),(-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)]);
    points.sort((a, b) => a[0] - b[0]);
    expect(points.at(-1)![1]).toBeLessThan(points[0][1]);
  });

  test('an unknown value breaks the line', async () => {
    const record = makeRecord({ repetitions: 1 });
    const holed = {
      ...record,
      curves: record.curves.map((point) =>
        point.quantity === 'trunk_lean' && point.depth === 30
          ? { ...point, value: Number.NaN, reason: 'missing' }
          : point,
      ),
    };
    const starts = async (of: typeof record) => {
      const svg = await renderSvg(leanAcrossDepth(curvesTable(of), meanCurvesTable(of)));
      return pathsOf(svg, COLOUR.down, 2.8).join('').split('M').length - 1;
    };
    expect(await starts(record)).toBe(1);
    expect(await starts(holed)).toBe(2);
  });

  test('the way up is dashed, the way down is not', async () => {
    const svg = await renderSvg(figures['hip-share-across-depth']);
    const dashOf = (colour: string) =>
      svg.match(new RegExp(`<path [^>]*stroke="${colour}" stroke-width="2.8" stroke-dasharray="([^"]*)"`))?.[1];
    expect(dashOf(COLOUR.down)).toBe('1,0');
    expect(dashOf(COLOUR.up)).toBe('6,4');
  });

  test('effort against bend: the muscles brake on the way down and drive on the way up', async () => {
    const svg = await renderSvg(figures['moment-against-angle']);
    expect(svg).toContain('way down: the muscles brake; way up: they drive');
  });

  test('says how many repetitions stand behind the lines: three drawn, two full', async () => {
    expect(await renderSvg(figures['moment-across-depth'])).toContain('n = 2');
    expect(await renderSvg(figures['moment-across-depth'])).toContain('each of 3 repetitions');
  });

  test('a record without repetitions still draws an empty frame', async () => {
    const empty = makeRecord({ repetitions: 0 });
    const svg = await renderSvg(momentAcrossDepth(curvesTable(empty), meanCurvesTable(empty)));
    expect(svg).not.toMatch(/NaN/);
  });
});

/** The closed areas of a figure: colour and path. */
const areasOf = (svg: string) =>
  [...svg.matchAll(/<path [^>]*d="([^"]*)"[^>]*>/g)]
    .filter(([tag]) => /opacity="0\.15"/.test(tag))
    .map(([tag, path]) => ({ colour: /fill="([^"]*)"/.exec(tag)?.[1], path }));

describe('bands', () => {
  test('one a line and phase, of the colour of the line; none without intervals', async () => {
    const share = areasOf(await renderSvg(figures['hip-share-across-depth']));
    expect(share.map(({ colour }) => colour)).toEqual([COLOUR.down, COLOUR.up]);
    expect(areasOf(await renderSvg(figures['moment-across-depth']))).toHaveLength(6);
    const record = makeRecord();
    const bare = await renderSvg(hipShareAcrossDepth(curvesTable(record), meanCurvesTable(record)));
    expect(areasOf(bare)).toEqual([]);
    expect(bare).not.toContain('95 %');
    expect(await renderSvg(figures['hip-share-across-depth'])).toContain('95 %');
  });

  test('a band breaks where the interval is unknown, though the line goes on', async () => {
    const uncertainty = makeUncertainty(makeRecord({ repetitions: 1 }));
    const { record } = uncertainty;
    const known = meanCurvesTable(record, uncertainty).objects({ limit: Infinity }) as Record<string, unknown>[];
    const holed = known.map((row) =>
      row.quantity === 'trunk_lean' && row.depth === 30 ? { ...row, lower: Number.NaN, upper: Number.NaN } : row,
    );
    const pieces = async (rows: readonly Record<string, unknown>[]) => {
      const svg = await renderSvg(leanAcrossDepth(curvesTable(record), tableOf(Object.keys(rows[0]), rows)));
      return [
        areasOf(svg)[0].path.split('M').length - 1,
        pathsOf(svg, COLOUR.down, 2.8).join('').split('M').length - 1,
      ];
    };
    expect(await pieces(known)).toEqual([1, 1]);
    expect(await pieces(holed)).toEqual([2, 1]);
  });

  test('a band many times the range of the lines does not flatten them', () => {
    const [low, high] = valueDomain([40, 60, null], [{ lower: -500, upper: 700 }], 50);
    expect([low, high]).toEqual([40 - 7 - 0.6, 60 + 7 + 0.6]);
    expect(valueDomain([40, 60], [{ lower: 38, upper: 61 }], null)).toEqual([38 - 0.6, 61 + 0.6]);
    expect(valueDomain([null], [], null)).toEqual([0, 1]);
  });
});

describe('doubt shares', () => {
  const textsOf = (svg: string) => [...svg.matchAll(/<text[^>]*>([^<]*)</g)].map((match) => match[1]);

  test('names causes in the bars, largest first, and says what is not counted', async () => {
    const svg = await renderSvg(figures['doubt-shares']);
    const texts = textsOf(svg);
    expect(texts).toContain('points against joints 79 %');
    expect(texts.filter((text) => text.startsWith('tables')).length).toBeGreaterThan(0);
    expect(svg).toContain('not counted: cameras, upright');
  });

  test('a bar is whole: its parts join and end at 1', () => {
    const { layer } = figures['doubt-shares'] as unknown as {
      layer: { data: { values: { word: string; from: number; to: number }[] } }[];
    };
    const parts = layer[0].data.values;
    for (const word of new Set(parts.map((part) => part.word))) {
      const own = parts.filter((part) => part.word === word);
      expect(own[0].from).toBe(0);
      own.slice(1).forEach((part, i) => {
        expect(part.from).toBe(own[i].to);
      });
      expect(Math.abs(own[own.length - 1].to - 1)).toBeLessThan(2e-3);
    }
  });

  test('no interval, no figure', () => {
    expect(doubtShares(meansTable(makeRecord(), null))).toBeNull();
    const unknown = makeUncertainty(makeRecord({ repetitions: 1 }), {
      unknownInDraws: DOUBTED.map(({ measure }) => measure),
    });
    expect(doubtShares(meansTable(unknown.record, unknown))).toBeNull();
  });
});

describe('posture strip', () => {
  test('a metre is as long along as up: the thigh keeps its length on paper while it turns', async () => {
    const lengths: number[] = [];
    for (const posture of ['standing', 'parallel', 'bottom']) {
      const svg = await renderSvg(postureStrip(posturesTable(makeRecord()), [posture], ['standing', 'bottom'])!);
      const [leg] = pathsOf(svg, COLOUR.near, 4);
      const [hip, knee] = [...leg.matchAll(/[ML](-?[\d.]+),(-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)]);
      lengths.push(Math.hypot(hip[0] - knee[0], hip[1] - knee[1]));
    }
    // Drawn limbs differ by 2 cm because near and far joints are set apart; the tolerance is 5 % of 0.43 m.
    for (const length of lengths) expect(Math.abs(length / lengths[1] - 1)).toBeLessThan(0.05);
  });

  test('the far leg is dashed, the near leg is not', async () => {
    const svg = await renderSvg(figures['posture-strip']);
    const dashed = (colour: string, width: number) =>
      [...svg.matchAll(/<path [^>]*>/g)].some(
        ([tag]) =>
          tag.includes(`stroke="${colour}"`) && tag.includes(`stroke-width="${width}"`) && tag.includes('dasharray'),
      );
    expect(dashed(COLOUR.far, 2.6)).toBe(true);
    expect(dashed(COLOUR.near, 4)).toBe(false);
  });

  test('nothing to show is null', () => {
    expect(postureStrip(posturesTable(makeRecord({ repetitions: 0 })))).toBeNull();
    expect(postureStrip(posturesTable(makeRecord()), ['no such posture'])).toBeNull();
  });
});

test('3D input has no pictures and so no camera figure', () => {
  expect(cameraResiduals(residualsTable(makeRecord({ withCameras: false })))).toBeNull();
});
