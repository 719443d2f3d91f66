import { describe, expect, test } from '@jest/globals';
import type { KeypointTrack } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { type SynchronisedViews, synchronise } from '../../src/reconstruction/synchronise.ts';
import { expectClose } from '../expect-close.ts';
import { film, lifterAt, type Motion, project, sideCameras } from './scene.ts';

const [fore, aft] = sideCameras();
const heights = [fore.imageHeight, aft.imageHeight];
/** The lifter from the middle of the first descent on: a motion without a sudden start, which no cubic could follow. */
const squatting: Motion = (timeS, landmark) => lifterAt(timeS + 2, landmark);
const moving = { landmarks: ['right_knee', 'right_shoulder', 'right_hip'] as const };

function sync(tracks: readonly KeypointTrack[], notes: string[] = []): SynchronisedViews {
  return synchronise('recording.yaml', tracks, heights, notes);
}

/** Largest distance (px) between a synchronised view and the true image at the grid's times. */
function worstError(views: SynchronisedViews, v: number): number {
  const camera = [fore, aft][v];
  let worst = 0;
  for (let k = 0; k < views.frames; k++) {
    views.landmarks.forEach((landmark, l) => {
      const s = k * views.landmarks.length + l;
      if (views.views[v].status[s] !== SampleStatus.seen) return;
      const [u, w] = project(camera, squatting(views.startS + k / views.frameRateHz, landmark));
      worst = Math.max(worst, Math.hypot(views.views[v].pixel[2 * s] - u, views.views[v].pixel[2 * s + 1] - w));
    });
  }
  return worst;
}

function seenShare(views: SynchronisedViews, v: number): number {
  const { status } = views.views[v];
  return status.filter((code) => code === SampleStatus.seen).length / status.length;
}

// A cubic through four samples h apart errs by at most (9/384) h⁴ x⁗. With h = 1/50 s and the squat's 300 px at 2π/3
// per second plus some 50 px of its second harmonic, x⁗ is about 2e4 px/s⁴ and the bound 8e-5 px; perspective and the
// moving row add a little; at the very ends, where the four samples lie to one side, the factor is 1/24, twice as much.
// Ignoring the clock costs pixels.
const tolerancePx = 5e-4;

describe('equal clocks', () => {
  test('pass through bit by bit', () => {
    const tracks = [film(fore, squatting, moving), film(aft, squatting, moving)];
    const views = sync(tracks);
    // Landmarks come in the order of the standard list, so the columns may change places.
    const order = views.landmarks.map((landmark) => tracks[0].landmarks.indexOf(landmark));
    for (const v of [0, 1]) {
      expect(views.views[v].resampled).toBe(false);
      for (let k = 0; k < views.frames; k++) {
        order.forEach((from, to) => {
          expect(views.views[v].pixel[2 * (3 * k + to)]).toBe(tracks[v].pixel[2 * (3 * k + from)]);
        });
      }
    }
    expect(views.frames).toBe(300);
  });

  test('an offset of whole frames shifts without resampling and trims to the shared time', () => {
    const tracks = [film(fore, squatting, moving), film(aft, squatting, { ...moving, offsetS: 10 / 60, frames: 200 })];
    const notes: string[] = [];
    const views = sync(tracks, notes);
    expect([views.frames, views.views[1].resampled]).toEqual([200, false]);
    expectClose(views.startS, 10 / 60, 1e-12, 'start');
    expectClose(worstError(views, 1), 0, 1e-9, 'error, px');
    expect(notes).toHaveLength(1);
  });
});

describe('unequal clocks, noise-free', () => {
  test.each([
    ['offset of a third of a frame', { offsetS: 0.0057 }],
    ['rolling shutter of 20 ms', { readoutS: 0.02 }],
    ['50 frames a second', { rateHz: 50, frames: 250 }],
    ['100 frames a second, offset, rolling shutter', { rateHz: 100, frames: 500, offsetS: -0.013, readoutS: 0.009 }],
  ])('%s', (_, filming) => {
    const tracks = [film(fore, squatting, moving), film(aft, squatting, { ...moving, ...filming })];
    const views = sync(tracks);
    expect(views.views[1].resampled).toBe(true);
    expectClose(worstError(views, 1), 0, tolerancePx, 'error, px');
    expectClose(seenShare(views, 1), 1, 1e-12, 'seen');
    // The same pixels without their clock are wrong by pixels: the check above can fail.
    const ignored = sync([tracks[0], { ...tracks[1], offsetS: 0, readoutS: 0, frameRateHz: 60 }]);
    expect(worstError(ignored, 1)).toBeGreaterThan(1);
  });

  test('a rolling shutter in the first view too', () => {
    const both = { ...moving, readoutS: 0.02 };
    const views = sync([film(fore, squatting, both), film(aft, squatting, { ...both, readoutS: 0.011 })]);
    expectClose(worstError(views, 0), 0, tolerancePx, 'first view, px');
    expectClose(worstError(views, 1), 0, tolerancePx, 'second view, px');
  });
});

describe('holes', () => {
  const offset = { ...moving, offsetS: 0.006 };
  const withHole = (from: number, length: number, code: number): KeypointTrack => {
    const track = film(aft, squatting, offset);
    for (let k = from; k < from + length; k++) {
      track.status.fill(code, 3 * k, 3 * k + 3);
      track.pixel.fill(Number.NaN, 6 * k, 6 * k + 6);
    }
    return track;
  };

  test('one missing frame is bridged', () => {
    const views = sync([film(fore, squatting, moving), withHole(120, 1, SampleStatus.occluded)]);
    expectClose(seenShare(views, 1), 1, 1e-12, 'seen');
    expectClose(worstError(views, 1), 0, 16 * tolerancePx, 'error, px'); // the bound above with nodes twice as far: 2⁴
  });

  test('two missing frames stay missing, with their reason', () => {
    const views = sync([film(fore, squatting, moving), withHole(120, 2, SampleStatus.lowConfidence)]);
    const missing: number[] = [];
    for (let k = 0; k < views.frames; k++) if (views.views[1].status[3 * k] !== SampleStatus.seen) missing.push(k);
    // Samples 119 and 122 stand 6 ms after grid frames 119 and 122 of the first view, whose clock begins one frame later.
    const first = Math.round(views.startS * 60);
    expect(missing.map((k) => k + first)).toEqual([120, 121, 122]);
    for (const k of missing) {
      expect(views.views[1].status[3 * k]).toBe(SampleStatus.lowConfidence);
      expect(Number.isNaN(views.views[1].pixel[6 * k])).toBe(true);
    }
  });
});

describe('refusals', () => {
  test('too little shared time names every view', () => {
    const late = film(aft, squatting, { ...moving, offsetS: 4.6 });
    expect(() => sync([film(fore, squatting, moving), late])).toThrow(
      expect.objectContaining({ code: 'views-do-not-overlap', facts: expect.objectContaining({ limitS: 0.5 }) }),
    );
  });

  test('no shared time', () => {
    const late = film(aft, squatting, { ...moving, offsetS: 40 });
    expect(() => sync([film(fore, squatting, moving), late])).toThrow(
      expect.objectContaining({ code: 'views-do-not-overlap' }),
    );
  });

  test('a recording below one second', () => {
    const short = { ...moving, frames: 59 };
    expect(() => sync([film(fore, squatting, short), film(aft, squatting, short)])).toThrow(
      expect.objectContaining({ code: 'recording-too-short', facts: { durationS: 59 / 60, limitS: 1 } }),
    );
  });

  test('a landmark of one view only is left out and noted', () => {
    const notes: string[] = [];
    const views = sync([film(fore, squatting, moving), film(aft, squatting, { landmarks: ['right_knee'] })], notes);
    expect(views.landmarks).toEqual(['right_knee']);
    expect(notes).toHaveLength(2);
  });
});

describe('frames with time stamps of their own', () => {
  /** The same film, but frame k taken at `timesS[k]` after frame 0. */
  const filmAt = (camera: typeof fore, timesS: Float64Array, offsetS: number, stamped = true): KeypointTrack => {
    const atStamp: Motion = (timeS, landmark) =>
      squatting(offsetS + timesS[Math.round((timeS - offsetS) * 60)], landmark);
    const track = film(camera, atStamp, { ...moving, frames: timesS.length, offsetS });
    return stamped ? { ...track, frameTimesS: timesS } : track;
  };
  const even = Float64Array.from({ length: 300 }, (_, k) => k / 60);
  /** Up to 6 ms early or late, without a period. */
  const uneven = even.map((timeS, k) => (k === 0 ? 0 : timeS + 0.006 * Math.sin(1.7 * k)));

  test('equally spaced stamps change nothing, bit by bit', () => {
    const plain = sync([film(fore, squatting, moving), film(aft, squatting, { ...moving, offsetS: 0.0057 })]);
    const stamped = sync([filmAt(fore, even, 0), filmAt(aft, even, 0.0057)]);
    expect(stamped).toEqual(plain);
    expect(stamped.views[0].resampled).toBe(false);
  });

  test('uneven frames in both views, the first one too', () => {
    const views = sync([
      filmAt(fore, uneven, 0),
      filmAt(
        aft,
        uneven.map((t) => t * 1.001),
        0.004,
      ),
    ]);
    expect(views.views.map((view) => view.resampled)).toEqual([true, true]);
    // Neighbours up to 29 ms apart instead of 20 ms: the bound above times (29 / 20)⁴.
    for (const v of [0, 1]) expectClose(worstError(views, v), 0, 4.5 * tolerancePx, `view ${v}, px`);
    const ignored = sync([filmAt(fore, even, 0), filmAt(aft, uneven, 0.004, false)]);
    expect(worstError(ignored, 1)).toBeGreaterThan(1);
  });

  test('a frame that the camera left out is bridged, two are a hole', () => {
    const without = (...left: number[]) => even.filter((_, k) => !left.includes(k));
    const one = sync([filmAt(fore, even, 0), filmAt(aft, without(100), 0)]);
    expectClose(seenShare(one, 1), 1, 1e-12, 'seen');
    expectClose(worstError(one, 1), 0, 16 * tolerancePx, 'error, px');
    const two = sync([filmAt(fore, even, 0), filmAt(aft, without(100, 101), 0)]);
    const missing = Array.from({ length: two.frames }, (_, k) => k).filter(
      (k) => two.views[1].status[3 * k] !== SampleStatus.seen,
    );
    expect(missing).toEqual([100, 101]);
    expectClose(worstError(two, 1), 0, 16 * tolerancePx, 'error, px');
    // The two frames left out do not shorten the view: no time is trimmed at its end.
    expect([one.frames, two.frames]).toEqual([300, 300]);
  });
});
