import { describe, expect, test } from '@jest/globals';
import { filmingPlan } from '../../src/capture/plan-file.ts';
import { planFilming } from '../../src/uncertainty/plan.ts';
import { expectClose } from '../expect-close.ts';
import { COMPARED, compare, LENSES, PLACEMENTS, stretchOf } from './simulated-placements.ts';

describe('foreseen against simulated standard deviations', () => {
  test('three placements, 25 films each, pooled (the long version, every placement within 10 %: npm run validate plan)', () => {
    // 75 films know a standard deviation to 1 / √150 = 8.2 % (1 SD); the limit is three of these.
    const stretch = stretchOf('A01-knees-flat');
    const cells = [PLACEMENTS[0], PLACEMENTS[3], PLACEMENTS[4]].map((placement, i) =>
      compare(stretch, placement, LENSES[i % 2], { whitePx: 1, slowPx: 0, slowS: 0.15 }, 25, 4),
    );
    for (const name of COMPARED) {
      const logs = cells.map((cell) => Math.log(cell.foreseen[name] / cell.simulated[name]));
      const pooled = Math.exp(logs.reduce((sum, value) => sum + value, 0) / logs.length);
      expectClose(pooled, 1, 3 / Math.sqrt(150), name);
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
