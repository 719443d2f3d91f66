import { describe, expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { jointAngles } from '../../src/body/joint-angles/joint-angles.ts';
import { HIP_REGRESSIONS, hipRegression, rightHip } from '../../src/body/marker-centres/hip-regressions.ts';
import { markerCentres } from '../../src/body/marker-centres/marker-centres.ts';
import { skeletonFit } from '../../src/body/skeleton/skeleton-fit.ts';
import { abilities } from '../../src/capture/abilities.ts';
import { CENTRES_FROM_MARKERS } from '../../src/capture/centre-markers.ts';
import { isLandmark, type Landmark } from '../../src/capture/landmarks.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import type { Trajectories } from '../../src/reconstruction/trajectories.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { makeRecording, makeTrajectories, type Point } from './made-lifter.ts';
import { aboutX, aboutY, aboutZ, posedBody, product, SOME_POSE } from './posed-body.ts';

const printed = reference<{ name: 'harrington-2007' | 'bell-1990'; hipMm: Point }>('body-hip-regressions');
const widthM = (printed.widthMm as number) / 1000;
const depthM = (printed.depthMm as number) / 1000;

/** A pelvis of that width and depth whose frame is the lab's, midway between the ASIS at the origin. */
const PELVIS: Record<string, Point> = {
  left_asis: [0, 0, -widthM / 2],
  right_asis: [0, 0, widthM / 2],
  left_psis: [-depthM, 0, -0.05],
  right_psis: [-depthM, 0, 0.05],
};

const at = ({ landmarks, position }: Trajectories, name: Landmark, frame = 0) => {
  const i = 3 * (frame * landmarks.length + landmarks.indexOf(name));
  return position.subarray(i, i + 3);
};
const made = (points: Readonly<Record<string, Point>>, frames = 1) => makeTrajectories(frames, 60, () => points);

describe('hip regressions', () => {
  test.each(printed.cases)('$name: the printed equations', ({ name, hipMm }) => {
    expectAllClose(
      rightHip(hipRegression(name), widthM, depthM).map((x) => 1000 * x),
      hipMm,
      printed.tolerance,
      name,
    );
    const { trajectories } = markerCentres(made(PELVIS), name)!;
    expectAllClose(
      at(trajectories, 'right_hip').map((x) => 1000 * x),
      hipMm,
      1e-9,
      'right hip, mm',
    );
    expectAllClose(
      at(trajectories, 'left_hip').map((x) => 1000 * x),
      [hipMm[0], hipMm[1], -hipMm[2]],
      1e-9,
      'left hip, mm',
    );
  });

  test('the form with leg length agrees within its published error', () => {
    const { hipMm, errorMm } = printed.withLegLength as { hipMm: Point; errorMm: Point };
    const found = rightHip(hipRegression('harrington-2007'), widthM, depthM);
    for (let k = 0; k < 3; k++) expectClose(1000 * found[k], hipMm[k], errorMm[k], 'mm');
    expectAllClose(
      hipRegression('harrington-2007').sdM.map((x) => 1000 * x),
      errorMm,
      1e-9,
      'errors, mm',
    );
  });

  test('hips of living people: 0.16–0.19 m apart for pelves 0.22–0.27 m wide', () => {
    for (const regression of HIP_REGRESSIONS)
      for (const width of [0.22, 0.27]) {
        const apart = 2 * rightHip(regression, width, 0.15)[2];
        expect(apart).toBeGreaterThan(0.155);
        expect(apart).toBeLessThan(0.2);
      }
  });

  test('a pelvis that is turned and moved takes its hips along', () => {
    const turn = product(aboutY(0.4), aboutX(-0.2), aboutZ(-0.9));
    const put = (p: readonly number[]) =>
      turn.map((row, i) => row[0] * p[0] + row[1] * p[1] + row[2] * p[2] + [0.3, 0.8, -0.1][i]) as unknown as Point;
    const moved = Object.fromEntries(Object.entries(PELVIS).map(([name, point]) => [name, put(point)]));
    const [still, turned] = [PELVIS, moved].map((points) => markerCentres(made(points))!.trajectories);
    for (const name of ['left_hip', 'right_hip'] as const)
      expectAllClose(at(turned, name), put([...at(still, name)]), 1e-14, name);
  });
});

describe('centres midway between markers', () => {
  const body = posedBody(SOME_POSE);
  const markersOnly = Object.fromEntries(
    Object.entries(body).filter(([name]) => !/_(hip|knee|ankle|elbow)$/.test(name)),
  );

  test('knees, ankles and elbows come back where the body was built with them', () => {
    const centres = markerCentres(made(markersOnly))!;
    expect([...centres.derived].sort()).toEqual(CENTRES_FROM_MARKERS.map(({ centre }) => centre).sort());
    for (const name of centres.derived)
      if (!name.endsWith('_hip')) expectAllClose(at(centres.trajectories, name), body[name], 1e-15, name);
  });

  test('a centre that is tracked is left alone; nothing to derive is null', () => {
    expect(markerCentres(made(body))).toBeNull();
    const centres = markerCentres(made({ ...markersOnly, left_knee: [1, 2, 3] }))!;
    expect(centres.derived).not.toContain('left_knee');
    expectAllClose(at(centres.trajectories, 'left_knee'), [1, 2, 3], 0, 'as tracked');
    expect(markerCentres(made({ left_knee_medial: [0, 0, 0] }))).toBeNull();
  });

  test('tracked landmarks keep their columns; every derived name is a landmark', () => {
    const tracked = made(markersOnly, 3);
    const { trajectories, derived } = markerCentres(tracked)!;
    expect(trajectories.landmarks.slice(0, tracked.landmarks.length)).toEqual(tracked.landmarks);
    expect(trajectories.landmarks.slice(tracked.landmarks.length)).toEqual(derived);
    for (const name of derived) expect(isLandmark(name)).toBe(true);
    for (const { centre, from } of CENTRES_FROM_MARKERS)
      for (const name of [centre, ...from]) expect(isLandmark(name)).toBe(true);
    for (const name of tracked.landmarks) expectAllClose(at(trajectories, name, 2), at(tracked, name, 2), 0, name);
    expect(trajectories.quality.notes.join(' ')).toMatch(/Harrington.*midway/s);
  });

  test('a marker that is missing takes its centre away with its reason; filled stays filled', () => {
    const tracked = made(markersOnly, 4);
    const count = tracked.landmarks.length;
    const column = tracked.landmarks.indexOf('left_knee_medial');
    tracked.position.fill(Number.NaN, 3 * (count + column), 3 * (count + column) + 3);
    tracked.status[count + column] = SampleStatus.outlier;
    tracked.status[2 * count + column] = SampleStatus.filled;
    const { trajectories } = markerCentres(tracked)!;
    const knee = trajectories.landmarks.indexOf('left_knee');
    const statuses = [0, 1, 2, 3].map((f) => trajectories.status[f * trajectories.landmarks.length + knee]);
    expect(statuses).toEqual([SampleStatus.seen, SampleStatus.outlier, SampleStatus.filled, SampleStatus.seen]);
    expect(at(trajectories, 'left_knee', 1)[0]).toBeNaN();
    expect(trajectories.quality.perLandmark.find(({ landmark }) => landmark === 'left_knee')).toMatchObject({
      seen: 2,
      filled: 1,
      missing: 1,
    });
  });

  test('the body, its angles and the skeleton stand on them', () => {
    const { trajectories } = markerCentres(made(markersOnly, 120))!;
    const fitted = skeletonFit(trajectories, makeRecording()).trajectories;
    const motion = bodyMotion(fitted, makeRecording({ segments: 'dumas-2007' }));
    const angles = jointAngles(motion);
    expect(motion.upperBodyKnown).toBe(true);
    // This body's own hips are not where the regression has them; its elbows are, up to the micrometres by which the fit's prior
    // moves the length of a limb of 0.26 m.
    expectClose(angles['elbow_flexion/left'].radians[60], SOME_POSE.left.elbow, 1e-4, 'elbow, rad');
    for (const key of ['hip_flexion/left', 'hip_rotation/right', 'knee_adduction/left', 'pelvis_tilt'] as const)
      expect(angles[key].radians[60]).not.toBeNaN();
  });

  test('what can be computed counts them', () => {
    const points = makeTrajectories(1, 60, () => markersOnly);
    const { can } = abilities({
      recording: makeRecording(),
      tracks: null,
      rigJson: null,
      points: {
        file: 'made.csv',
        frameRateHz: 60,
        frames: 1,
        landmarks: points.landmarks,
        position: points.position,
        status: points.status,
        sdM: null,
      },
      forcePlates: [],
      inputs: [],
    });
    expect(can.join('; ')).toMatch(/thigh elevation.*hip, knee and ankle moments of both legs/);
    expect(can[0]).toContain(`${points.landmarks.length} landmarks`);
  });
});

describe('doubt', () => {
  /** Markers with unlike, correlated covariances. */
  function uncertain(): Trajectories {
    const tracked = made({ ...PELVIS, left_knee_medial: [0, -0.4, -0.05], left_knee_lateral: [0, -0.4, -0.15] });
    for (let l = 0; l < tracked.landmarks.length; l++) {
      const s = 1e-6 * (1 + l);
      tracked.covariance.set([4 * s, s, -0.5 * s, 2 * s, 0.3 * s, 3 * s], 6 * l);
    }
    return tracked;
  }

  test('a midpoint of two has a quarter of the sum of their covariances', () => {
    const tracked = uncertain();
    const { trajectories } = markerCentres(tracked)!;
    const of = (name: Landmark) => {
      const l = trajectories.landmarks.indexOf(name);
      return trajectories.covariance.subarray(6 * l, 6 * l + 6);
    };
    const [a, b] = [of('left_knee_medial'), of('left_knee_lateral')];
    expectAllClose(
      of('left_knee'),
      a.map((x, k) => (x + b[k]) / 4),
      1e-15,
      'covariance, m²',
    );
  });

  test('the covariance of a hip is what draws of its markers scatter by', () => {
    const tracked = uncertain();
    const centres = markerCentres(tracked)!;
    const count = centres.trajectories.landmarks.length;
    const hip = centres.trajectories.landmarks.indexOf('right_hip');
    const expected = centres.trajectories.covariance.subarray(6 * hip, 6 * hip + 6);
    // Width and depth follow every draw of a one-frame recording, as they would not over many frames: held by the shares they have.
    const many = 4000;
    const random = seededRandom(2);
    const wide = makeTrajectories(many, 60, () =>
      Object.fromEntries(tracked.landmarks.map((name) => [name, [...at(tracked, name)] as unknown as Point])),
    );
    for (let f = 0; f < many; f++)
      for (let l = 0; l < tracked.landmarks.length; l++) {
        const c = tracked.covariance.subarray(6 * l, 6 * l + 6);
        // Cholesky of 3 × 3.
        const a = Math.sqrt(c[0]);
        const [b, d] = [c[1] / a, c[2] / a];
        const e = Math.sqrt(c[3] - b * b);
        const g = (c[4] - b * d) / e;
        const h = Math.sqrt(c[5] - d * d - g * g);
        const [u, v, w] = [random.normal(), random.normal(), random.normal()];
        const i = 3 * (f * tracked.landmarks.length + l);
        wide.position[i] += a * u;
        wide.position[i + 1] += b * u + e * v;
        wide.position[i + 2] += d * u + g * v + h * w;
      }
    const drawn = markerCentres(wide)!.trajectories;
    const mean = [0, 0, 0];
    const sums = [0, 0, 0, 0, 0, 0];
    for (let f = 0; f < many; f++) {
      const p = drawn.position.subarray(3 * (f * count + hip), 3 * (f * count + hip) + 3);
      for (let k = 0; k < 3; k++) mean[k] += p[k] / many;
    }
    for (let f = 0; f < many; f++) {
      const p = drawn.position.subarray(3 * (f * count + hip), 3 * (f * count + hip) + 3);
      const d = [0, 1, 2].map((k) => p[k] - mean[k]);
      [d[0] * d[0], d[0] * d[1], d[0] * d[2], d[1] * d[1], d[1] * d[2], d[2] * d[2]].forEach((x, k) => {
        sums[k] += x / many;
      });
    }
    // 4,000 draws give a variance to 2.2 % (one standard error); four of those, of the largest variance for the mixed terms.
    const largest = Math.max(expected[0], expected[3], expected[5]);
    expectAllClose(sums, expected, 0.09 * largest, 'covariance, m²');
  });

  test('centres follow their markers in draws, and the hips their own error', () => {
    const tracked = uncertain();
    const centres = markerCentres(tracked)!;
    expectAllClose(centres.place(tracked.position), centres.trajectories.position, 0, 'unmoved');
    const moved = tracked.position.map((x, i) => x + [0.01, -0.02, 0.03][i % 3]);
    const { landmarks } = centres.trajectories;
    expectAllClose(
      centres.place(moved),
      centres.trajectories.position.map((x, i) => x + [0.01, -0.02, 0.03][i % 3]),
      1e-15,
      'moved',
    );
    const wider = centres.place(tracked.position, [0.001, 0.002, 0.003]);
    for (const [name, out] of [
      ['left_hip', -1],
      ['right_hip', 1],
    ] as const) {
      const i = 3 * landmarks.indexOf(name);
      const change = [0, 1, 2].map((k) => wider[i + k] - centres.trajectories.position[i + k]);
      expectAllClose(change, [0.001, 0.002, out * 0.003], 1e-15, name);
    }
  });
});
