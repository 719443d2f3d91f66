import { beforeAll, describe, expect, test } from '@jest/globals';
import { compile } from 'vega-lite';
import { imageCoverage } from '../../src/figures/image-coverage.ts';
import { COLOUR, DARK, type Figure } from '../../src/figures/look.ts';
import { renderSvg } from '../../src/figures/render-svg.ts';
import { residualFactor, residualVectors } from '../../src/figures/residual-vectors.ts';
import { rigPlan } from '../../src/figures/rig-plan.ts';
import { scaleBudget } from '../../src/figures/scale-budget.ts';
import { viewResiduals } from '../../src/figures/view-residuals.ts';
import { expectClose } from '../expect-close.ts';
import { makeCalibration } from '../report/make-calibration.ts';

const made = makeCalibration();
const { rig, observations, points, views } = made;
const [, camera] = rig.cameras;
const drawn = (): Record<string, Figure> => ({
  residuals: residualVectors(camera, observations, 50)!,
  coverage: imageCoverage(camera, observations)!,
  above: rigPlan(rig.cameras, points, 'from above', true)!,
  side: rigPlan(rig.cameras, points, 'from the side', true)!,
  views: viewResiduals(views)!,
  scale: scaleBudget(rig.quality.measured!.scale!),
});
const figures = drawn();
const again = drawn();

describe.each(Object.keys(figures))('%s', (name) => {
  let svg = '';
  beforeAll(async () => {
    svg = await renderSvg(figures[name]);
  });

  test('is drawn without a warning, the same each time, with nothing from elsewhere', async () => {
    const warnings: string[] = [];
    const warn = (...texts: readonly unknown[]) => {
      warnings.push(texts.join(' '));
      return logger;
    };
    const logger = { level: () => logger, error: warn, warn, info: () => logger, debug: () => logger };
    compile(figures[name], { logger: logger as never });
    expect(warnings).toEqual([]);
    expect(await renderSvg(again[name])).toBe(svg);
    expect(svg).not.toMatch(/NaN|undefined|Infinity|null/);
    expect(svg.replace(/ xmlns(:\w+)?="[^"]*"/g, '')).not.toMatch(/https?:|<image|<script|href=/);
  });

  test('every colour in it has one for the dark', () => {
    const colours = [...svg.matchAll(/="(#[0-9a-f]{6})"/g)].map((match) => match[1]);
    expect(colours.length).toBeGreaterThan(0);
    expect([...new Set(colours)].filter((hex) => !DARK[hex])).toEqual([]);
  });
});

interface Values {
  readonly values: readonly Record<string, number>[];
}
const valuesOf = (figure: Figure) => (figure as { data: Values }).data.values;

describe('residuals', () => {
  test('go from the measured point towards the predicted one, so many times as long', () => {
    const own = observations.filter((one) => one.camera === camera.name);
    valuesOf(figures.residuals).forEach((value, i) => {
      expectClose(value.u2 - value.u, 50 * own[i].du, 0.02, 'rounded to a hundredth of a pixel');
      expectClose(value.v2 - value.v, 50 * own[i].dv, 0.02, 'rounded to a hundredth of a pixel');
    });
  });

  test('the picture has its own shape, rows run downward, the frame ends half a pixel beyond the last pixel', () => {
    const { width, height, encoding } = figures.residuals as unknown as {
      width: number;
      height: number;
      encoding: { y: { scale: { reverse: boolean; domain: number[] } } };
    };
    expectClose(width / height, 1080 / 1920, 0.01);
    expect(encoding.y.scale).toMatchObject({ reverse: true, domain: [-0.5, 1919.5] });
  });

  test('dropped points are crosses of their own', async () => {
    const crosses = (svg: string) => svg.split(COLOUR.mass).length - 1;
    expect(crosses(await renderSvg(figures.residuals))).toBe(1);
    const kept = observations.map((one) => ({ ...one, used: true }));
    expect(crosses(await renderSvg(residualVectors(camera, kept, 50)!))).toBe(0);
  });

  test('the factor is 1, 2 or 5 times a power of ten, and falls as residuals grow', () => {
    const times = (k: number) => observations.map((one) => ({ ...one, du: k * one.du, dv: k * one.dv }));
    // 3 % of the diagonal 2203 px is 66 px; r.m.s. 0.57 px: 117 times, so 100.
    expect(residualFactor(rig.cameras, observations)).toBe(100);
    expect(residualFactor(rig.cameras, times(10))).toBe(10);
    expect(residualFactor(rig.cameras, times(1.5))).toBe(50);
    expect(residualFactor(rig.cameras, times(1000))).toBe(1);
    expect(residualFactor(rig.cameras, times(0))).toBe(1);
    expect(residualFactor(rig.cameras, [])).toBe(1);
  });

  test('thousands of points are thinned, and the figure says so', () => {
    const many = makeCalibration({ points: 2000 });
    const figure = residualVectors(camera, many.observations, 50)!;
    expect(valuesOf(figure).length).toBeLessThanOrEqual(900);
    expect(JSON.stringify(figure)).toContain('2000');
  });
});

describe('coverage', () => {
  test('counts every used point once', () => {
    const total = valuesOf(figures.coverage).reduce((sum, { points: n }) => sum + n, 0);
    expect(total).toBe(observations.filter((one) => one.camera === camera.name && one.used).length);
  });

  test('a camera without points has no figure', () => {
    expect(imageCoverage({ ...camera, name: 'other' }, observations)).toBeNull();
    expect(residualVectors({ ...camera, name: 'other' }, observations, 1)).toBeNull();
    expect(viewResiduals([])).toBeNull();
    expect(rigPlan(rig.cameras, new Float64Array(), 'from above', true)).toBeNull();
  });
});

describe('the plan', () => {
  const camerasIn = (figure: Figure) => {
    const layers = (figure as unknown as { layer: { data?: Values; mark?: { shape?: string } }[] }).layer;
    return layers.find((layer) => layer.mark?.shape === 'square')!.data!.values;
  };

  test('from above: the lifter’s right is to the right, forward is up; from the side: forward right, up up', () => {
    const [a] = camerasIn(figures.above);
    expect([a.x, a.y]).toEqual([2.6, 2.6]);
    const [, b] = camerasIn(figures.above);
    // Camera B stands at X −2.4, Z 3.
    expectClose(b.x, 3, 1e-4);
    expectClose(b.y, -2.4, 1e-4);
    const [, side] = camerasIn(figures.side);
    expectClose(side.x, -2.4, 1e-4);
    expectClose(side.y, 1.1, 1e-4);
  });

  test('is to one scale in both directions', () => {
    for (const figure of [figures.above, figures.side]) {
      const { width, height, encoding } = figure as unknown as {
        width: number;
        height: number;
        encoding: Record<'x' | 'y', { scale: { domain: number[] } }>;
      };
      const perM = (size: number, [low, high]: number[]) => size / (high - low);
      // Width and height are whole pixels.
      expectClose(perM(width, encoding.x.scale.domain) / perM(height, encoding.y.scale.domain), 1, 0.01);
    }
  });

  test('cameras side by side share one label', () => {
    const twins = ['left', 'right'].map((name, i) => ({
      ...rig.cameras[0],
      name,
      translation: rig.cameras[0].translation.map((t, k) => t + (k === 0 ? 0.05 * i : 0)),
    }));
    const text = JSON.stringify(rigPlan(twins, points, 'from above', true));
    expect(text).toContain('left, right');
    expect(JSON.stringify(figures.above)).not.toContain('phone A, phone B');
  });
});

test('views stand in reading order: 9 before 10', () => {
  const { encoding } = figures.views as unknown as { encoding: { y: { sort: string[] } } };
  expect(encoding.y.sort.slice(-2)).toEqual(['place 9', 'place 10']);
});
