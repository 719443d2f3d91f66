import { describe, expect, test } from '@jest/globals';
import { cameraCentre, projectInto } from '../../src/cameras/camera-model.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { cameraMoved, cameraOnStand, type Stand, standOf, standPlace } from '../../src/uncertainty/camera-stand.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { cameraOn, imageOf } from '../synthetic/camera.ts';

const lens = { imageWidth: 1080, imageHeight: 1920, focalPx: 1480 };
const stand: Stand = { side: 'left', angleDeg: 30, distanceM: 4, heightM: 1.2, aimHeightM: 0.9 };

describe('a phone on its stand', () => {
  test('30° off sideways on the left, 4 m away: 2 m ahead and 3.46 m to the left', () => {
    expectAllClose(standPlace(stand), [2, 1.2, -4 * Math.cos(Math.PI / 6)], 1e-12);
    expectAllClose(standPlace({ ...stand, side: 'right', angleDeg: -90 }, 1, 1), [-3, 1.2, 1], 1e-12);
  });

  test('sees what the synthetic world’s own camera sees', () => {
    const camera = cameraOnStand('left', stand, lens, 0.3, -0.2);
    const [x, y, z] = standPlace(stand, 0.3, -0.2);
    const other = cameraOn(
      { name: 'left', centre: [x, y, z], lookAt: [0.3, 0.9, -0.2], rollRad: 0 },
      {
        imageSizePx: [1080, 1920],
        focalPx: 1480,
        principalPointPx: [539.5, 959.5],
        lens: { k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 },
      },
    );
    const random = seededRandom(1);
    const uv = new Float64Array(2);
    for (let i = 0; i < 50; i++) {
      const p = [random.normal(), 1 + random.normal(), random.normal()] as const;
      projectInto(uv, 0, camera, ...p);
      expectAllClose(uv, imageOf(other, p)!, 1e-8, `point ${i}`);
    }
  });

  test('the stand is found again from the camera, and a moved camera keeps its lens', () => {
    const camera = cameraOnStand('left', stand, lens, 0.3, -0.2);
    const found = standOf(camera, 0.3, -0.2);
    expect(found.side).toBe('left');
    for (const name of ['angleDeg', 'distanceM', 'heightM', 'aimHeightM'] as const) {
      expectClose(found[name], stand[name], 1e-9, name);
    }
    const moved = cameraMoved({ ...camera, distortion: [0.1, 0, 0, 0, 0] }, { ...stand, distanceM: 3 }, 0.3, -0.2);
    expect(moved.distortion[0]).toBe(0.1);
    expectAllClose(cameraCentre(moved), standPlace({ ...stand, distanceM: 3 }, 0.3, -0.2), 1e-12);
  });
});
