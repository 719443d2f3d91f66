import { describe, expect, test } from '@jest/globals';
import { filmingPlan } from '../../src/capture/plan-file.ts';
import { apply3Into, rotationFromVector } from '../../src/numerics/rotation.ts';
import { posturesAsMotion } from '../../src/predict/posture.ts';
import { foreseenScene } from '../../src/uncertainty/foreseen-scene.ts';
import { planFilming } from '../../src/uncertainty/plan.ts';
import { postureQuantityValues } from '../../src/uncertainty/posture-sensitivity.ts';
import { expectClose } from '../expect-close.ts';
import { COMPARED, compare, LENSES, PLACEMENTS, stretchOf } from './simulated-placements.ts';

/** Points moved along the squat by `deg` of thigh elevation, then turned as a whole. */
function turned(position: Float64Array, path: Float64Array, deg: number, turn: Float64Array): Float64Array {
  const out = position.map((value, i) => value + deg * path[i]);
  for (let o = 0; o < out.length; o += 3) apply3Into(out, o, turn, out, o);
  return out;
}

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

  test('one degree of vertical: the foreseen squat turned as a whole, and level thighs looked for anew', () => {
    const { lifter, postures, pathAtParallel } = foreseenScene(filmingPlan({ kneeward: 1, plan: 'test' }, 'test'));
    const { landmarks, position: parallel } = postures.parallel;
    const shareWhereLevel = (leanDeg: number): number => {
      const turn = rotationFromVector([0, 0, (-leanDeg * Math.PI) / 180]);
      const before = turned(parallel, pathAtParallel, 0.5, turn);
      const after = turned(parallel, pathAtParallel, -0.5, turn);
      const motion = posturesAsMotion(lifter, landmarks, Float64Array.from([...before, ...after]));
      const { thigh_elevation_both_deg: thigh, hip_share_gravity_both: share } = postureQuantityValues(motion, lifter);
      const part = thigh[0] / (thigh[0] - thigh[1]);
      return share[0] + part * (share[1] - share[0]);
    };
    const perDegree = (shareWhereLevel(0.2) - shareWhereLevel(-0.2)) / 0.4;
    // In a posture that is held it would be 0.013 (docs/method/acceptance.md) to 0.02.
    expect(Math.abs(perDegree)).toBeLessThan(0.013);
    expectClose(result.foreseen.hipSharePerDegreeOfVertical, Math.abs(perDegree), 0.0003, 'per degree');
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
