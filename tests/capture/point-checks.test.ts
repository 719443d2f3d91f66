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
