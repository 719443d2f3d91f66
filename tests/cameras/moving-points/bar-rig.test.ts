import { describe, expect, test } from '@jest/globals';
import type { ImageTrack } from '../../../src/cameras/moving-points/image-tracks.ts';
import { MOMENTS } from '../../../src/cameras/moving-points/image-tracks.ts';
import { rigFromMovingPoints } from '../../../src/cameras/moving-points/moving-points-rig.ts';
import { measuredRod } from '../../../src/cameras/moving-points/scale-budget.ts';
import { DataError } from '../../../src/errors.ts';
import { hashSeed } from '../../../src/numerics/random.ts';
import { expectClose } from '../../expect-close.ts';
import { barRun } from './bar-rig-runs.ts';
import { analysedCamera, exactLens, filmSet, PLAIN_NOISE, POINTS, trueSet } from './simulated-gym.ts';

const set = trueSet('A01-knees-flat', 'straight');
const { tracks } = filmSet(set, PLAIN_NOISE, 11);
const lenses = set.cameras.map(exactLens);
const rods = [measuredRod(['bar_left_end', 'bar_right_end'], set.barLengthM, 0.0005)];
const coarse = { seed: 1, rods, moments: { ...MOMENTS, stepS: 0.3 } };
const rig = (films: readonly ImageTrack[], extra: object = {}, lens = lenses) =>
  rigFromMovingPoints(films, lens, { ...coarse, ...extra }, 'barbell and joints');

function refusal(run: () => unknown): DataError {
  try {
    run();
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('not refused');
}

/** One camera's track with points renamed. */
function renamed(film: ImageTrack, rename: (name: string) => string): ImageTrack {
  const pixel = film.pixel.slice();
  const n = film.points.length;
  film.points.forEach((name, p) => {
    const from = film.points.indexOf(rename(name));
    for (let k = 0; k < film.timeS.length; k++) {
      for (let a = 0; a < 2; a++) pixel[2 * (k * n + p) + a] = film.pixel[2 * (k * n + from) + a];
    }
  });
  return { ...film, pixel };
}

const exchangeSides = (name: string) => name.replace(/left|right/, (side) => (side === 'left' ? 'right' : 'left'));
const exchangeBar = (name: string) => (name.startsWith('bar_') ? exchangeSides(name) : name);

describe('a rig from barbell and joints', () => {
  test('short form of the validation: hip–knee error within 1.3 of a board rig’s, scale within 0.2 %', () => {
    const run = barRun({
      recording: 'A01-knees-flat',
      turning: 'straight',
      noise: PLAIN_NOISE,
      seed: hashSeed(20260317, 'short'),
    });
    expect(run.refused).toBeNull();
    expect(run.bar!.hipKneeM / run.board.hipKneeM).toBeLessThan(1.3);
    expectClose(run.bar!.scaleShare, 0, 0.002, 'scale');
    for (const z of [...run.turnZ, ...run.hipKneeZ]) expectClose(z, 0, 4, 'error in standard deviations');
  });

  test('the result says what it is, with every number finite', () => {
    const { rig: found, observations, points, views } = rig(tracks);
    const { quality, cameras } = found;
    expect(quality.method).toBe('barbell and joints');
    expect(cameras.map(({ name }) => name)).toEqual(['left', 'right']);
    const measured = quality.measured!;
    expect(JSON.stringify(measured)).not.toMatch(/NaN|Infinity/);
    expect(measured.vertical).toBeNull();
    expect(Object.keys(measured.scale!.causes).length).toBeGreaterThanOrEqual(3);
    expect(measured.heldOutLength!.share).toBeLessThan(0.005);
    expect(measured.cameras[1].directionSdDeg).toBeGreaterThan(0);
    expect(observations.length).toBe(quality.pointsUsed);
    expect(points.every(Number.isFinite)).toBe(true);
    expect(views).toHaveLength(2);
    // Heels are the lowest points tracked and stand 0.03 m above the floor.
    expect(measured.volumeM![1]).toBeGreaterThan(-0.1);
  });

  test('a clock that is 20 ms off is found where it is let free', () => {
    const late = { ...tracks[1], timeS: tracks[1].timeS.map((t) => t + 0.02) };
    const found = rig([tracks[0], late], { clockSdS: 0.1 });
    const { clock } = found.rig.quality.measured!.cameras[1];
    // A positive offset means that the camera films later than its stamps say: here they say 20 ms too late.
    expectClose(clock!.offsetS, -0.02, 3 * clock!.halfWidth95S, 'offset');
    expect(clock!.halfWidth95S).toBeLessThan(0.006);
  });
});

describe('refused, and named', () => {
  test('the bar alone in a straight squat', () => {
    const found = refusal(() => rig(tracks, { points: [], moments: MOMENTS }));
    expect(['rig-undetermined', 'rig-ambiguous']).toContain(found.code);
    expect(found.message).toMatch(/joints/);
  });

  test.each([0, 1])('bar ends exchanged in camera %i', (c) => {
    const films = tracks.map((film, i) => (i === c ? renamed(film, exchangeBar) : film));
    const found = refusal(() => rig(films));
    expect(found.code).toBe('bar-ends-exchanged');
    expect(found.facts.camera).toBe(tracks[c].camera);
  });

  test('left and right exchanged throughout in one camera: a mirrored film', () => {
    expect(refusal(() => rig([tracks[0], renamed(tracks[1], exchangeSides)])).code).toBe('sides-exchanged');
  });

  test('the tracks of two cameras with different lenses, exchanged', () => {
    const wide = set.cameras.map((camera, c) => ({ ...camera, focalPx: c === 0 ? 1480 : 1650 }));
    const other = trueSet('A01-knees-flat', 'straight', wide);
    const films = filmSet(other, PLAIN_NOISE, 3).tracks;
    const exchanged = films.map((film, c) => ({ ...film, camera: films[1 - c].camera }));
    const found = refusal(() => rig(exchanged, {}, other.cameras.map(exactLens)));
    expect(found.code).toBe('cameras-exchanged');
  });

  test('points outside the picture: film turned or another camera’s', () => {
    const turnedLens = {
      ...lenses[1],
      camera: { ...analysedCamera(set.cameras[1]), imageWidth: 1920, imageHeight: 1080 },
    };
    const found = refusal(() => rig(tracks, {}, [lenses[0], turnedLens]));
    expect(found.code).toBe('points-outside-image');
    expect(found.facts.camera).toBe('right');
  });

  test('one camera, no lens, no bar, no overlap in time', () => {
    expect(refusal(() => rig([tracks[0]])).code).toBe('moving-points-few-cameras');
    expect(refusal(() => rig(tracks, {}, [lenses[0]])).code).toBe('track-without-lens');
    const noBar = { ...tracks[1], points: POINTS.map((name) => `${name}_x`) };
    expect(refusal(() => rig([tracks[0], noBar])).code).toBe('rod-ends-missing');
    const later = { ...tracks[1], timeS: tracks[1].timeS.map((t) => t + 100) };
    expect(refusal(() => rig([tracks[0], later])).code).toBe('moving-points-few-moments');
  });
});
