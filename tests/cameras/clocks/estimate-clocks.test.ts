import { describe, expect, test } from '@jest/globals';
import { applyClocks } from '../../../src/cameras/clocks/apply-clocks.ts';
import { clockEvidence } from '../../../src/cameras/clocks/clock-evidence.ts';
import { essentialMatrix } from '../../../src/cameras/clocks/epipolar-series.ts';
import { estimateClocks } from '../../../src/cameras/clocks/estimate-clocks.ts';
import { roughOffset } from '../../../src/cameras/clocks/rough-offset.ts';
import { kernelHalfWidthS, smoothTracks } from '../../../src/cameras/clocks/smooth-view.ts';
import { symmetricInverse } from '../../../src/cameras/clocks/symmetric-inverse.ts';
import type { KeypointTrack } from '../../../src/capture/recording.ts';
import { SampleStatus } from '../../../src/capture/sample-status.ts';
import { DataError } from '../../../src/errors.ts';
import { expectAllClose, expectClose } from '../../expect-close.ts';
import { cameraOn, imageOf } from '../../synthetic/camera.ts';
import type { Vector } from '../../synthetic/vector.ts';
import { type Filmed, filmAgain, filmedLift, standing, UNDISTURBED, WHITE, WHITE_AND_SLOW } from './filmed-again.ts';

const lift = filmedLift('A01-knees-flat');
const PLAIN: Filmed = { offsetS: 0, frameRateHz: 60, drift: 0, readoutS: 0 };
const pair = (first: Partial<Filmed>, second: Partial<Filmed>) => [
  { ...PLAIN, ...first },
  { ...PLAIN, ...second },
];
const EXACT = { whitePx: 0, slowPx: 0, slowS: 0.15 };

function refusal(run: () => unknown): DataError {
  try {
    run();
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('smoothed tracks', () => {
  test('a parabola in time comes out as it is, with its velocity, at uneven times and with samples missing', () => {
    const times = Float64Array.from({ length: 90 }, (_, k) => k / 60 + 0.004 * Math.sin(7 * k));
    const status = new Uint8Array(90);
    status[30] = status[31] = SampleStatus.occluded;
    const track: KeypointTrack = {
      camera: 'a',
      files: [],
      frameRateHz: 60,
      frameTimesS: times,
      offsetS: 0,
      offsetStated: false,
      readoutS: 0,
      frames: 90,
      landmarks: ['left_hip'],
      pixel: Float64Array.from({ length: 180 }, (_, i) => {
        const t = times[i >> 1];
        return i % 2 ? 700 - 30 * t : 400 + 90 * t - 40 * t * t;
      }),
      confidence: new Float64Array(90).fill(1),
      status,
    };
    const smooth = smoothTracks(track, 0.15);
    const i = Math.round((0.55 - smooth.firstS) / smooth.stepS);
    const t = smooth.firstS + i * smooth.stepS;
    // Arithmetic on numbers of 1e3 px: 1e-9 px.
    expectClose(smooth.u[i], 400 + 90 * t - 40 * t * t, 1e-9, 'u');
    expectClose(smooth.uVelocity[i], 90 - 80 * t, 1e-8, 'velocity of u');
    expectClose(smooth.vVelocity[i], -30, 1e-8, 'velocity of v');
    expect(Number.isNaN(smooth.u[0])).toBe(true);
  });

  test('one kernel for all views, wide enough for the slowest', () => {
    const tracks = filmAgain(lift, pair({}, { frameRateHz: 15 }), EXACT, 1, { ...UNDISTURBED, toS: 3 });
    expect(kernelHalfWidthS(tracks.slice(0, 1))).toBe(0.15);
    expectClose(kernelHalfWidthS(tracks), 4.5 / 15, 1e-12, 'half width');
  });
});

test('x_bᵀ E x_a is 0 for one point in two cameras (Hartley & Zisserman 2004, eq. 9.11)', () => {
  const [a, b] = lift.rig.cameras;
  const e = essentialMatrix(a, b);
  const seen = (camera: typeof a, [x, y, z]: Vector) => {
    const r = camera.rotation;
    const t = camera.translation;
    const p = [0, 3, 6].map((i) => r[i] * x + r[i + 1] * y + r[i + 2] * z + t[i / 3]);
    return [p[0] / p[2], p[1] / p[2], 1];
  };
  const [xa, xb] = [a, b].map((camera) => seen(camera, [0.3, 1.2, -0.4]));
  const value = xb.reduce((sum, x, i) => sum + x * xa.reduce((own, y, j) => own + e[3 * i + j] * y, 0), 0);
  expectClose(value, 0, 1e-14, 'epipolar constraint'); // rounding of numbers of size 1
});

test('inverse of a symmetric matrix; what hangs on a dependent column is not determined', () => {
  const inverse = symmetricInverse(Float64Array.of(4, 1, 1, 3), 2);
  expectAllClose(inverse, [3 / 11, -1 / 11, -1 / 11, 4 / 11], 1e-15, 'inverse');
  const open = symmetricInverse(Float64Array.of(1, 2, 0, 2, 4, 0, 0, 0, 5), 3);
  expect(Number.isNaN(open[0]) && Number.isNaN(open[4])).toBe(true);
  expectClose(open[8], 0.2, 1e-15, 'the parameter apart');
});

describe('rough offset', () => {
  test.each([
    [0.4, 60],
    [1.7, 50],
    [0.9, 30],
  ])('%d s, first 60 fps, second %d fps: inside its interval', (offsetS, frameRateHz) => {
    const tracks = filmAgain(lift, pair({}, { offsetS, frameRateHz }), WHITE_AND_SLOW, 3);
    const [first, second] = roughOffset(tracks);
    expect(first.halfWidth95S).toBe(0);
    expectClose(second.offsetS, offsetS, second.halfWidth95S, 'offset');
    expect(second.halfWidth95S).toBeLessThan(0.05);
  });

  test('a second camera that starts sooner has a negative offset', () => {
    const [, second] = roughOffset(filmAgain(lift, pair({ offsetS: 1.1 }, {}), WHITE, 4));
    expectClose(second.offsetS, -1.1, second.halfWidth95S, 'offset');
  });

  test('alike repetitions are said to be: the second maximum lies one repetition away', () => {
    const [, second] = roughOffset(filmAgain(lift, pair({}, { offsetS: 0.0137 }), EXACT, 1));
    expect(second.rivals.length).toBeGreaterThan(0);
    expect(second.notes.length).toBe(1);
    // One repetition with its rest lasts about 4.3 s in this lift.
    expectClose(Math.abs(second.rivals[0].offsetS - second.offsetS), 4.3, 0.3, 'distance of the rival');
  });

  test('pictures in which nothing moves are refused', () => {
    const error = refusal(() => roughOffset(filmAgain(standing(lift), pair({}, {}), WHITE, 5)));
    expect(error.code).toBe('clock-not-determined');
    expect(error.facts.reason).toBe('movements-unlike');
  });
});

describe('clocks with a rig', () => {
  test('exact pixels give the offset to 0.01 ms, from seconds away', () => {
    const { cameras } = estimateClocks(filmAgain(lift, pair({}, { offsetS: 1.2345 }), EXACT, 1), lift.rig);
    // What smoothing of curved tracks at unlike phases leaves: 0.01 ms is 0.6 thousandths of a frame.
    expectClose(cameras[1].offsetS, 1.2345, 1e-5, 'offset');
    expect(cameras[0]).toMatchObject({ offsetS: 0, halfWidth95S: 0, drift: 0 });
  });

  test('1 px of noise: far below 0.05 frame, inside three half widths', () => {
    const { cameras, quality } = estimateClocks(
      filmAgain(lift, pair({}, { offsetS: 0.21 }), WHITE_AND_SLOW, 2),
      lift.rig,
    );
    expect(cameras[1].halfWidth95S).toBeLessThan(0.05 / 60);
    expectClose(cameras[1].offsetS, 0.21, 1.5 * cameras[1].halfWidth95S, 'offset');
    expect(cameras[1].drift).toBe(0);
    expect(cameras[1].driftHalfWidth95).toBeLessThan(300e-6);
    expect(quality.agreement).toBeGreaterThan(0.98);
  });

  test.each([50, 30])('60 against %d fps', (frameRateHz) => {
    const tracks = filmAgain(lift, pair({}, { offsetS: 0.21, frameRateHz }), WHITE, 2);
    const [, second] = estimateClocks(tracks, lift.rig, { startS: [0, 0.18] }).cameras;
    expectClose(second.offsetS, 0.21, 0.05 / 60, 'offset');
  });

  test('three cameras: every pair takes part, each clock in its interval', () => {
    const [left] = lift.cameras;
    const stand = { name: 'behind', centre: [-3.5, 1.4, -2.2] as Vector, lookAt: [0, 0.9, 0] as Vector, rollRad: 0 };
    const three = filmedLift('A01-knees-flat', [...lift.cameras, { ...cameraOn(stand, left), name: stand.name }]);
    const clocks = [{}, { offsetS: 0.21 }, { offsetS: 0.35, frameRateHz: 50 }].map((own) => ({ ...PLAIN, ...own }));
    const { cameras } = estimateClocks(filmAgain(three, clocks, WHITE, 2), three.rig, { startS: [0, 0.2, 0.33] });
    expectClose(cameras[1].offsetS, 0.21, 1.5 * cameras[1].halfWidth95S, 'second');
    expectClose(cameras[2].offsetS, 0.35, 1.5 * cameras[2].halfWidth95S, 'third');
    expect(cameras[2].halfWidth95S).toBeLessThan(0.05 / 60);
  });

  test('a drift of 1000 ppm (59.94 stated as 60) is found and bounded', () => {
    const tracks = filmAgain(lift, pair({}, { offsetS: 0.1, drift: 1e-3 }), WHITE, 7);
    const [, second] = estimateClocks(tracks, lift.rig).cameras;
    expectClose(second.drift, 1e-3, 1.5 * second.driftHalfWidth95!, 'drift');
    expect(second.driftHalfWidth95).toBeLessThan(100e-6);
    const [, without] = estimateClocks(tracks, lift.rig, { drift: 'none' }).cameras;
    expect(without.drift).toBe(0);
    expect(without.driftHalfWidth95).toBeNull();
  });

  test('frame times of a variable rate are honoured', () => {
    const [first, second] = filmAgain(lift, pair({}, { offsetS: 0.1 }), EXACT, 1);
    // Every fifth frame of the second view is missing from the file; its times say so.
    const kept = Array.from({ length: second.frames }, (_, k) => k).filter((k) => k % 5 !== 3);
    const count = second.landmarks.length;
    const thinned: KeypointTrack = {
      ...second,
      frames: kept.length,
      frameRateHz: 48,
      frameTimesS: Float64Array.from(kept, (k) => k / 60),
      pixel: Float64Array.from(kept.flatMap((k) => [...second.pixel.subarray(2 * k * count, 2 * (k + 1) * count)])),
      status: new Uint8Array(kept.length * count),
      confidence: new Float64Array(kept.length * count).fill(1),
    };
    const [, found] = estimateClocks([first, thinned], lift.rig).cameras;
    expectClose(found.offsetS, 0.1, 5e-5, 'offset');
  });

  test('stated readouts are part of the sample times', () => {
    const tracks = filmAgain(lift, pair({ readoutS: 0.02 }, { offsetS: 0.1, readoutS: 0.008 }), EXACT, 1);
    const [, second] = estimateClocks(tracks, lift.rig, { drift: 'none' }).cameras;
    expectClose(second.offsetS, 0.1, 2e-5, 'offset');
  });

  test('a readout is found where the noise lets it, and kept as stated where it does not', () => {
    const exact = filmAgain(lift, pair({}, { readoutS: 0.02 }), EXACT, 1).map((track) => ({ ...track, readoutS: 0 }));
    const found = estimateClocks(exact, lift.rig, { drift: 'none', estimateReadout: ['right'] }).cameras[1];
    expectClose(found.readoutS, 0.02, 2e-4, 'readout');
    expectClose(found.offsetS, 0, 1e-4, 'offset');
    const noisy = filmAgain(lift, pair({}, { readoutS: 0.02 }), { whitePx: 3, slowPx: 2, slowS: 0.15 }, 1);
    const open = estimateClocks(
      noisy.map((track) => ({ ...track, readoutS: 0 })),
      lift.rig,
      { drift: 'none', estimateReadout: ['left', 'right'] },
    ).cameras[1];
    expect(open.readoutHalfWidth95S).toBeNull();
    expect(open.readoutS).toBe(0);
  });

  test('exchanged legs and lost samples do little', () => {
    const disturbed = { ...UNDISTURBED, swapShare: 0.02, dropShare: 0.02 };
    const tracks = filmAgain(lift, pair({}, { offsetS: 0.21 }), WHITE_AND_SLOW, 2, disturbed);
    const [, second] = estimateClocks(tracks, lift.rig).cameras;
    expectClose(second.offsetS, 0.21, 0.05 / 60, 'offset');
  });

  test('a standing lifter is refused, with the numbers', () => {
    const error = refusal(() =>
      estimateClocks(filmAgain(standing(lift), pair({}, {}), WHITE, 1), lift.rig, { startS: [0, 0] }),
    );
    expect(error.code).toBe('clock-not-determined');
    expect(['no-movement-across', 'interval-too-wide']).toContain(error.facts.reason);
  });

  test('movement along the epipolar lines only (along the line from camera to camera) is refused', () => {
    const [a, b] = lift.cameras.map(({ centre }) => centre);
    const along = a.map((x, i) => (b[i] - x) / Math.hypot(...a.map((y, k) => b[k] - y))) as unknown as Vector;
    const tracks = filmAgain(lift, pair({}, {}), WHITE, 1).map((track, c): KeypointTrack => {
      const pixel = track.pixel.slice();
      const count = track.landmarks.length;
      for (let k = 0; k < track.frames; k++) {
        const way = 0.3 * Math.sin((2 * Math.PI * k) / 180);
        for (let l = 0; l < count; l++) {
          const place = [0.1 * (l % 3), 0.2 + 0.06 * l, 0.1 * (l % 5)].map((x, i) => x + way * along[i]);
          const seen = imageOf(lift.cameras[c], place as unknown as Vector)!;
          // The noise is what filming added to the standing feet: taken from the first frames' scatter.
          const noise = [0, 1].map((d) => track.pixel[2 * (k * count + l) + d] - lift.tracks[c][2 * l + d](k / 60));
          pixel[2 * (k * count + l)] = seen[0] + noise[0];
          pixel[2 * (k * count + l) + 1] = seen[1] + noise[1];
        }
      }
      return { ...track, pixel };
    });
    const error = refusal(() => estimateClocks(tracks, lift.rig, { startS: [0, 0] }));
    expect(error.facts.reason).toBe('no-movement-across');
  });

  test('a view without a camera in the rig is named', () => {
    const tracks = filmAgain(lift, pair({}, {}), EXACT, 1).map((track, c) => (c ? { ...track, camera: 'top' } : track));
    const error = refusal(() => estimateClocks(tracks, lift.rig));
    expect(error.code).toBe('clock-camera-missing');
    expect(error.facts.camera).toBe('top');
  });
});

describe('found clocks', () => {
  test('applied: offset, readout and rate; the evidence is then level', () => {
    const tracks = filmAgain(lift, pair({}, { offsetS: 0.05, drift: 1e-3 }), WHITE, 9);
    const estimate = estimateClocks(tracks, lift.rig);
    const applied = applyClocks(tracks, estimate);
    expect(applied[1].offsetStated).toBe(true);
    expectClose(applied[1].frameRateHz, 60 / (1 + estimate.cameras[1].drift), 1e-12, 'rate');
    const before = clockEvidence(tracks, lift.rig).slopes.find(({ row_band }) => row_band === 'all')!;
    const after = clockEvidence(applied, lift.rig).slopes.find(({ row_band }) => row_band === 'all')!;
    expect(Math.abs(before.slope_s)).toBeGreaterThan(before.half_width_s);
    expect(Math.abs(after.slope_s)).toBeLessThan(2 * after.half_width_s);
  });

  test('frame times take the drift', () => {
    const [track] = filmAgain(lift, pair({}, {}), EXACT, 1, { ...UNDISTURBED, toS: 3 });
    const timed: KeypointTrack = {
      ...track,
      frameTimesS: Float64Array.from({ length: track.frames }, (_, k) => k / 60),
    };
    const estimate = {
      cameras: [
        {
          camera: 'left',
          offsetS: 2,
          halfWidth95S: 0,
          drift: 0.5,
          driftHalfWidth95: null,
          readoutS: 0,
          readoutHalfWidth95S: null,
        },
      ],
      quality: { agreement: 1, residualPx: 1, used: 1, known: 1, intervalFrom: 'steady' as const, notes: [] },
    };
    const [applied] = applyClocks([timed], estimate) as KeypointTrack[];
    expectClose(applied.frameTimesS![60], 1.5, 1e-12, 'time of frame 60');
  });

  test('evidence: a stated time 10 ms too early is a slope of −10 ms, in both rows alike', () => {
    const tracks = filmAgain(lift, pair({}, { offsetS: 0.01 }), WHITE, 1);
    const { slopes, rows } = clockEvidence(tracks, lift.rig);
    const own = slopes.filter(({ camera }) => camera === 'right');
    for (const { slope_s, half_width_s } of own) expectClose(slope_s, -0.01, 2 * half_width_s + 2e-4, 'slope');
    expect(rows.every((row) => Object.values(row).every((value) => !Number.isNaN(value)))).toBe(true);
  });

  test('evidence: a rolling shutter not stated makes the slopes of upper and lower rows differ by readout · rows between', () => {
    const little = { whitePx: 0.3, slowPx: 0, slowS: 0.15 };
    const tracks = filmAgain(lift, pair({}, { readoutS: 0.03 }), little, 1).map((track) => ({ ...track, readoutS: 0 }));
    const { slopes } = clockEvidence(tracks, lift.rig);
    const of = (band: string) => slopes.find(({ camera, row_band }) => camera === 'right' && row_band === band)!;
    const [upper, lower] = [of('upper'), of('lower')];
    const readout = (upper.slope_s - lower.slope_s) / (lower.row - upper.row);
    // Its own interval: half widths of both slopes over the rows between (about 4 ms).
    const half = Math.hypot(upper.half_width_s, lower.half_width_s) / (lower.row - upper.row);
    expect(half).toBeLessThan(0.006);
    expectClose(readout, 0.03, half, 'readout from the slopes');
    expectClose(
      of('all').slope_s,
      -0.03 * of('all').row,
      2 * of('all').half_width_s,
      'whole slope: readout at the mean row',
    );
  });
});
