import { describe, expect, test } from '@jest/globals';
import { filmingPlan } from '../../src/capture/plan-file.ts';
import { planFilming } from '../../src/uncertainty/plan.ts';
import { COMPARED, compare, LENSES, PLACEMENTS, stretchOf } from './simulated-placements.ts';

describe('foreseen against simulated standard deviations', () => {
  test('pooled over placements and lenses, 30 films each: within 10 % (the long version: npm run validate plan)', () => {
    // 90 films know a pooled standard deviation to 7 % / √(cells) each: 5 cells of 30 give 150 films, 5.8 % (1 SD). The
    // seed is fixed, so this is a test of the code, not of luck; the long version holds every cell to 10 %.
    const stretch = stretchOf('A01-knees-flat');
    const cells = PLACEMENTS.map((placement, i) =>
      compare(stretch, placement, LENSES[i % 2], { whitePx: 1, slowPx: 0, slowS: 0.15 }, 30, 4),
    );
    for (const name of COMPARED) {
      const logs = cells.map((cell) => Math.log(cell.foreseen[name] / cell.simulated[name]));
      const pooled = Math.exp(logs.reduce((sum, value) => sum + value, 0) / logs.length);
      expect({ name, pooled }).toEqual({ name, pooled: expect.any(Number) });
      expect(Math.abs(pooled - 1)).toBeLessThan(0.1);
    }
  }, 60_000);
});

describe('a plan', () => {
  const result = planFilming(filmingPlan({ kneeward: 1, plan: 'test' }, 'test'));

  test('gives every posture, joint and quantity, with a reason where a value is unknown', () => {
    expect(new Set(result.foreseen.rows.map(({ posture }) => posture))).toEqual(
      new Set(['standing', 'parallel', 'bottom']),
    );
    const unknown = result.foreseen.rows.filter(({ halfWidth95 }) => Number.isNaN(halfWidth95));
    expect(unknown.map(({ posture, what }) => `${posture} ${what}`)).toEqual(['standing hip_share_gravity_both']);
    for (const { reason } of unknown) expect(reason).not.toBe('');
  });

  test('one degree of vertical moves the hip share by the size known from elsewhere, 0.013, within a factor of two', () => {
    expect(result.foreseen.hipSharePerDegreeOfVertical).toBeGreaterThan(0.0065);
    expect(result.foreseen.hipSharePerDegreeOfVertical).toBeLessThan(0.026);
  });

  test('blur is told where a shutter time is given', () => {
    const blurred = planFilming(
      filmingPlan(
        {
          kneeward: 1,
          plan: 'test',
          cameras: [
            { name: 'left', side: 'left', shutter_s: 0.01 },
            { name: 'right', side: 'right' },
          ],
        },
        'test',
      ),
    );
    expect(blurred.blurPx[0]).toBeCloseTo(1.2 * blurred.foreseen.views[0].pxPerMetre * 0.01, 9);
    expect(blurred.blurPx[1]).toBeNull();
  });
});
