import { describe, expect, test } from '@jest/globals';
import type { BoardTrack } from '../../src/cameras/still/board-track.ts';
import { boardImagesOf, momentName, STILL_DEFAULTS, stillMoments } from '../../src/cameras/still-moments.ts';
import { dataError } from '../capture/written-files.ts';
import { expectClose } from '../expect-close.ts';
import { BOARD, boardPose, stands, trackOf, twoCameras } from './still/moving-board.ts';

const cameras = twoCameras();
// The board stands before the first move and after the last one for as long as the film runs.
const lengthS = 28;
const list = stands(14, 11).map((stand, i) => ({
  ...stand,
  fromS: i === 0 ? 0 : stand.fromS,
  toS: i === 13 ? lengthS : stand.toS,
}));
const filmed = (changes: { wobbleM?: number; startS?: number } = {}): BoardTrack[] => [
  trackOf(cameras[0], list, { rateHz: 30, lengthS, startS: 0, noisePx: 0.1, seed: 1, ...changes }),
  trackOf(cameras[1], list, { rateHz: 25, lengthS, startS: 0, noisePx: 0.1, seed: 2, ...changes }),
];
const options = { ...STILL_DEFAULTS, columns: BOARD.columns, offsetsS: [0, 0] };
/** The stand during which a moment of the first camera lies, with room at both ends; −1 between stands. */
const standAt = (timeS: number) => list.findIndex(({ fromS, toS }) => timeS > fromS && timeS < toS);

describe('still moments of a board before two cameras', () => {
  const tracks = filmed();
  const found = stillMoments(tracks, options);

  test('one moment in each stand, near its middle, the same stand in both cameras', () => {
    expect(found.moments.map(({ timeS }) => standAt(timeS))).toEqual(list.map((_, i) => i));
    for (const { views, timeS } of found.moments) {
      const { fromS, toS } = list[standAt(timeS)];
      // The found stretch may reach into the start of a glide by what 0.4 px of wobble lets through.
      expectClose(timeS, (fromS + toS) / 2, 0.1, 'moment against the middle of its stand, s');
      // Frames of 25 and 30 a second fall within half a frame of the moment.
      for (const view of views) expectClose(view.timeS, timeS, 0.021, 'frame of a view, s');
    }
  });

  test('become images of boards, paired by name', () => {
    const images = boardImagesOf(found);
    expect(images).toHaveLength(2 * found.moments.length);
    expect(new Set(images.map(({ image }) => image)).size).toBe(found.moments.length);
    const [first] = found.moments;
    expect(images.filter(({ image }) => image === first.name).map(({ camera }) => camera)).toEqual(['left', 'right']);
    expect(images[0].corners).toBe(tracks[0].corners[first.views[0].frame]);
    expect([momentName(12.4), momentName(0.033), momentName(123.456)]).toEqual(['t012.40', 't000.03', 't123.46']);
  });

  test.each([0.2, -0.2])('clocks wrong by %d s: still the same stand in both', (error) => {
    const wrong = stillMoments(tracks, { ...options, offsetsS: [0, error] });
    expect(wrong.moments.length).toBeGreaterThanOrEqual(10);
    for (const { views } of wrong.moments) {
      expect(standAt(views[0].timeS)).toBeGreaterThanOrEqual(0);
      expect(standAt(views[1].timeS)).toBe(standAt(views[0].timeS));
    }
  });

  test('short moves and clocks worse than they: no pair of two different stands', () => {
    // Stands of 0.5 s with moves of 0.25 s between them, the film ends with one; the second clock is 0.7 s wrong and said to be known to that.
    const hasty = Array.from({ length: 12 }, (_, i) => {
      const { turn, place } = stands(12, 3)[i];
      return { turn, place, fromS: 0.75 * i, toS: 0.5 + 0.75 * i };
    });
    const films = cameras.map((camera, c) =>
      trackOf(camera, hasty, { rateHz: 30, lengthS: 8.75 - c * 0.7, startS: c * 0.7, noisePx: 0.1, seed: 5 + c }),
    );
    const error = dataError(() => stillMoments(films, { ...options, clockSlackS: 0.7 }));
    expect(error.code).toBe('still-moments-none');
    // Said to be known to 0.2 s, which is not true, stands are confused: the limit above is what prevents it.
    const confused = stillMoments(films, options).moments.filter(({ views }) => {
      const at = (timeS: number) => hasty.findIndex(({ toS }) => timeS <= toS);
      return at(views[0].timeS) !== at(views[1].timeS + 0.7);
    });
    expect(confused.length).toBeGreaterThan(0);
  });

  test('a board that wobbles by 2 mm is still to the eye, not to the camera', () => {
    // 2 mm are 1 px at three metres and 1500 px of focal length, at 0.7–0.9 Hz: 5 px/s.
    const error = dataError(() => stillMoments(filmed({ wobbleM: 0.002 }), options));
    expect(error.code).toBe('still-moments-none');
    const { moments } = stillMoments(filmed({ wobbleM: 0.0002 }), options);
    expect(moments).toHaveLength(list.length);
  });

  test('a board that creeps: the shift that the clocks may cause is bounded', () => {
    const creeping = (pxPerS: number): BoardTrack[] =>
      tracks.map((track) => ({
        ...track,
        corners: track.corners.map((corners, i) => corners!.map((x) => x + pxPerS * track.timesS[i])),
      }));
    // Both coordinates creep alike, so the speed is √2 times as large; 1.4 px/s · 0.2 s is within 0.5 px, 2.8 px/s is not.
    const slow = stillMoments(creeping(1), options);
    for (const { views } of slow.moments) {
      // Noise of 0.1 px over 0.5 s or more: 0.1 √2 / √(15 · 0.02) = 0.26 px/s beside it, at the ends of a stand a little glide.
      for (const view of views) expect(Math.abs(view.creepPxPerS - Math.SQRT2)).toBeLessThan(0.8);
    }
    expect(slow.moments.length).toBeGreaterThanOrEqual(12);
    expect(dataError(() => stillMoments(creeping(2), { ...options, mostWobblePx: 1 }))).toMatchObject({
      code: 'still-moments-none',
      facts: { leftOut: list.length },
    });
    // With clocks known to a hundredth of a second such a board is still enough.
    expect(stillMoments(creeping(2), { ...options, mostWobblePx: 1, clockSlackS: 0.01 }).leftOut).toEqual([]);
  });

  test('a stand without a board in one camera, or blurred in one, is left out', () => {
    const hidden = tracks.map((track, c) => ({
      ...track,
      corners: track.corners.map((corners, i) => (c === 1 && standAt(track.timesS[i]) === 4 ? null : corners)),
    }));
    expect(stillMoments(hidden, options).moments.map(({ timeS }) => standAt(timeS))).not.toContain(4);
    const blurred = tracks.map((track, c) => ({
      ...track,
      sharpness: track.timesS.map((timeS) => (c === 0 && standAt(timeS) === 6 ? 0.2 : 0.5)),
    }));
    const result = stillMoments(blurred, options);
    expect(result.moments.map(({ timeS }) => standAt(timeS))).not.toContain(6);
    expect(result.leftOut.map(({ timeS }) => standAt(timeS))).toEqual([6]);
  });

  test('one camera alone: pictures for its lens; no clock, no limit of creep', () => {
    const alone = stillMoments([tracks[0]], { ...options, offsetsS: [0], mostClockShiftPx: 0 });
    expect(alone.moments.map(({ timeS }) => standAt(timeS))).toEqual(list.map((_, i) => i));
    expect(alone.moments[0].views).toHaveLength(1);
  });

  test('of many, those that cover most are chosen', () => {
    const crowd = [...Array(10).keys()].map((i) => ({
      ...list[0],
      place: [0, 1.1 + 0.01 * i, 0] as const,
      turn: [0, 0, 0] as const,
      fromS: 1 + 2 * i,
      toS: 2.2 + 2 * i,
    }));
    const apart = list.slice(0, 5).map((stand, i) => ({ ...stand, fromS: 21 + 2 * i, toS: 22.2 + 2 * i }));
    const all = [...crowd, ...apart];
    const films = cameras.map((camera, c) =>
      trackOf(camera, all, { rateHz: 25, lengthS: 31, startS: 0, noisePx: 0.1, seed: 7 + c }),
    );
    const { moments, candidates } = stillMoments(films, { ...options, most: 6 });
    expect([candidates, moments.length]).toEqual([15, 6]);
    // Ten stands differ by a centimetre: at most one or two of them are worth a place beside five different ones.
    expect(moments.filter(({ timeS }) => timeS > 20.5)).toHaveLength(5);
    expect(stillMoments(films, { ...options, most: 2 }).coverage.get('left')!).toBeLessThan(
      stillMoments(films, { ...options, most: 8 }).coverage.get('left')!,
    );
  });

  test('the chosen pairs agree with one rigid board: corners at the truth of their frames', () => {
    for (const { views } of found.moments) {
      const pose = boardPose(list, views[0].timeS);
      const other = boardPose(list, views[1].timeS);
      for (let i = 0; i < 3; i++) expectClose(pose.translation[i], other.translation[i], 1e-4, 'place of the board, m');
    }
  });
});
