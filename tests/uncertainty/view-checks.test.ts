import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import type { Posture } from '../../src/predict/posture.ts';
import { cameraOnStand, type Stand } from '../../src/uncertainty/camera-stand.ts';
import { bestRayAngleDeg, checkView, DISC_RADIUS_M, isBehindDisc, watch } from '../../src/uncertainty/view-checks.ts';
import { expectClose } from '../expect-close.ts';
import { equipmentOf } from '../synthetic/demo.ts';
import { behindDisc } from '../synthetic/film.ts';

const lens = { imageWidth: 1080, imageHeight: 1920, focalPx: 1500 };
const on = (stand: Partial<Stand>) =>
  cameraOnStand('phone', { side: 'left', angleDeg: 45, distanceM: 4, heightM: 1, aimHeightM: 0.9, ...stand }, lens);

/** Two hips, two ears and a bar at shoulder height. */
const posture: Posture = {
  landmarks: [
    'left_ear',
    'right_ear',
    'left_shoulder',
    'right_shoulder',
    'left_hip',
    'right_hip',
    'bar_left_end',
    'bar_right_end',
  ],
  position: Float64Array.of(
    ...[0, 1.6, -0.08, 0, 1.6, 0.08],
    ...[0, 1.4, -0.2, 0, 1.4, 0.2],
    ...[0, 0.9, -0.09, 0, 0.9, 0.09],
    ...[0.1, 1.42, -1.1, 0.1, 1.42, 1.1],
  ),
};

describe('what a camera sees', () => {
  test('discs hide what the synthetic world says they hide', () => {
    // That world tests three faces of a pack and no margin; here the whole pack and 2 cm. Only grazing lines may differ.
    const equipment = { ...equipmentOf('male', 120, 'flat'), discRadiusM: DISC_RADIUS_M + 0.02 };
    const random = seededRandom(3);
    let hidden = 0;
    let unlike = 0;
    for (let i = 0; i < 8000; i++) {
      const eye = [4 * random.uniform(), 0.5 + random.uniform(), 5 * (random.uniform() - 0.5)] as const;
      const point = [0.4 * random.normal(), 1 + 0.3 * random.normal(), 0.3 * random.normal()] as const;
      if (Math.abs(eye[2]) < 1) continue;
      const here = isBehindDisc(eye, point, [0, 1.2, 0], equipment.discThicknessM);
      if (here) hidden++;
      if (here !== behindDisc(equipment, [0, 1.2, 0], eye, point)) unlike++;
    }
    expect(hidden).toBeGreaterThan(300);
    expect(unlike / hidden).toBeLessThan(0.03);
  });

  test('from straight sideways the near disc hides both shoulders, from 60° off neither', () => {
    const watched = [watch('standing', posture, { loadKg: 100, barKg: 20 })];
    const names = (angleDeg: number) => checkView(on({ angleDeg }), watched).hidden.map(({ landmark }) => landmark);
    expect(names(5)).toEqual(expect.arrayContaining(['left_shoulder', 'right_shoulder', 'bar_right_end']));
    expect(names(60)).toEqual([]);
    expect(checkView(on({ angleDeg: 5 }), [watch('standing', posture, { loadKg: 20, barKg: 20 })]).hidden).toEqual([]);
  });

  test('the bar that leaves the picture is named with its border', () => {
    const watched = [watch('standing', posture, { loadKg: 100, barKg: 20 })];
    const near = checkView(on({ angleDeg: 70, distanceM: 2 }), watched);
    expect(near.marginShare).toBeLessThan(0);
    expect(near.nearest).toEqual({ what: 'bar left end', posture: 'standing', border: 'right' });
    expect(checkView(on({ distanceM: 5 }), watched).marginShare).toBeGreaterThan(0.03);
  });

  test('a lifter behind the lens is not in the picture', () => {
    const away = on({ aimHeightM: 0.9 });
    const turned = {
      ...away,
      rotation: away.rotation.map((value, i) => (i >= 3 && i < 6 ? value : -value)),
      translation: away.translation.map((value, i) => (i === 1 ? value : -value)),
    };
    expect(checkView(turned, [watch('standing', posture, null)]).marginShare).toBe(-1);
  });

  test('pixels a metre: focal length over distance', () => {
    const { pxPerMetre } = checkView(on({ heightM: 0.9 }), [watch('standing', posture, null)]);
    expectClose(pxPerMetre, 1500 / 4, 1e-9);
  });

  test('the angle at which rays cross: the best pair', () => {
    const point = [0, 0.9, 0] as const;
    const level = (angleDeg: number, side: 'left' | 'right') => on({ angleDeg, side, heightM: 0.9 });
    expectClose(bestRayAngleDeg([level(45, 'left'), level(45, 'right')], point), 90, 1e-9);
    expectClose(bestRayAngleDeg([level(75, 'left'), level(75, 'right')], point), 30, 1e-9);
    expectClose(bestRayAngleDeg([level(75, 'left'), level(75, 'right'), level(0, 'left')], point), 75, 1e-9);
  });
});
