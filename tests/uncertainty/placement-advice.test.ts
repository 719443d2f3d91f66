import { describe, expect, test } from '@jest/globals';
import { hipShareHalfWidth } from '../../src/uncertainty/foresee.ts';
import { measuredNoise } from '../../src/uncertainty/measured-noise.ts';
import { placementAdvice } from '../../src/uncertainty/placement-advice.ts';
import { planFilming } from '../../src/uncertainty/plan.ts';
import { expectClose } from '../expect-close.ts';
import { LENSES, PLACEMENTS, planOf, sceneOfStretch, simulatedRecording, stretchOf } from './simulated-placements.ts';

/** From standing through parallel to the bottom: 2 s on both sides of parallel hold a whole repetition. */
const stretch = stretchOf('A01-knees-flat', 1.3);
const [beside, , , narrowAngle] = PLACEMENTS;
const noisy = { whitePx: 0.8, slowPx: 0.6, slowS: 0.15 };
const film = (placement: (typeof PLACEMENTS)[number], noise = noisy, seed = 11) =>
  simulatedRecording(stretch, placement, LENSES[0], noise, seed);

describe('advice from a warm-up repetition', () => {
  test('white and slow pixel noise are told apart', () => {
    // 157 frames of 20 points give 3,100 residuals: 1.3 % of a white SD. The slow part has about 2.6 s / 0.3 s · 20 = 170
    // independent values (5 %), and only a third of the variance: 3 SD of it are about 0.1 px.
    const mixed = measuredNoise(film(beside).data, film(beside).rig);
    expectClose(Math.hypot(mixed.all.whitePx, mixed.all.slowPx), 1, 0.06, 'all');
    expectClose(mixed.all.slowPx, 0.6, 0.1, 'slow');
    const { data, rig } = film(beside, { whitePx: 1, slowPx: 0, slowS: 0.15 });
    const white = measuredNoise(data, rig);
    expectClose(white.all.whitePx, 1, 0.04, 'white');
    expect(white.all.slowPx).toBeLessThan(0.2);
  });

  test('the interval is the one that a plan with the true noise foresees', () => {
    const { data, rig } = film(beside);
    const advice = placementAdvice(data, rig)!;
    const plan = planFilming(planOf(beside, LENSES[0], stretch.recorded, noisy), sceneOfStretch(stretch));
    const cameras = plan.movables.map(({ camera }) => camera);
    const wanted = hipShareHalfWidth(plan.scene, cameras, plan.variances);
    // The noise is known to about 8 % (above), the posture is that of a noisy frame.
    expectClose(advice.hipShareHalfWidth95 / wanted, 1, 0.25);
    expect(advice.verdict).toBe('good');
  });

  test('phones almost in front of the lifter are sent to the sides', () => {
    const { data, rig } = film(narrowAngle);
    const advice = placementAdvice(data, rig)!;
    const moves = advice.better!.all!.moves;
    expect(moves.map(({ camera }) => camera).sort()).toEqual(['left', 'right']);
    for (const { from, to } of moves) {
      // The lifter's heading is found from noisy points; seen from the front their noise along X is 3 mm.
      expectClose(from.angleDeg, 75, 1, 'angle found again from the rig');
      expectClose(from.distanceM, narrowAngle.distanceM[0] * LENSES[0].further, 0.02, 'distance');
      expect(to.angleDeg).toBeLessThan(from.angleDeg - 10);
    }
    expect(advice.lines.join(' ')).not.toMatch(/NaN|undefined/);
  });

  test('points ten times as noisy are not good enough', () => {
    const { data, rig } = film(narrowAngle, { whitePx: 8, slowPx: 6, slowS: 0.15 });
    expect(placementAdvice(data, rig)!.verdict).toBe('poor');
  });

  test('no views, no advice', () => {
    const { data, rig } = film(beside);
    expect(placementAdvice({ ...data, tracks: null }, rig)).toBeNull();
    expect(placementAdvice(data, null)).toBeNull();
  });
});
