import { describe, expect, test } from '@jest/globals';
import type { Camera } from '../../src/cameras/rig.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import type { KeypointTrack } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { reconstruct } from '../../src/reconstruction/reconstruct.ts';
import type { Trajectories } from '../../src/reconstruction/trajectories.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import {
  BODY,
  cameraAt,
  film,
  lifterAt,
  type Motion,
  mirrored,
  otherSide,
  pointsOf,
  recordingOf,
  rigOf,
  sideCameras,
  turned,
} from './scene.ts';

const [fore, aft] = sideCameras();
const third = cameraAt('front', [3.8, 1.6, 0.4], [0, 0.9, 0], { distortion: [0.02, -0.01, 0, 0, 0] });

function at(result: Trajectories, frame: number, landmark: Landmark): number[] {
  const o = 3 * (frame * result.landmarks.length + result.landmarks.indexOf(landmark));
  return Array.from(result.position.subarray(o, o + 3));
}

function worstDistance(result: Trajectories, motion: Motion): number {
  let worst = 0;
  for (let k = 0; k < result.frames; k++) {
    for (const landmark of result.landmarks) {
      const [x, y, z] = at(result, k, landmark);
      if (Number.isNaN(x)) continue;
      const [tx, ty, tz] = motion(result.startS + k / result.frameRateHz, landmark);
      worst = Math.max(worst, Math.hypot(x - tx, y - ty, z - tz));
    }
  }
  return worst;
}

/** Every NaN has a reason, every reason a NaN. */
function expectStatusFits(result: Trajectories): void {
  const usable: readonly number[] = [SampleStatus.seen, SampleStatus.filled, SampleStatus.edge];
  for (let s = 0; s < result.status.length; s++) {
    for (let axis = 0; axis < 3; axis++) {
      const isNumber = Number.isFinite(result.position[3 * s + axis]);
      if (isNumber !== usable.includes(result.status[s]))
        throw new Error(`sample ${s}: status ${result.status[s]}, ${isNumber}`);
    }
  }
}

/** The camera that keeps its place beside a lifter turned by the angle: cameraFromWorld = cameraFromLab · labFromWorld. */
function besideLifter(camera: Camera, angleRad: number): Camera {
  const c = Math.cos(angleRad);
  const s = Math.sin(angleRad);
  const r = camera.rotation;
  const rotation = new Float64Array(9);
  for (let row = 0; row < 9; row += 3) {
    rotation[row] = r[row] * c + r[row + 2] * s;
    rotation[row + 1] = r[row + 1];
    rotation[row + 2] = -r[row] * s + r[row + 2] * c;
  }
  return { ...camera, rotation };
}

describe('noise-free views', () => {
  test.each([[0], [40], [-155]])('a lifter facing %i° off the world’s axes stands in lab axes within 1e-6 m', (deg) => {
    const angle = (deg * Math.PI) / 180;
    const world = turned(lifterAt, angle);
    const cameras = [fore, aft].map((camera) => besideLifter(camera, angle));
    const tracks = cameras.map((camera) => film(camera, world));
    const { raw, smoothed, turn } = reconstruct(recordingOf({ tracks }), rigOf(...cameras));
    expectClose(worstDistance(raw, lifterAt), 0, 1e-6, 'raw, m');
    expectClose(worstDistance(smoothed, lifterAt), 0, 1e-6, 'without smoothing, m');
    expectClose(raw.quality.headingDeg, -deg, 1e-6, 'heading');
    expectAllClose(
      turn,
      [Math.cos(angle), 0, -Math.sin(angle), 0, 1, 0, Math.sin(angle), 0, Math.cos(angle)],
      1e-8,
      'turn',
    );
    expect(raw.quality.floor).toBe('world zero');
    expectClose(raw.quality.reprojectionRmsPx!, 0, 1e-6, 'reprojection rms, px');
    expect(raw.quality.missingShare).toBe(0);
  });

  test('three views, rolling shutters and an offset, rates of 60 and 50', () => {
    const motion: Motion = (timeS, landmark) => lifterAt(timeS + 2, landmark);
    const tracks = [
      film(fore, motion, { readoutS: 0.018 }),
      film(aft, motion, { readoutS: 0.02, offsetS: 0.013 }),
      film(third, motion, { rateHz: 50, frames: 250, offsetS: -0.004 }),
    ];
    const { raw } = reconstruct(recordingOf({ tracks }), rigOf(fore, aft, third));
    // 5e-4 px of resampling (tests/reconstruction/synchronise.test.ts) at 3 mm a pixel, some of it in depth.
    expectClose(worstDistance(raw, motion), 0, 5e-6, 'distance, m');
    expect(raw.startS).toBeGreaterThan(0.02);
  });

  test('the same keypoints with their clocks ignored are wrong by millimetres', () => {
    const motion: Motion = (timeS, landmark) => lifterAt(timeS + 2, landmark);
    const tracks = [film(fore, motion, { readoutS: 0.018 }), film(aft, motion, { readoutS: 0.02, offsetS: 0.013 })].map(
      (track) => ({ ...track, readoutS: 0, offsetS: 0 }),
    );
    const { raw } = reconstruct(recordingOf({ tracks }), rigOf(fore, aft));
    expect(worstDistance(raw, motion)).toBeGreaterThan(0.005);
  });
});

describe('noise of 1 px', () => {
  const random = seededRandom(20);
  const noise = () => random.normal();
  const two = reconstruct(
    recordingOf({ tracks: [film(fore, lifterAt, { noise }), film(aft, lifterAt, { noise })] }),
    rigOf(fore, aft),
  );
  const three = reconstruct(
    recordingOf({
      tracks: [film(fore, lifterAt, { noise }), film(aft, lifterAt, { noise }), film(third, lifterAt, { noise })],
    }),
    rigOf(fore, aft, third),
  );

  test('the same pixels give the same lab points and covariances whatever way the world is turned', () => {
    const filmTurned = (angleRad: number) => {
      const draw = seededRandom(21);
      const cameras = [fore, aft].map((camera) => besideLifter(camera, angleRad));
      const tracks = cameras.map((camera) =>
        film(camera, turned(lifterAt, angleRad), { frames: 90, noise: () => draw.normal() }),
      );
      return reconstruct(recordingOf({ tracks }), rigOf(...cameras)).raw;
    };
    const straight = filmTurned(0);
    const oblique = filmTurned(2.2);
    expectAllClose(oblique.position, straight.position, 1e-8, 'position, m');
    // Standard deviations of some mm: variances near 1e-5 m², here to a millionth.
    expectAllClose(oblique.covariance, straight.covariance, 1e-11, 'covariance, m²');
  });

  test.each([
    ['two', two.raw, 1],
    ['three', three.raw, 3],
  ])('%s views: errors are those the covariance says', (_, raw, freedom) => {
    // Mean of e² / σ² over frames and landmarks is 1; with σ itself from the residuals the ratio of 5,700 samples
    // scatters by about 2 % (chi-square), so 6 % is three of its standard deviations.
    const ratios = [0, 3, 5].map((entry, axis) => {
      let sum = 0;
      let count = 0;
      for (let k = 0; k < raw.frames; k++) {
        raw.landmarks.forEach((landmark, l) => {
          const s = k * raw.landmarks.length + l;
          const truth = lifterAt(k / 60, landmark);
          if (raw.status[s] !== SampleStatus.seen) return;
          sum += (raw.position[3 * s + axis] - truth[axis]) ** 2 / raw.covariance[6 * s + entry];
          count++;
        });
      }
      return sum / count;
    });
    expectAllClose(ratios, [1, 1, 1], 0.06, 'error² / variance along X, Y, Z');
    // Distances of 2 n residual coordinates with 2 n − 3 free ones: rms² = 2 σ² (2 n − 3) / 2 n.
    const views = (freedom + 3) / 2;
    expectClose(raw.quality.reprojectionRmsPx!, Math.sqrt((2 * freedom) / (2 * views)), 0.03, 'reprojection rms, px');
    for (const camera of raw.quality.perCamera) expect(camera.points).toBe(raw.frames * raw.landmarks.length);
    expectStatusFits(raw);
  });

  test('three views are better than two', () => {
    const sd = (result: Trajectories) => result.quality.perLandmark.map((entry) => entry.sdM!);
    sd(three.raw).forEach((value, l) => {
      expect(value).toBeLessThan(sd(two.raw)[l]);
    });
  });
});

describe('gross errors', () => {
  /** Moves one landmark of one view by (du, dv) in the given frames. */
  function displaced(
    track: KeypointTrack,
    landmark: Landmark,
    frames: readonly number[],
    du: number,
    dv: number,
  ): KeypointTrack {
    const pixel = track.pixel.slice();
    for (const k of frames) {
      const o = 2 * (k * track.landmarks.length + track.landmarks.indexOf(landmark));
      pixel[o] += du;
      pixel[o + 1] += dv;
    }
    return { ...track, pixel };
  }
  const frames = [20, 21, 80, 150, 151, 152, 250];

  test('three views: the wrong view is left out and the point kept', () => {
    const random = seededRandom(5);
    const noise = () => 0.5 * random.normal();
    const tracks = [fore, aft, third].map((camera) => film(camera, lifterAt, { noise }));
    tracks[1] = displaced(tracks[1], 'left_knee', frames, 20, 60);
    const { raw } = reconstruct(recordingOf({ tracks }), rigOf(fore, aft, third));
    for (const k of frames) {
      const truth = lifterAt(k / 60, 'left_knee');
      const found = at(raw, k, 'left_knee');
      expectClose(Math.hypot(...found.map((value, axis) => value - truth[axis])), 0, 0.01, `frame ${k}, m`);
    }
    const all = raw.frames * raw.landmarks.length;
    expect(raw.quality.perCamera.map((camera) => camera.points)).toEqual([all, all - frames.length, all]);
    expect(raw.quality.notes.filter((note) => note.includes('"aft"'))).toHaveLength(1);
  });

  test('two views: the point is an outlier, and the short gap is filled', () => {
    const tracks = [film(fore, lifterAt), displaced(film(aft, lifterAt), 'left_knee', frames, 0, 60)];
    const { raw, smoothed } = reconstruct(recordingOf({ tracks }), rigOf(fore, aft));
    const l = raw.landmarks.indexOf('left_knee');
    for (const k of frames) {
      expect(raw.status[k * raw.landmarks.length + l]).toBe(SampleStatus.outlier);
      expect(smoothed.status[k * raw.landmarks.length + l]).toBe(SampleStatus.filled);
      const truth = lifterAt(k / 60, 'left_knee');
      // A spline over three missing frames of a smooth motion: (9/384) (4 h)⁴ x⁗ < 0.01 mm.
      expectAllClose(at(smoothed, k, 'left_knee'), truth, 1e-5, `frame ${k}`);
    }
    expect(raw.quality.counts.outlier).toBe(frames.length);
    expect(smoothed.quality.perLandmark[l]).toMatchObject({
      seen: 300 - frames.length,
      filled: frames.length,
      missing: 0,
    });
    expectStatusFits(raw);
    expectStatusFits(smoothed);
  });

  test('two views: the redundant residual √Σr² is held against 0.2 % of the diagonal, 4.4 px', () => {
    // Rows that differ by d leave about d / 2 in each of two like views: √Σr² = d / √2. The lenses and distances of the
    // two differ by some per cent.
    const statusAfter = (rows: number) => {
      const tracks = [
        film(fore, lifterAt, { frames: 90 }),
        displaced(film(aft, lifterAt, { frames: 90 }), 'nose', [50], 0, rows),
      ];
      const { raw } = reconstruct(recordingOf({ tracks }), rigOf(fore, aft));
      return raw.status[50 * raw.landmarks.length + raw.landmarks.indexOf('nose')];
    };
    expect(statusAfter(7.5)).toBe(SampleStatus.outlier); // 5.3 px
    expect(statusAfter(5)).toBe(SampleStatus.seen); // 3.5 px
  });

  test('a landmark lost for longer than the limit stays lost, with its reason, and is not filtered across', () => {
    const aftTrack = film(aft, lifterAt);
    const l = BODY.indexOf('right_hip');
    const status = aftTrack.status.slice();
    for (let k = 120; k < 132; k++) status[k * BODY.length + l] = SampleStatus.lowConfidence;
    status[8 * BODY.length + l] = SampleStatus.occluded;
    const tracks = [film(fore, lifterAt), { ...aftTrack, status }];
    const fixed = { smoothing: { kind: 'fixed', legsHz: 6, trunkHz: 3, barHz: 3 } } as const;
    const { smoothed } = reconstruct(recordingOf({ tracks }, fixed), rigOf(fore, aft));
    const column = smoothed.landmarks.indexOf('right_hip');
    const codes = Array.from({ length: 300 }, (_, k) => smoothed.status[k * smoothed.landmarks.length + column]);
    expect(codes.slice(120, 132)).toEqual(Array(12).fill(SampleStatus.lowConfidence));
    expect(codes.slice(100, 120)).toEqual(Array(20).fill(SampleStatus.edge));
    expect(codes.slice(132, 152)).toEqual(Array(20).fill(SampleStatus.edge));
    // The one frame filled within the first edge counts as filled still.
    expect(codes[8]).toBe(SampleStatus.edge);
    expect(smoothed.quality.perLandmark[column]).toMatchObject({ seen: 287, filled: 1, missing: 12, cutoffHz: 3 });
    expectClose(smoothed.quality.missingShare, 12 / (8 * 300), 1e-12, 'missing share');
    expectStatusFits(smoothed);
  });
});

describe('3D points', () => {
  test('a lifter a little off the stated axes is turned; covariance from the stated standard deviation', () => {
    const points = pointsOf(turned(lifterAt, 0.2));
    const { raw, turn } = reconstruct(recordingOf({ points }), null);
    expectClose(worstDistance(raw, lifterAt), 0, 1e-12, 'distance, m');
    expectClose(turn[2], -Math.sin(0.2), 1e-12, 'turn');
    expectAllClose(raw.covariance.subarray(0, 6), [1e-6, 0, 0, 1e-6, 0, 1e-6], 1e-18, 'covariance');
    expectClose(raw.quality.perLandmark[0].sdM!, 0.001, 1e-12, 'sd');
    expect([raw.quality.views, raw.quality.reprojectionRmsPx, raw.quality.perCamera.length]).toEqual([0, null, 0]);
  });

  test('the input is not changed', () => {
    const points = pointsOf(turned(lifterAt, 0.2));
    const before = points.position.slice();
    reconstruct(recordingOf({ points }), null);
    expect(points.position).toEqual(before);
  });

  test('a point 6 m off is beyond range', () => {
    const points = pointsOf(lifterAt);
    points.position[3 * (40 * BODY.length) + 2] += 6;
    const { raw, smoothed } = reconstruct(recordingOf({ points }), null);
    expect(raw.status[40 * BODY.length]).toBe(SampleStatus.beyondRange);
    expect(smoothed.status[40 * BODY.length]).toBe(SampleStatus.filled);
  });

  test.each([
    ['fixed', { kind: 'fixed', legsHz: 6, trunkHz: 3, barHz: 3 }],
    ['residual', { kind: 'residual' }],
    ['none', { kind: 'none' }],
  ] as const)('a mirrored lift gives the mirrored result to the last bit (%s)', (_, smoothing) => {
    const random = seededRandom(9);
    const cache = new Map<string, number[]>();
    const shaking: Motion = (timeS, landmark) => {
      const key = `${timeS} ${landmark}`;
      if (!cache.has(key))
        cache.set(
          key,
          Array.from({ length: 3 }, () => 0.003 * random.normal()),
        );
      const [dx, dy, dz] = cache.get(key)!;
      const [x, y, z] = turned(lifterAt, 0.15)(timeS, landmark);
      return [x + dx, y + dy, z + dz];
    };
    const points = pointsOf(shaking);
    const reflected = pointsOf(mirrored(shaking));
    for (const track of [points, reflected]) {
      const l = BODY.indexOf(track === points ? 'left_knee' : 'right_knee');
      for (let k = 140; k < 146; k++) {
        track.status[k * BODY.length + l] = SampleStatus.occluded;
        track.position.fill(Number.NaN, 3 * (k * BODY.length + l), 3 * (k * BODY.length + l) + 3);
      }
    }
    const plain = reconstruct(recordingOf({ points }, { smoothing }), null).smoothed;
    const mirror = reconstruct(recordingOf({ points: reflected }, { smoothing }), null).smoothed;
    let differing = 0;
    for (let k = 0; k < plain.frames; k++) {
      for (const landmark of BODY) {
        const [x, y, z] = at(plain, k, landmark);
        const [mx, my, mz] = at(mirror, k, otherSide(landmark));
        if (!(mx === x && my === y && mz === -z)) differing++;
      }
    }
    expect(differing).toBe(0);
    expect(mirror.quality.headingDeg).toBe(-plain.quality.headingDeg);
  });
});

describe('bad input', () => {
  const filmed = [film(fore, lifterAt, { frames: 150 }), film(aft, lifterAt, { frames: 150 })];
  const tracks = () => filmed.map((track) => ({ ...track, pixel: track.pixel.slice(), status: track.status.slice() }));
  const refused = (code: string, facts: Record<string, unknown> = {}) =>
    expect.objectContaining({ code, facts: expect.objectContaining(facts) });

  test('one view', () => {
    const data = recordingOf({ tracks: tracks().slice(0, 1) });
    expect(() => reconstruct(data, rigOf(fore, aft))).toThrow(refused('too-few-views', { views: 1, limit: 2 }));
  });

  test('views without a rig', () => {
    expect(() => reconstruct(recordingOf({ tracks: tracks() }), null)).toThrow(
      expect.objectContaining({ code: 'rig-missing' }),
    );
  });

  test('a camera the rig does not have', () => {
    expect(() => reconstruct(recordingOf({ tracks: tracks() }), rigOf(fore, third))).toThrow(
      refused('camera-not-in-rig', { camera: 'aft', known: 'fore, front' }),
    );
  });

  test('one camera in two views', () => {
    const data = recordingOf({ tracks: [tracks()[0], tracks()[0]] });
    expect(() => reconstruct(data, rigOf(fore, aft))).toThrow(refused('camera-named-twice', { camera: 'fore' }));
  });

  test('keypoints of a video twice as large', () => {
    const [first, second] = tracks();
    const data = recordingOf({ tracks: [first, { ...second, pixel: second.pixel.map((value) => 2 * value) }] });
    expect(() => reconstruct(data, rigOf(fore, aft))).toThrow(
      refused('keypoints-outside-image', { camera: 'aft', imageWidth: 1080, imageHeight: 1920 }),
    );
  });

  test('a few keypoints outside the image are outliers, not a refusal', () => {
    const [first, second] = tracks();
    second.pixel[2 * 7 * BODY.length] = -900;
    const { raw } = reconstruct(recordingOf({ tracks: [first, second] }), rigOf(fore, aft));
    const l = raw.landmarks.indexOf(BODY[0]);
    expect(raw.status[7 * raw.landmarks.length + l]).toBe(SampleStatus.outlier);
  });

  test('swapped cameras of unlike lenses: the rays miss each other', () => {
    const wide = cameraAt('wide', [-1.4, 0.5, 3.6], [0.1, 0.9, 0], { fx: 1100, fy: 1100 });
    const narrow = cameraAt('narrow', [2.6, 2.4, 3.0], [0, 0.9, 0], { fx: 1800, fy: 1800 });
    const swapped = [
      { ...film(wide, lifterAt, { frames: 90 }), camera: 'narrow' },
      { ...film(narrow, lifterAt, { frames: 90 }), camera: 'wide' },
    ];
    // 2 % of the diagonal of 1080 × 1920 px.
    expect(() => reconstruct(recordingOf({ tracks: swapped }), rigOf(wide, narrow))).toThrow(
      refused('views-disagree', { limitPx: 0.02 * Math.hypot(1080, 1920) }),
    );
  });

  test('swapped cameras of a nearly symmetric rig: the rays meet, in a mirrored lifter', () => {
    const [first, second] = tracks();
    const data = recordingOf({
      tracks: [
        { ...first, camera: 'aft' },
        { ...second, camera: 'fore' },
      ],
    });
    expect(() => reconstruct(data, rigOf(fore, aft))).toThrow(expect.objectContaining({ code: 'mirrored-sides' }));
  });

  test('one image upside down', () => {
    const [first, second] = tracks();
    const pixel = second.pixel.map((value, i) => (i % 2 === 0 ? 1079 : 1919) - value);
    expect(() => reconstruct(recordingOf({ tracks: [first, { ...second, pixel }] }), rigOf(fore, aft))).toThrow(
      expect.objectContaining({ code: 'views-disagree' }),
    );
  });

  test('rays that part in front of the cameras', () => {
    const [left, right] = [cameraAt('a', [-0.6, 1, 3.5], [0, 1, 0]), cameraAt('b', [0.6, 1, 3.5], [0, 1, 0])];
    const data = recordingOf({
      tracks: [
        { ...film(left, lifterAt), camera: 'b' },
        { ...film(right, lifterAt), camera: 'a' },
      ],
    });
    // Each camera of a level, symmetric pair takes the other's image: its rays lean outwards.
    const parted = rigOf(cameraAt('a', [-0.6, 1, 3.5], [-1.2, 1, 0]), cameraAt('b', [0.6, 1, 3.5], [1.2, 1, 0]));
    expect(() => reconstruct(data, parted)).toThrow(refused('points-behind-camera', { limit: 0.5 }));
  });

  test('left and right exchanged in one view', () => {
    const [first, second] = tracks();
    const pixel = new Float64Array(second.pixel.length);
    BODY.forEach((landmark, l) => {
      const from = BODY.indexOf(otherSide(landmark));
      const isFoot = /toe|heel/.test(landmark);
      for (let k = 0; k < second.frames; k++) {
        const source = 2 * (k * BODY.length + (isFoot || from < 0 ? l : from));
        pixel.set(second.pixel.subarray(source, source + 2), 2 * (k * BODY.length + l));
      }
    });
    expect(() => reconstruct(recordingOf({ tracks: [first, { ...second, pixel }] }), rigOf(fore, aft))).toThrow(
      refused('sides-across-facing', { limitDeg: 60 }),
    );
  });

  test('nothing seen by two cameras', () => {
    const [first, second] = tracks();
    first.status.fill(SampleStatus.lowConfidence);
    expect(() => reconstruct(recordingOf({ tracks: [first, second] }), rigOf(fore, aft))).toThrow(
      refused('nothing-reconstructed', { lowConfidence: 150 * BODY.length }),
    );
  });

  test('no left-right pair', () => {
    const landmarks = ['right_hip', 'right_knee', 'right_ankle'] as const;
    const data = recordingOf({ tracks: [film(fore, lifterAt, { landmarks }), film(aft, lifterAt, { landmarks })] });
    expect(() => reconstruct(data, rigOf(fore, aft))).toThrow(expect.objectContaining({ code: 'facing-unknown' }));
  });

  test('3D points that face sideways to the stated axis', () => {
    const data = recordingOf({ points: pointsOf(turned(lifterAt, 1.3)) });
    expect(() => reconstruct(data, null)).toThrow(refused('facing-against-axes', { limitDeg: 60 }));
  });
});
