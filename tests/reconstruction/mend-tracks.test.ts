import { describe, expect, test } from '@jest/globals';
import type { KeypointTrack } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { framesOfOthers } from '../../src/reconstruction/person-jumps.ts';
import { reconstruct } from '../../src/reconstruction/reconstruct.ts';
import { BODY, film, lifterAt, recordingOf, rigOf, sideCameras } from './scene.ts';

const [fore, aft] = sideCameras();
const FRAMES = 300;

function pair(seed: number): [KeypointTrack, KeypointTrack] {
  const random = seededRandom(seed);
  const noise = () => 0.8 * random.normal();
  return [film(fore, lifterAt, { frames: FRAMES, noise }), film(aft, lifterAt, { frames: FRAMES, noise })];
}

const analyse = (tracks: readonly KeypointTrack[]) => reconstruct(recordingOf({ tracks }), rigOf(fore, aft));
const codeOf = (code: string) => expect.objectContaining({ code });

/** The track with the samples of some frames changed. */
function changed(
  track: KeypointTrack,
  change: (pixel: Float64Array, frame: number, landmark: number, at: number) => void,
): KeypointTrack {
  const pixel = track.pixel.slice();
  for (let k = 0; k < track.frames; k++)
    for (let l = 0; l < BODY.length; l++) change(pixel, k, l, 2 * (k * BODY.length + l));
  return { ...track, pixel };
}

describe('leaps to another person', () => {
  const elsewhere = (when: (frame: number) => boolean, track: KeypointTrack) =>
    changed(track, (pixel, frame, _, at) => {
      if (!when(frame)) return;
      pixel[at] += 260;
      pixel[at + 1] -= 40;
    });

  test.each([
    ['a single frame', (k: number) => k === 140, 1, 1],
    ['two stretches', (k: number) => (k >= 60 && k < 80) || (k >= 200 && k < 230), 50, 2],
    ['the start', (k: number) => k < 40, 40, 1],
    ['the end', (k: number) => k >= 270, 30, 1],
  ] as const)('%s: outliers, counted and noted', (_, when, frames, stretches) => {
    const [one, two] = pair(3);
    const { raw } = analyse([one, elsewhere(when, two)]);
    expect(raw.quality.otherPeople).toEqual([{ camera: 'aft', frames, stretches }]);
    for (let k = 0; k < FRAMES; k++) {
      const status = raw.status.subarray(k * BODY.length, (k + 1) * BODY.length);
      expect(status.every((code) => code === (when(k) ? SampleStatus.outlier : SampleStatus.seen))).toBe(true);
    }
    expect(raw.quality.notes.filter((note) => note.includes('another person'))).toHaveLength(1);
  });

  test('a lifter alone does not leap: fast squats, gaps, exchanged sides', () => {
    const random = seededRandom(4);
    const noise = () => 3 * random.normal();
    // Squats three times as fast at 30 frames a second.
    const fast = film(aft, (timeS, landmark) => lifterAt(3 * timeS, landmark), { frames: 150, rateHz: 30, noise });
    const status = fast.status.map((_, s) => (Math.floor(s / BODY.length) % 25 > 15 ? SampleStatus.occluded : 0));
    expect(framesOfOthers({ ...fast, status })).toEqual([]);
  });

  test('half of the frames elsewhere: nobody knows who the lifter is', () => {
    const [one, two] = pair(5);
    expect(() => analyse([one, elsewhere((k) => k % 40 < 19, two)])).toThrow(codeOf('person-unclear'));
  });
});

describe('a video that stands still', () => {
  const frozen = (first: number, end: number, track: KeypointTrack) =>
    changed(track, (pixel, frame, landmark, at) => {
      if (frame <= first || frame >= end) return;
      const from = 2 * (first * BODY.length + landmark);
      pixel.copyWithin(at, from, from + 2);
    });

  test('for a short while: the repeats are missing, with a note', () => {
    const [one, two] = pair(6);
    const { raw } = analyse([one, frozen(100, 130, two)]);
    for (let k = 0; k < FRAMES; k++) {
      const isRepeat = k > 100 && k < 130;
      expect(raw.status[k * BODY.length]).toBe(isRepeat ? SampleStatus.occluded : SampleStatus.seen);
    }
    expect(raw.quality.notes.filter((note) => note.includes('"aft" repeats its picture in 29 frames'))).toHaveLength(1);
  });

  test('for seconds, or from beginning to end: refused, with file and camera', () => {
    const [one, two] = pair(7);
    for (const [first, end] of [
      [100, 200],
      [0, FRAMES],
    ]) {
      expect(() => analyse([one, frozen(first, end, two)])).toThrow(
        expect.objectContaining({
          code: 'view-frozen',
          message: expect.stringMatching(/recording\.yaml.*"aft".*aft\.json/),
        }),
      );
    }
  });

  test('every second frame a copy of the one before: the copies are left out', () => {
    const [one, two] = pair(8);
    const copied = changed(two, (pixel, frame, _, at) => {
      if (frame % 2 === 1) pixel.copyWithin(at, at - 2 * BODY.length, at - 2 * BODY.length + 2);
    });
    const { raw } = analyse([one, copied]);
    expect(raw.quality.counts).toEqual({ seen: (FRAMES * BODY.length) / 2, occluded: (FRAMES * BODY.length) / 2 });
  });

  test('exact films of a lifter who stands still repeat in both views, and stay', () => {
    const tracks = [film(fore, lifterAt), film(aft, lifterAt)];
    expect(analyse(tracks).raw.quality.counts).toEqual({ seen: 300 * BODY.length });
  });
});

test('a keypoint that never moves in one view while another sees it move', () => {
  const [one, two] = pair(9);
  const l = BODY.indexOf('left_knee');
  const stuck = changed(two, (pixel, _, landmark, at) => {
    if (landmark === l) pixel.set([500, 900], at);
  });
  expect(() => analyse([one, stuck])).toThrow(
    expect.objectContaining({
      code: 'keypoint-never-moves',
      message: expect.stringMatching(/left_knee.*"aft".*aft\.json.*"fore"/),
    }),
  );
});

test('a view that hardly sees the lifter', () => {
  const random = seededRandom(10);
  const [one, two] = pair(10);
  const status = two.status.map(() => (random.uniform() < 0.95 ? SampleStatus.lowConfidence : SampleStatus.seen));
  expect(() => analyse([one, { ...two, status }])).toThrow(
    expect.objectContaining({ code: 'lifter-hardly-seen', facts: expect.objectContaining({ camera: 'aft' }) }),
  );
});

test('clocks that are wrong by more than the lifter’s movement: refused; by less: noted', () => {
  const [one, two] = pair(11);
  expect(() => analyse([one, { ...two, offsetS: 1.2 }])).toThrow(codeOf('views-disagree'));
  const { raw } = analyse([one, { ...two, offsetS: 0.1 }]);
  expect(raw.quality.notes.filter((note) => note.includes('is offset_s'))).toHaveLength(1);
  expect(analyse([one, two]).raw.quality.notes.filter((note) => note.includes('is offset_s'))).toHaveLength(0);
});
