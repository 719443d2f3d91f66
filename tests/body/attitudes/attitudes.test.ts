import { describe, expect, test } from '@jest/globals';
import { ATTITUDE_PARTS, type AttitudePart } from '../../../src/body/attitude.ts';
import { bodyMotion } from '../../../src/body/body-motion-from-trajectories.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { expectAllClose, expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';
import { makeRecording, makeTrajectories, type Point } from '../made-lifter.ts';
import { type BodyPose, posedBody, SOME_POSE } from '../posed-body.ts';

const DEGREES = 180 / Math.PI;

const motionOf = (points: Readonly<Record<string, Point>>) =>
  bodyMotion(
    makeTrajectories(1, 60, () => points),
    makeRecording(),
  );
const axesOf = (points: Readonly<Record<string, Point>>, part: AttitudePart) =>
  motionOf(points).attitudes![part]!.labFromPart;
const without = (points: Readonly<Record<string, Point>>, pattern: RegExp) =>
  Object.fromEntries(Object.entries(points).filter(([name]) => !pattern.test(name)));

describe("Winter's shank (p. 183)", () => {
  const winter = reference<{ axis: 'X' | 'Y' | 'Z'; lab: Point }>('body-winter-frame');
  const markers = winter.markersCm as Record<string, Point>;
  const inMetres = (cm: Point): Point => [cm[0] / 100, cm[1] / 100, cm[2] / 100];
  const between = (a: string, b: string): Point =>
    inMetres([0, 1, 2].map((i) => (markers[a][i] + markers[b][i]) / 2) as unknown as Point);
  const ankle = between('lateral malleolus', 'medial malleolus');
  const knee = between('fibular head', 'medial condyle');
  const shank = axesOf(
    {
      ...posedBody(SOME_POSE),
      left_ankle: ankle,
      left_knee: knee,
      left_hip: [knee[0], knee[1] + 0.4, knee[2]],
      left_ankle_lateral: inMetres(markers['lateral malleolus']),
      left_ankle_medial: inMetres(markers['medial malleolus']),
    },
    'left_shank',
  );

  test('joint centres midway between the markers, as printed', () => {
    expectAllClose(
      ankle.map((x) => 100 * x),
      winter.ankleCentreCm as Point,
      1e-9,
      'ankle, cm',
    );
    expectAllClose(
      knee.map((x) => 100 * x),
      winter.kneeCentreCm as Point,
      1e-9,
      'knee, cm',
    );
  });

  test.each(winter.cases)('$axis axis as printed', ({ axis, lab }) => {
    const j = 'XYZ'.indexOf(axis);
    expectAllClose([shank[j], shank[3 + j], shank[6 + j]], lab, winter.tolerance, axis);
  });

  test.each(winter.local as { marker: string; cm: Point }[])(
    '$marker in the axes of the shank, as printed',
    ({ marker, cm }) => {
      const at = marker === 'knee centre' ? knee : inMetres(markers[marker]);
      const d = [0, 1, 2].map((i) => 100 * (at[i] - ankle[i]));
      const local = [0, 1, 2].map((j) => shank[j] * d[0] + shank[3 + j] * d[1] + shank[6 + j] * d[2]);
      expectAllClose(local, cm, winter.tolerance, marker);
    },
  );
});

describe('axes of every part', () => {
  test.each(ATTITUDE_PARTS)('%s: right-handed, square, of length one, long axis among them', (part) => {
    const attitude = motionOf(posedBody(SOME_POSE)).attitudes![part]!;
    const r = attitude.labFromPart;
    const column = (j: number) => [r[j], r[3 + j], r[6 + j]];
    const [x, y, z] = [column(0), column(1), column(2)];
    const dot = (a: number[], b: number[]) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    expectAllClose([dot(x, x), dot(y, y), dot(z, z), dot(x, y), dot(y, z), dot(z, x)], [1, 1, 1, 0, 0, 0], 1e-14, part);
    const cross = [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]];
    expectAllClose(cross, z, 1e-14, 'X × Y = Z');
    expectAllClose(attitude.longAxis!, part.endsWith('_foot') ? x : y, 1e-14, 'long axis');
    expect(attitude.fixedBy).not.toBe('');
  });

  test('standing: X forward, Y up, Z to the right, on both sides alike', () => {
    const still = { hip: [0, 0, 0], knee: [0.6, 0, 0], ankle: [0, 0, 0], shoulder: [0, 0, 0], elbow: 0.6 } as const;
    const standing: BodyPose = { pelvis: [0, 0, 0], spine: [0, 0, 0], left: still, right: still };
    for (const points of [posedBody(standing), without(posedBody(standing), /medial|lateral|small_toe/)]) {
      for (const part of ATTITUDE_PARTS) {
        const r = axesOf(points, part);
        expect(Math.min(r[0], r[4], r[8])).toBeGreaterThan(0.7);
      }
    }
  });

  test('thorax by four markers (Wu et al. 2005): as built, where the shoulders are shrugged otherwise', () => {
    const points = posedBody({ ...SOME_POSE, pelvis: [0, 0, 0], spine: [0, 0, 0] });
    const [x, y, z] = [0.05, 0.9, -0.02];
    const marked = {
      ...points,
      sternum_notch: [x + 0.09, y + 0.45, z] as Point,
      neck_base: [x - 0.09, y + 0.55, z] as Point,
      xiphoid: [x + 0.11, y + 0.28, z] as Point,
      mid_back: [x - 0.11, y + 0.34, z] as Point,
      right_shoulder: [points.right_shoulder[0] + 0.1, ...points.right_shoulder.slice(1)] as unknown as Point,
    };
    expectAllClose(axesOf(marked, 'trunk'), [1, 0, 0, 0, 1, 0, 0, 0, 1], 1e-14, 'thorax');
    expect(Math.abs(axesOf(without(marked, /xiphoid/), 'trunk')[6])).toBeGreaterThan(0.1);
  });

  test('nothing is determined by absent points: all nine numbers NaN, with a reason', () => {
    const motion = motionOf(without(posedBody(SOME_POSE), /asis|wrist|medial/));
    for (const part of ['pelvis', 'left_forearm', 'right_upper_arm'] as const) {
      const { labFromPart, unknownBecause } = motion.attitudes![part]!;
      expect(labFromPart.length).toBe(9);
      expect([...labFromPart].every(Number.isNaN)).toBe(true);
      expect(unknownBecause).toMatch(/^needs /);
    }
  });
});

describe('noise', () => {
  /** Docstring of LEAST_HINGE_BEND_DEG and docs/method/angles.md: the formula, degrees. */
  const formula = (bend: number, upper: number, lower: number, sd: number) => {
    const q = (lower / upper) * Math.cos(bend);
    return (DEGREES * sd * Math.sqrt(1 + (1 + q) ** 2 + q * q)) / (lower * Math.sin(bend));
  };

  test('at 30° of bend 5 mm turn the knee plane by 3.1°, the elbow plane by 4.9°', () => {
    expectClose(formula(Math.PI / 6, 0.42, 0.43, 0.005), 3.1, 0.05, 'knee, °');
    expectClose(formula(Math.PI / 6, 0.28, 0.26, 0.005), 4.9, 0.05, 'elbow, °');
    expectClose(formula((160 * Math.PI) / 180, 0.28, 0.26, 0.005), 4.3, 0.05, 'folded elbow, °');
    expectClose(formula((165 * Math.PI) / 180, 0.28, 0.26, 0.005), 5.7, 0.05, 'elbow folded further, °');
  });

  test.each([35, 60, 100])('the turn of the thigh scatters as the formula says at %i° of knee bend', (degrees) => {
    const leg = { ...SOME_POSE.left, knee: [degrees / DEGREES, 0, 0] as Point };
    const points = without(posedBody({ ...SOME_POSE, left: leg }), /medial|lateral/);
    const exact = axesOf(points, 'left_thigh');
    const random = seededRandom(7);
    const frames = 4000;
    const sd = 0.001;
    const noisy = bodyMotion(
      makeTrajectories(frames, 60, () =>
        Object.fromEntries(
          Object.entries(points).map(([name, point]) => [
            name,
            /left_(hip|knee|ankle)$/.test(name)
              ? (point.map((x) => x + sd * random.normal()) as unknown as Point)
              : point,
          ]),
        ),
      ),
      makeRecording(),
    ).attitudes!.left_thigh!.labFromPart;
    let squares = 0;
    for (let m = 0; m < 9 * frames; m += 9) {
      // Turn of the noisy Z about the exact Y: its part along the exact X.
      const turn = noisy[m + 2] * exact[0] + noisy[m + 5] * exact[3] + noisy[m + 8] * exact[6];
      squares += turn * turn;
    }
    // 4,000 draws give a standard deviation to 1.1 %; three of those, and 1 % for what is not linear at 1 mm.
    const expected = formula(degrees / DEGREES, 0.42, 0.43, sd);
    expectClose((DEGREES * Math.sqrt(squares / frames)) / expected, 1, 0.045, 'scatter against the formula');
  });
});
