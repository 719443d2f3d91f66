import { describe, expect, test } from '@jest/globals';
import { facingOf, finiteMedian, NamedPoints } from '../../src/capture/facing.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { checkPlausibleLifter } from '../../src/capture/point-checks.ts';
import { expectClose } from '../expect-close.ts';
import { moved, type Stick, stickLifter } from './stick-lifter.ts';
import { dataError } from './written-files.ts';

const check = ({ landmarks, position, frames }: Stick, source: 'points' | 'views' = 'points') =>
  checkPlausibleLifter('points.csv', landmarks, position, frames, source);
const facing = ({ landmarks, position, frames }: Stick) => facingOf(new NamedPoints(landmarks, position, frames));

const lifter = stickLifter(41);
const noFeet = stickLifter(41, (name) => !/heel|toe/.test(name));
const kneesOnly = stickLifter(41, (name) => !/heel|toe|nose|ear/.test(name));
const noseOnly = stickLifter(41, (name) => !/heel|toe|knee/.test(name));
const turnedBy = (stick: Stick, headingRad: number) =>
  moved(stick, (x, y, z) => [
    x * Math.cos(headingRad) + z * Math.sin(headingRad),
    y,
    -x * Math.sin(headingRad) + z * Math.cos(headingRad),
  ]);
const exchanged = (stick: Stick): Stick => ({
  ...stick,
  landmarks: stick.landmarks.map((name) =>
    name.replace(/left|right/, (side) => (side === 'left' ? 'right' : 'left')),
  ) as Landmark[],
});

describe('a lifter passes', () => {
  test.each([0, 0.4, 1.5, 3, -2])('at heading %d rad', (heading) => {
    for (const stick of [lifter, noFeet, kneesOnly, noseOnly])
      expect(() => check(turnedBy(stick, heading))).not.toThrow();
  });

  test('with gaps', () => {
    const position = lifter.position.map((value, i) => (i % 7 === 0 ? Number.NaN : value));
    expect(() => check({ ...lifter, position })).not.toThrow();
  });

  test('with few landmarks, or none that can be judged', () => {
    expect(() => check(stickLifter(5, (name) => name === 'nose'))).not.toThrow();
    expect(() => check({ ...lifter, position: lifter.position.map(() => Number.NaN) })).not.toThrow();
  });

  test.each([0.6, 1.4])('%d times as large', (scale) => {
    expect(() => check(moved(lifter, (x, y, z) => [scale * x, scale * y, scale * z]))).not.toThrow();
  });
});

describe('facing', () => {
  test.each([
    ['feet', lifter],
    ['knees', kneesOnly],
    ['nose', noseOnly],
  ] as const)('from the %s, at any heading', (evidence, stick) => {
    for (const heading of [0, 1, -2.5]) {
      const found = facing(turnedBy(stick, heading))!;
      expect(found.evidence).toBe(evidence);
      expectClose(found.x, Math.cos(heading), 1e-12, 'x');
      expectClose(found.z, -Math.sin(heading), 1e-12, 'z');
    }
  });

  test('nothing is said where knees and nose disagree, or where the shanks stay upright', () => {
    const nose = noFeet.landmarks.indexOf('nose');
    const position = noFeet.position.slice();
    for (let at = 3 * nose; at < position.length; at += 3 * noFeet.landmarks.length) position[at] -= 0.2;
    expect(facing({ ...noFeet, position })).toBeNull();
    expect(facing(stickLifter(1, (name) => !/heel|toe|nose|ear/.test(name)))).toBeNull();
  });

  test('medians skip what is missing', () => {
    expect(finiteMedian([3, Number.NaN, 1, 2])).toBe(2);
    expect(finiteMedian([4, 1, 2, 3])).toBe(2.5);
    expect(finiteMedian([Number.NaN])).toBeNaN();
  });
});

describe('no lifter', () => {
  // Lengths of the stick lifter: thigh 0.42 m (hip at 0.09, knee at 0.25 m from the middle), shank 0.40 m.
  test.each([
    [1000, 'mm'],
    [100, 'cm'],
    [10, 'mm'],
    [0.1, 'cm'],
    [0.001, 'm'],
  ])('%d times too large: the unit meant is %s', (scale, unit) => {
    const error = dataError(() => check(moved(lifter, (x, y, z) => [scale * x, scale * y, scale * z])));
    expect(error.code).toBe('segment-outside-human-range');
    expect(error.facts).toMatchObject({ file: 'points.csv', segment: 'left thigh', lowM: 0.2, highM: 0.7, unit });
    expectClose(error.facts.lengthM as number, scale * Math.hypot(0.42, 0.16), scale * 1e-12, 'thigh');
  });

  test('points out of one segment only: no unit explains it', () => {
    const ankle = lifter.landmarks.indexOf('right_ankle');
    const position = lifter.position.slice();
    for (let at = 3 * ankle + 1; at < position.length; at += 3 * lifter.landmarks.length) position[at] -= 0.9;
    const error = dataError(() => check({ ...lifter, position }));
    expect(error.facts).toMatchObject({ segment: 'right shank', unit: '' });
  });

  test('up points down', () => {
    const turned = moved(lifter, (x, y, z) => [x, -y, -z]);
    expect(dataError(() => check(turned))).toMatchObject({ code: 'upside-down-axes', facts: { part: 'shoulders' } });
    const legs = stickLifter(9, (name) => /hip|knee|ankle/.test(name));
    expect(dataError(() => check(moved(legs, (x, y, z) => [x, -y, -z]))).facts.part).toBe('hips');
  });

  test.each([
    ['forward', (x: number, y: number, z: number) => [-y, x, z]],
    ['right', (x: number, y: number, z: number) => [x, z, -y]],
  ])('up is %s', (_, turn) => {
    expect(dataError(() => check(moved(lifter, turn))).code).toBe('sideways-axes');
  });

  test.each([
    ['feet', lifter],
    ['knees', kneesOnly],
    ['nose', noseOnly],
  ] as const)('mirrored, told by the %s, whichever axis is mirrored and at any heading', (evidence, stick) => {
    const mirrors = [
      moved(stick, (x, y, z) => [-x, y, z]),
      moved(stick, (x, y, z) => [x, y, -z]),
      turnedBy(
        moved(stick, (x, y, z) => [x, y, -z]),
        2.2,
      ),
      exchanged(stick),
    ];
    for (const mirror of mirrors) {
      for (const source of ['points', 'views'] as const) {
        const error = dataError(() => check(mirror, source));
        expect(error).toMatchObject({ code: 'mirrored-sides', facts: { part: 'hip', evidence } });
      }
    }
  });

  test('the remedy belongs to the source', () => {
    const large = moved(lifter, (x, y, z) => [1000 * x, 1000 * y, 1000 * z]);
    expect(dataError(() => check(large, 'points')).message).toContain('unit: mm');
    expect(dataError(() => check(large, 'views')).message).toContain('rig');
  });
});

describe('markers that contradict the joints', () => {
  /** Markers about the joints of a stick lifter: where a person wears them, in metres from the joint (outward for z). */
  const PLACES = {
    asis: ['hip', 0.06, 0.09, 0.04],
    psis: ['hip', -0.11, 0.09, -0.04],
    knee_medial: ['knee', 0, 0, -0.05],
    knee_lateral: ['knee', 0, 0, 0.05],
    ankle_medial: ['ankle', 0, 0, -0.035],
    ankle_lateral: ['ankle', 0, 0, 0.035],
  } as const;
  const withMarkers = (rename: (name: string) => string, scale = 1, keep = (_: string) => true): Stick => {
    const landmarks = [...lifter.landmarks];
    const columns = lifter.landmarks.map((_, column) => ({ column, by: [0, 0, 0], scale: 1 }));
    for (const [marker, [joint, x, y, z]] of Object.entries(PLACES)) {
      for (const side of ['left', 'right'] as const) {
        if (!keep(`${side}_${marker}`)) continue;
        landmarks.push(rename(`${side}_${marker}`) as Landmark);
        const column = lifter.landmarks.indexOf(`${side}_${joint}`);
        columns.push({ column, by: [x, y, side === 'right' ? z : -z], scale });
      }
    }
    const { frames } = lifter;
    const position = new Float64Array(3 * frames * landmarks.length);
    for (let frame = 0; frame < frames; frame++) {
      columns.forEach(({ column, by, scale: by1 }, k) => {
        for (let axis = 0; axis < 3; axis++) {
          position[3 * (frame * landmarks.length + k) + axis] =
            by1 * (lifter.position[3 * (frame * lifter.landmarks.length + column) + axis] + by[axis]);
        }
      });
    }
    return { landmarks, position, frames };
  };
  const swap = (a: string, b: string) => (name: string) =>
    name.includes(a) ? name.replace(a, b) : name.includes(b) ? name.replace(b, a) : name;
  const only = (pattern: RegExp) => (name: string) => pattern.test(name);

  test('where they belong they pass, at any heading, all or some', () => {
    for (const heading of [0, 1.2, -2.5]) {
      expect(() =>
        check(
          turnedBy(
            withMarkers((name) => name),
            heading,
          ),
        ),
      ).not.toThrow();
      expect(() =>
        check(
          turnedBy(
            withMarkers((name) => name, 1, only(/left/)),
            heading,
          ),
        ),
      ).not.toThrow();
    }
  });

  test.each([
    ['left and right of the pelvis', swap('left', 'right'), /asis|psis/, 'markers-exchanged'],
    ['left and right of the front of the pelvis', swap('left', 'right'), /asis/, 'markers-exchanged'],
    ['inner and outer side of the knees', swap('medial', 'lateral'), /knee/, 'markers-exchanged'],
    ['inner and outer side of one ankle', swap('medial', 'lateral'), /left_ankle/, 'markers-exchanged'],
    ['front and back of the pelvis', swap('asis', 'psis'), /asis|psis/, 'markers-exchanged'],
    ['knee called of the other side', swap('left', 'right'), /left_knee/, 'marker-far-from-joint'],
  ])('%s exchanged', (_, rename, keep, code) => {
    for (const heading of [0, 2]) {
      expect(dataError(() => check(turnedBy(withMarkers(rename, 1, only(keep)), heading))).code).toBe(code);
    }
  });

  test('in millimetres beside joints in metres', () => {
    const error = dataError(() => check(withMarkers((name) => name, 1000, only(/asis/))));
    expect(error.code).toBe('marker-far-from-joint');
    expect(error.message).toMatch(/another unit/);
  });
});
