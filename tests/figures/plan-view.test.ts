import { describe, expect, test } from '@jest/globals';
import { filmingPlan, likePhones } from '../../src/capture/plan-file.ts';
import { COLOUR, DARK } from '../../src/figures/look.ts';
import { planView } from '../../src/figures/plan-view.ts';
import { renderSvg } from '../../src/figures/render-svg.ts';
import { tableOf } from '../../src/study/csv.ts';
import { planFilming } from '../../src/uncertainty/plan.ts';
import { type PlanDrawing, planDrawing } from '../../src/uncertainty/plan-drawing.ts';

const COLUMNS = ['view', 'part', 'line', 'corner', 'across_m', 'up_m'];
const result = planFilming(
  filmingPlan({ kneeward: 1, plan: 'test', cameras: likePhones({ angle_deg: 60, distance_m: 4.5 }) }, 'test'),
);
const drawing = planDrawing(result);
const svgOf = ({ rows, magnified }: PlanDrawing) =>
  renderSvg(
    planView(
      tableOf(
        COLUMNS,
        rows.map((row) => ({ ...row })),
      ),
      magnified,
    ),
  );

const pathsOf = (svg: string, colour: string) =>
  [...svg.matchAll(/<path [^>]*d="([^"]*)"[^>]*>/g)]
    .filter(([tag]) => tag.includes(`stroke="${colour}"`))
    .map(([, d]) => d);
const extentOf = (path: string) => {
  const points = [...path.matchAll(/[ML](-?[\d.]+),(-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)]);
  return [0, 1].map((i) => Math.max(...points.map((p) => p[i])) - Math.min(...points.map((p) => p[i])));
};

describe('the drawing of a plan', () => {
  test('the same plan gives the same picture, without NaN, in colours that have a dark counterpart', async () => {
    const svg = await svgOf(drawing);
    expect(await svgOf(drawing)).toBe(svg);
    expect(svg).not.toMatch(/NaN|undefined/);
    const colours = [...svg.matchAll(/="(#[0-9a-f]{6})"/g)].map((match) => match[1]);
    expect([...new Set(colours)].filter((hex) => !DARK[hex])).toEqual([]);
  });

  test('a metre is as long across as up: the discs seen from the side are round', async () => {
    const discs = pathsOf(await svgOf(drawing), COLOUR.bar)
      .map(extentOf)
      .filter(([w, h]) => w > 5 && h > 5);
    expect(discs).toHaveLength(2);
    for (const [width, height] of discs) expect(Math.abs(width / height - 1)).toBeLessThan(0.02);
  });

  test('ellipses are magnified by a round number that the title tells', async () => {
    const knee = drawing.rows.filter(
      ({ view, part, line }) => view === 'side' && part === 'uncertainty' && line === 'right_knee',
    );
    const drawn = (Math.max(...knee.map((r) => r.across_m)) - Math.min(...knee.map((r) => r.across_m))) / 2;
    const row = result.foreseen.rows.find(
      ({ posture, what, axis }) => posture === 'parallel' && what === 'right_knee' && axis === 'x',
    )!;
    // Half extent of a 95 % ellipse of two dimensions: √(−2 ln 0.05) standard deviations; 24 corners miss it by up to 1 − cos 7.5°.
    const wanted = drawing.magnified * Math.sqrt(-2 * Math.log(0.05)) * row.sd;
    expect(drawn).toBeGreaterThan(0.99 * wanted);
    expect(drawn).toBeLessThanOrEqual(wanted * (1 + 1e-12));
    expect(await svgOf(drawing)).toContain(`${drawing.magnified} times`);
  });
});
