import { describe, expect, test } from '@jest/globals';
import {
  depthsInto,
  essentialFromPairs,
  posesOfEssential,
  shareInFront,
} from '../../../src/cameras/moving-points/essential.ts';
import { homographyFromPairs, posesOfHomography } from '../../../src/cameras/moving-points/homography.ts';
import { relativePoseCandidates } from '../../../src/cameras/moving-points/relative-pose.ts';
import { angleBetween, type Pose } from '../../../src/cameras/pose.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { rotationFromVector } from '../../../src/numerics/rotation.ts';
import { expectAllClose, expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';

interface Decomposed {
  readonly rotationVector: readonly number[];
  readonly translation: readonly number[];
  readonly normal: readonly number[];
  readonly distance: number;
  readonly homography: readonly number[];
  readonly solutions: readonly {
    readonly rotation: readonly number[];
    readonly translationOverDistance: readonly number[];
    readonly normal: readonly number[];
  }[];
}

const truth: Pose = {
  rotation: rotationFromVector([0.04, -1.2, 0.03]),
  translation: Float64Array.from([0.85, -0.02, 0.5], (x) => x / Math.hypot(0.85, 0.02, 0.5)),
};

/** Exact pairs of points (first camera's frame, baseline units), with noise (normalised units). */
function pairsOf(points: readonly (readonly number[])[], pose: Pose, sd = 0, seed = 1): Float64Array {
  const random = seededRandom(seed);
  const { rotation: r, translation: t } = pose;
  return Float64Array.from(
    points.flatMap(([x, y, z]) => {
      const q = [0, 1, 2].map((k) => r[3 * k] * x + r[3 * k + 1] * y + r[3 * k + 2] * z + t[k]);
      return [x / z, y / z, q[0] / q[2], q[1] / q[2]].map((value) => value + sd * random.normal());
    }),
  );
}

const cloud = (seed: number, count: number, depth = 0.25): number[][] => {
  const random = seededRandom(seed);
  return Array.from({ length: count }, () => [
    0.3 * random.normal(),
    0.2 * random.normal(),
    0.9 + depth * (random.uniform() - 0.5),
  ]);
};
const indices = (n: number) => Int32Array.from({ length: n }, (_, i) => i);
const directionError = (a: Pose, b: Pose) =>
  Math.acos(
    Math.min(
      1,
      a.translation.reduce((sum, x, k) => sum + x * b.translation[k], 0),
    ),
  );

describe('eight-point algorithm', () => {
  test('exact pairs give back the relative pose: one of four, the only one with all points in front', () => {
    const pairs = pairsOf(cloud(1, 20), truth);
    const poses = posesOfEssential(essentialFromPairs(pairs, indices(20))!);
    const inFront = poses.filter((pose) => shareInFront(pose, pairs, indices(20)) === 1);
    expect(poses).toHaveLength(4);
    expect(inFront).toHaveLength(1);
    expectAllClose(inFront[0].rotation, truth.rotation, 1e-9, 'rotation'); // conditioning about 1e3 × rounding
    expectAllClose(inFront[0].translation, truth.translation, 1e-9, 'translation');
  });

  test('depths of a point seen without error are its own', () => {
    const depth = new Float64Array(2);
    const [[x, y, z]] = cloud(5, 1);
    const [x1, y1, x2, y2] = pairsOf([[x, y, z]], truth);
    depthsInto(depth, truth, x1, y1, x2, y2);
    expectClose(depth[0], z, 1e-12, 'first camera');
    expectClose(
      depth[1],
      truth.rotation[6] * x + truth.rotation[7] * y + truth.rotation[8] * z + truth.translation[2],
      1e-12,
      'second',
    );
  });
});

describe('homography', () => {
  const table = reference<Decomposed>('cameras-homography-decomposition');

  test.each(table.cases.map((one, i) => ({ i, one })))(
    'case $i: the two roots with the plane in front are those of another program',
    ({ one }) => {
      // Points of the plane, so that a side is in front: n · x = d.
      const random = seededRandom(3);
      const points = Array.from({ length: 12 }, () => {
        const [x, y] = [0.2 * random.normal(), 0.2 * random.normal()];
        const ray = [x, y, 1];
        const along = ray.reduce((sum, value, k) => sum + value * one.normal[k], 0);
        return ray.map((value) => (value * one.distance) / along);
      });
      const pairs = pairsOf(points, {
        rotation: rotationFromVector(one.rotationVector),
        translation: Float64Array.from(one.translation),
      });
      const found = posesOfHomography(homographyFromPairs(pairs, indices(12))!, pairs, indices(12));
      const sides = (normal: readonly number[]) =>
        points.map(([x, y, z]) => normal[0] * (x / z) + normal[1] * (y / z) + normal[2]).every((s) => s > 0);
      const wanted = one.solutions.filter(({ normal }) => sides(normal));
      expect(found).toHaveLength(wanted.length);
      for (const { rotation, translationOverDistance, normal } of wanted) {
        const match = found.find(({ pose }) => angleBetween(pose.rotation, Float64Array.from(rotation)) < 1e-4);
        expect(match).toBeDefined();
        expectAllClose(match!.pose.rotation, rotation, table.tolerance, 'rotation');
        expectAllClose(match!.normal, normal, table.tolerance, 'normal');
        const over = match!.pose.translation.map((x) => x / match!.distance);
        expectAllClose(over, translationOverDistance, table.tolerance, 'translation over distance');
      }
      const own = found.find(({ pose }) => angleBetween(pose.rotation, rotationFromVector(one.rotationVector)) < 1e-6);
      expect(own).toBeDefined();
    },
  );

  test('at least one of the cases has two roots in front: the ambiguity is real', () => {
    const counts = table.cases.map(
      ({ solutions, normal }) =>
        solutions.filter((one) => one.normal.reduce((sum, x, k) => sum + x * normal[k], 0) > 0 && one.normal[2] > 0)
          .length,
    );
    expect(Math.max(...counts)).toBe(2);
  });

  test('a pure turn has no translation to find', () => {
    const still: Pose = { rotation: truth.rotation, translation: new Float64Array(3) };
    const pairs = pairsOf(cloud(2, 10), still);
    expect(posesOfHomography(homographyFromPairs(pairs, indices(10))!, pairs, indices(10))).toEqual([]);
  });
});

describe('candidates of relative pose', () => {
  // 1 px at a focal length of 1500 px.
  const sd = 1 / 1500;

  test('a fifth of the pairs is wrong: the pose is found all the same, and the wrong ones counted', () => {
    const pairs = pairsOf(cloud(7, 200), truth, sd, 7);
    const random = seededRandom(8);
    for (let i = 0; i < 200; i += 5) pairs.set([0.3 * random.normal(), 0.3 * random.normal()], 4 * i + 2);
    const [best] = relativePoseCandidates(pairs, { seed: 1 });
    // 160 good pairs of 1 px: about 0.1° (and 0.2° in the direction of the baseline); four times that.
    expectClose(angleBetween(best.pose.rotation, truth.rotation), 0, 0.007, 'turn, rad');
    expectClose(directionError(best.pose, truth), 0, 0.014, 'baseline, rad');
    expectClose(best.inlierShare, 0.8, 0.06, 'share of good pairs');
    expectClose(best.sd, sd, 0.3 * sd, 'scatter');
  });

  test('points of one plane with both roots in front: both are returned, and cost nearly the same', () => {
    const { rotationVector, translation, normal, distance } = reference<Decomposed>(
      'cameras-homography-decomposition',
    ).cases.find(({ solutions }) => solutions.filter((one) => one.normal[2] > 0.5).length === 2)!;
    const length = Math.hypot(...translation);
    const pose: Pose = {
      rotation: rotationFromVector(rotationVector),
      translation: Float64Array.from(translation, (x) => x / length),
    };
    const plane = cloud(9, 80, 0).map(([x, y]) => {
      const ray = [0.5 * x, 0.5 * y, 1];
      const along = ray.reduce((sum, value, k) => sum + value * normal[k], 0);
      return ray.map((value) => (value * distance) / length / along);
    });
    const found = relativePoseCandidates(pairsOf(plane, pose, 0.2 * sd, 4), { seed: 2 });
    expect(found.length).toBeGreaterThanOrEqual(2);
    expect(found[1].cost).toBeLessThan(2 * found[0].cost);
    const nearest = Math.min(...found.slice(0, 2).map((one) => angleBetween(one.pose.rotation, pose.rotation)));
    expectClose(nearest, 0, 0.01, 'turn of the nearer, rad');
  });

  test('the same seed gives the same candidates', () => {
    const pairs = pairsOf(cloud(11, 60), truth, sd, 5);
    expect(relativePoseCandidates(pairs, { seed: 4 })).toEqual(relativePoseCandidates(pairs, { seed: 4 }));
  });

  test('seven pairs are too few', () => {
    expect(relativePoseCandidates(pairsOf(cloud(1, 7), truth), { seed: 1 })).toEqual([]);
  });
});
