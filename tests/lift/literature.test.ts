import { expect, test } from '@jest/globals';
import { quantityTable } from '../../src/lift/quantities.ts';
import { correlation } from '../../src/numerics/statistics.ts';
import { reference } from '../reference.ts';
import { HEEL_X, LENGTH, makeLoads, type Posture, statics } from './make-loads.ts';

/*
 * Directions that published squat studies agree on must come out of the quantities, for postures whose moments are known
 * in closed form (lumped weights and levers).
 */

/** A parallel squat with this shank inclination whose trunk lean puts lifter and bar over `share` of the foot. */
function balanced(shank: number, share: number, mass: { bodyMassKg: number; barMassKg: number }): Posture {
  const over = (trunk: number) => statics({ shank, thigh: 0, trunk }, mass).comX - (HEEL_X + share * LENGTH.foot);
  let [low, high] = [-60, 90];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (over(middle) < 0) low = middle;
    else high = middle;
  }
  return { shank, thigh: 0, trunk: (low + high) / 2 };
}

test('the more the trunk leans beyond the shank, the larger the hip-to-knee ratio (Barrack et al. 2021)', () => {
  const [{ tibiaMoreInclinedByDeg, largestRatio }] = reference<{
    tibiaMoreInclinedByDeg: number;
    largestRatio: number;
  }>('lift-barrack-2021').cases;
  const bodyWeight = { bodyMassKg: 70, barMassKg: 0 };
  // Every pair of inclinations at parallel that keeps the centre of mass over the feet.
  const postures = [0, 10, 20, 30, 40]
    .flatMap((shank) => [0, 10, 20, 30, 40, 50, 60].map((trunk): Posture => ({ shank, thigh: 0, trunk })))
    .filter((p) => statics(p, bodyWeight).comX > HEEL_X && statics(p, bodyWeight).comX < HEEL_X + LENGTH.foot);
  const table = quantityTable(makeLoads(postures, bodyWeight));
  const difference = postures.map(({ trunk, shank }) => trunk - shank);
  const share = table.find('hip_share', 'both')!.values;
  expect(correlation(difference, share)).toBeGreaterThan(Math.sqrt(0.7));
  let judged = 0;
  postures.forEach(({ trunk, shank }, f) => {
    if (shank - trunk < tibiaMoreInclinedByDeg) return;
    judged++;
    expect(share[f]).toBeLessThanOrEqual(largestRatio / (1 + largestRatio));
  });
  expect(judged).toBeGreaterThan(0);
});

test('keeping the knees behind the toes moves work from the knees to the hips (Fry et al. 2003)', () => {
  const load = { bodyMassKg: 80, barMassKg: 80 };
  const free = balanced(38, 0.5, load);
  const restricted = balanced(22, 0.5, load);
  const table = quantityTable(makeLoads([free, restricted], load));
  for (const { joint, freeNm, restrictedNm } of reference<{ joint: string; freeNm: number; restrictedNm: number }>(
    'lift-fry-2003',
  ).cases) {
    const [withFree, withRestricted] = table.find(`${joint}_moment`, 'both')!.values;
    expect([joint, Math.sign(withRestricted - withFree)]).toEqual([joint, Math.sign(restrictedNm - freeNm)]);
  }
  expect(restricted.trunk).toBeGreaterThan(free.trunk);
});

test('at equal depth and load, what the knee loses at rest the hip gains', () => {
  // hip + knee = weight above the knees × its lever from knee to hip: the same for every shank and trunk at one thigh.
  const postures = [10, 20, 30].flatMap((shank) => [5, 25, 45].map((trunk) => ({ shank, thigh: 0, trunk })));
  const table = quantityTable(makeLoads(postures));
  const hip = table.find('hip_moment', 'both')!.values;
  const knee = table.find('knee_moment', 'both')!.values;
  for (let f = 1; f < postures.length; f++) expect(hip[f] + knee[f]).toBeCloseTo(hip[0] + knee[0], 9);
  expect(Math.max(...hip) - Math.min(...hip)).toBeGreaterThan(50);
});
