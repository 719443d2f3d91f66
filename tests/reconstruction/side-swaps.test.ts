import { describe, expect, test } from '@jest/globals';
import type { KeypointTrack } from '../../src/capture/recording.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { reconstruct } from '../../src/reconstruction/reconstruct.ts';
import { repairSwaps } from '../../src/reconstruction/side-swaps/repair-swaps.ts';
import { BODY, cameraAt, film, lifterAt, otherSide, recordingOf, rigOf, sideCameras } from './scene.ts';

const [fore, aft] = sideCameras();
const LEGS = /_(hip|knee|ankle|heel|big_toe)$/;

function noisy(camera = fore, px = 1, seed = 1, frames = 300): KeypointTrack {
  const random = seededRandom(seed);
  return film(camera, lifterAt, { frames, noise: () => px * random.normal() });
}

/** The track with left and right exchanged in some frames, in the landmarks that match. */
function exchanged(track: KeypointTrack, isExchanged: (frame: number) => boolean, which: RegExp): KeypointTrack {
  const pixel = track.pixel.slice();
  const count = BODY.length;
  for (let k = 0; k < track.frames; k++) {
    if (!isExchanged(k)) continue;
    BODY.forEach((landmark, l) => {
      if (!which.test(landmark)) return;
      const from = 2 * (k * count + BODY.indexOf(otherSide(landmark)));
      pixel.set(track.pixel.subarray(from, from + 2), 2 * (k * count + l));
    });
  }
  return { ...track, pixel };
}

describe.each([1, 3])('%i px of noise', (px) => {
  const plain = noisy(fore, px, px);

  test('nothing is exchanged where nothing was', () => {
    const { track, swaps } = repairSwaps(plain);
    expect(swaps).toEqual([]);
    expect(track).toBe(plain);
  });

  test.each([
    ['legs in single frames', (k: number) => k % 37 === 5, LEGS],
    ['legs for a second', (k: number) => k >= 90 && k < 150, LEGS],
    ['all at the start', (k: number) => k < 25, /^(left|right)_/],
    ['all to the end', (k: number) => k >= 260, /^(left|right)_/],
    ['knees alone', (k: number) => k % 50 === 20, /_knee$/],
  ] as const)('%s: every frame is put right, no other is touched', (_, when, which) => {
    const wrong = exchanged(plain, when, which);
    const { track, swaps } = repairSwaps(wrong);
    expect(track.pixel).toEqual(plain.pixel);
    const frames = Array.from({ length: plain.frames }, (__, k) => k).filter(when).length;
    for (const swap of swaps) expect(swap).toMatchObject({ camera: 'fore', frames });
    expect(swaps).toHaveLength(new Set(BODY.filter((name) => which.test(name)).map((name) => name.slice(-4))).size);
  });

  test('with a tenth of the samples lost as well', () => {
    const random = seededRandom(50 + px);
    const status = plain.status.map(() => (random.uniform() < 0.1 ? 1 : 0));
    const wrong = exchanged({ ...plain, status }, (k) => k % 40 < 3 || (k > 200 && k < 230), LEGS);
    const { track } = repairSwaps({ ...wrong, status });
    // A lost sample is lost under its label: what is seen must be what it is called.
    for (let s = 0; s < status.length; s++) {
      if (track.status[s] !== 0) continue;
      expect(Math.hypot(track.pixel[2 * s] - plain.pixel[2 * s], track.pixel[2 * s + 1] - plain.pixel[2 * s + 1])).toBe(
        0,
      );
    }
  });
});

test('knees that cross in the picture, seen from the side, are not exchanged', () => {
  // From exactly abeam, a little ahead: near and far leg pass each other in every squat.
  const abeam = cameraAt('abeam', [0.3, 1, 4], [0, 0.9, 0]);
  expect(repairSwaps(noisy(abeam, 1, 8, 480)).swaps).toEqual([]);
  expect(repairSwaps(noisy(abeam, 3, 9, 480)).swaps).toEqual([]);
});

test('in the reconstruction: put right in both views at different times, counted and noted', () => {
  const tracks = [noisy(fore, 1, 11), noisy(aft, 1, 12)];
  const wrong = [
    exchanged(tracks[0], (k) => k >= 100 && k < 130, LEGS),
    exchanged(tracks[1], (k) => k === 60 || (k >= 120 && k < 140), /^(left|right)_/),
  ];
  const clean = reconstruct(recordingOf({ tracks }), rigOf(fore, aft)).raw;
  const mended = reconstruct(recordingOf({ tracks: wrong }), rigOf(fore, aft)).raw;
  expect(mended.position).toEqual(clean.position);
  expect(clean.quality.sideSwaps).toEqual([]);
  expect(mended.quality.sideSwaps).toContainEqual({ camera: 'fore', pair: 'knees', frames: 30 });
  expect(mended.quality.sideSwaps).toContainEqual({ camera: 'aft', pair: 'wrists', frames: 21 });
  expect(mended.quality.notes.filter((note) => note.includes('left and right were exchanged'))).toHaveLength(2);
});

test('a whole view exchanged from beginning to end stays a refusal', () => {
  const tracks = [noisy(fore, 1, 13), exchanged(noisy(aft, 1, 14), () => true, /^(left|right)_/)];
  expect(() => reconstruct(recordingOf({ tracks }), rigOf(fore, aft))).toThrow(
    expect.objectContaining({ code: expect.stringMatching(/sides|views-disagree|facing|left-right/) }),
  );
});
