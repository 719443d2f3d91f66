import { describe, expect, test } from '@jest/globals';
import { Matrix4, PerspectiveCamera, Vector3 } from 'three';
import {
  axesInto,
  FIELD_OF_VIEW,
  lookAtAll,
  newOrbit,
  projector,
  turnBy,
  zoomBy,
} from '../../../src/web/scene/orbit.ts';
import { SCENE_VIEWS } from '../../../src/web/scene/payload.ts';

const MARGINS = { left: 14, right: 20, top: 56, bottom: 30 };
/** A lifter with a bar, roughly: x, y, z, radius. */
const POINTS = Float64Array.from(
  [
    [0.1, 1.6, 0, 0.12],
    [-0.4, 0.5, -0.2, 0.1],
    [0.4, 0.5, 0.2, 0.1],
    [0, 0, 0, 0],
    [0.1, 1.35, -1, 0.1],
    [0.1, 1.35, 1, 0.1],
  ].flat(),
);

function seen(view: (typeof SCENE_VIEWS)[number], width = 600, height = 500) {
  const orbit = newOrbit();
  lookAtAll(orbit, view, POINTS, width, height, MARGINS);
  const eye = projector();
  eye.set(orbit, width, height);
  return { orbit, at: (x: number, y: number, z: number) => [...eye.project(x, y, z)] };
}

describe('the views', () => {
  test('side: from the lifter’s right, forward to the right, up is up', () => {
    const { at } = seen('side');
    expect(at(1, 1, 0)[0]).toBeGreaterThan(at(0, 1, 0)[0]);
    expect(at(0, 2, 0)[1]).toBeLessThan(at(0, 1, 0)[1]);
    expect(at(0, 1, 1)[3]).toBeLessThan(at(0, 1, -1)[3]);
  });

  test('front: the lifter’s right is on the left, the lifter faces the reader', () => {
    const { at } = seen('front');
    expect(at(0, 1, 1)[0]).toBeLessThan(at(0, 1, -1)[0]);
    expect(at(1, 1, 0)[3]).toBeLessThan(at(-1, 1, 0)[3]);
  });

  test('top: forward is up, the lifter’s right is on the right, the head is nearest', () => {
    const { at } = seen('top');
    expect(at(1, 0, 0)[1]).toBeLessThan(at(-1, 0, 0)[1]);
    expect(at(0, 0, 1)[0]).toBeGreaterThan(at(0, 0, -1)[0]);
    expect(at(0, 2, 0)[3]).toBeLessThan(at(0, 0, 0)[3]);
  });

  test.each(SCENE_VIEWS)('%s: everything is in the picture, on any shape of it, and fills it one way', (view) => {
    for (const [width, height] of [
      [600, 500],
      [358, 436],
      [900, 300],
    ]) {
      const { at } = seen(view, width, height);
      let [left, right, top, bottom] = [width, 0, height, 0];
      for (let i = 0; i < POINTS.length; i += 4) {
        const [x, y, scale] = at(POINTS[i], POINTS[i + 1], POINTS[i + 2]);
        const r = scale * POINTS[i + 3];
        [left, right, top, bottom] = [
          Math.min(left, x - r),
          Math.max(right, x + r),
          Math.min(top, y - r),
          Math.max(bottom, y + r),
        ];
      }
      expect(left).toBeGreaterThanOrEqual(MARGINS.left - 1);
      expect(right).toBeLessThanOrEqual(width - MARGINS.right + 1);
      expect(top).toBeGreaterThanOrEqual(MARGINS.top - 1);
      expect(bottom).toBeLessThanOrEqual(height - MARGINS.bottom + 1);
      const fill = Math.max(
        (right - left) / (width - MARGINS.left - MARGINS.right),
        (bottom - top) / (height - MARGINS.top - MARGINS.bottom),
      );
      expect(fill).toBeGreaterThan(0.75);
    }
  });

  // Source: the camera of three.js, a general library; floating point in double precision.
  test('points fall where the camera of three.js puts them', () => {
    const { orbit, at } = seen('free', 640, 480);
    turnBy(orbit, 0.4, 0.2);
    const eye = projector();
    eye.set(orbit, 640, 480);
    const a = axesInto(new Float64Array(9), orbit);
    const camera = new PerspectiveCamera((FIELD_OF_VIEW * 180) / Math.PI, 640 / 480, 0.1, 100);
    const place = [0, 1, 2].map((k) => orbit.target[k] + orbit.distance * a[6 + k]);
    camera.position.set(place[0], place[1], place[2]);
    camera.up.set(0, 1, 0);
    camera.lookAt(orbit.target[0], orbit.target[1], orbit.target[2]);
    camera.updateMatrixWorld();
    for (const [x, y, z] of [
      [0.3, 1.2, -0.4],
      [-0.5, 0, 0.9],
      [0, 1.7, 0],
    ]) {
      const expected = new Vector3(x, y, z).project(camera);
      const found = eye.project(x, y, z);
      expect(found[0]).toBeCloseTo(320 * (1 + expected.x), 6);
      expect(found[1]).toBeCloseTo(240 * (1 - expected.y), 6);
      const away = new Vector3(x, y, z).applyMatrix4(new Matrix4().copy(camera.matrixWorldInverse));
      expect(found[3]).toBeCloseTo(-away.z, 9);
    }
    expect(at(0, 0, 0)).toHaveLength(4);
  });

  test('turning keeps right angles and never goes over the top; zooming has ends', () => {
    const orbit = newOrbit();
    for (let i = 0; i < 50; i++) turnBy(orbit, 0.7, 0.3);
    expect(orbit.elevation).toBeCloseTo(Math.PI / 2, 12);
    for (let i = 0; i < 50; i++) turnBy(orbit, 0, -0.3);
    expect(orbit.elevation).toBeCloseTo(-0.1, 12);
    const a = axesInto(new Float64Array(9), orbit);
    const dot = (i: number, j: number) =>
      a[3 * i] * a[3 * j] + a[3 * i + 1] * a[3 * j + 1] + a[3 * i + 2] * a[3 * j + 2];
    for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) expect(dot(i, j)).toBeCloseTo(i === j ? 1 : 0, 12);
    for (let i = 0; i < 99; i++) zoomBy(orbit, 0.5, 6);
    expect(orbit.distance).toBeCloseTo(1.5, 12);
    for (let i = 0; i < 99; i++) zoomBy(orbit, 2, 6);
    expect(orbit.distance).toBeCloseTo(12, 12);
  });
});
