import { describe, expect, test } from '@jest/globals';
import { cameraMotion } from '../../src/cameras/camera-motion.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { expectClose } from '../expect-close.ts';
import { filmAgain, filmedLift, swaying, WHITE_AND_SLOW } from './clocks/filmed-again.ts';

const lift = filmedLift('A01-knees-flat');
const clocks = [0, 0].map((offsetS) => ({ offsetS, frameRateHz: 60, drift: 0, readoutS: 0 }));
const tracks = filmAgain(lift, clocks, WHITE_AND_SLOW, 11);

describe('a picture that moves as a whole', () => {
  test('clamped phones stand', () => {
    expect(cameraMotion(tracks).map(({ verdict }) => verdict)).toEqual(['stands', 'stands']);
  });

  test('a sway of 3 px in one view is found there, with its size: 3/√2 px r.m.s.', () => {
    const [first, second] = cameraMotion(swaying(tracks, 1, 3, 0.4, 1, 0.7));
    expect(first.verdict).toBe('stands');
    expect(second.verdict).toBe('moves');
    // The kernel of ± 0.15 s passes 0.4 Hz whole; a 14 s record holds not quite whole periods: a tenth.
    expectClose(second.sharedRmsPx!, 3 / Math.SQRT2, 0.2, 'movement');
  });

  test('a foot that is set anew does not count: it moves alone', () => {
    const moved = tracks.map((track) => {
      const pixel = track.pixel.slice();
      track.landmarks.forEach((name, l) => {
        if (!/^left_(ankle|heel|big_toe|small_toe)$/.test(name)) return;
        for (let k = 400; k < track.frames; k++) pixel[2 * (k * track.landmarks.length + l)] += 12;
      });
      return { ...track, pixel };
    });
    expect(cameraMotion(moved).map(({ verdict }) => verdict)).toEqual(['stands', 'stands']);
  });

  test('without feet nothing is known, and it says so', () => {
    const without = tracks.map((track) => {
      const status = track.status.slice();
      track.landmarks.forEach((name, l) => {
        if (!/_(ankle|heel|big_toe|small_toe)$/.test(name)) return;
        for (let k = 0; k < track.frames; k++) status[k * track.landmarks.length + l] = SampleStatus.occluded;
      });
      return { ...track, status };
    });
    expect(cameraMotion(without).map(({ verdict, sharedRmsPx }) => [verdict, sharedRmsPx])).toEqual([
      ['unknown', null],
      ['unknown', null],
    ]);
  });
});
