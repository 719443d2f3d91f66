import { describe, expect, test } from '@jest/globals';
import { describeLift } from '../../src/lift/describe-lift.ts';
import type { CurvePoint, LiftRecord } from '../../src/lift/lift-record.ts';
import { DROP_GRID_PCT, THIGH_ELEVATION_GRID_DEG } from '../../src/lift/limits.ts';
import { edgeOfRecording, missing, needsLandmarks, notMonotone, notReached, phaseMissing } from '../../src/messages.ts';
import { expectClose } from '../expect-close.ts';
import {
  blend,
  DEEP,
  hold,
  makeLoads,
  makeRecording,
  move,
  moveEvenly,
  type Posture,
  STANDING,
  squats,
  statics,
} from './make-loads.ts';

const describeMade = (postures: readonly Posture[], options = {}) =>
  describeLift(makeLoads(postures, options), makeRecording());

function point(record: LiftRecord, want: Partial<CurvePoint>): CurvePoint {
  const found = record.curves.filter((p) =>
    Object.entries({ repetition: 1, side: 'both', ...want }).every(
      ([key, value]) => p[key as keyof CurvePoint] === value,
    ),
  );
  if (found.length !== 1) throw new Error(`${found.length} points of ${JSON.stringify(want)}`);
  return found[0];
}

const statedPosture = (thigh: number) => blend(STANDING, DEEP, (90 - thigh) / (90 - DEEP.thigh));

test('the grids are 75 … −30° by 5 and 0 … 100 % by 5, each with both phases and every quantity', () => {
  expect(THIGH_ELEVATION_GRID_DEG[0]).toBe(75);
  expect(THIGH_ELEVATION_GRID_DEG.at(-1)).toBe(-30);
  expect(DROP_GRID_PCT).toHaveLength(21);
  const { curves } = describeMade(squats(1));
  const kinds = new Set(curves.map(({ quantity, side, phase, grid }) => `${quantity}/${side}/${phase}/${grid}`));
  expect(curves).toHaveLength((kinds.size / 2) * (22 + 21));
});

describe('values at a depth', () => {
  // All angles go evenly with time, so that a depth is met where the closed form puts it, and linear interpolation
  // between frames is exact for angles. A moment bends between frames: its chord is off by at most h²/8 · |M''| with
  // h = 110°/143 of thigh a frame (0.0134 rad) and |M''| ≤ weight · Σ length · (angle per thigh angle)²
  // = 1275 N · (0.42 + 0.5 (30/110)² + 0.4 (35/110)²) m = 634 N·m/rad²: 0.0143 N·m.
  const postures = [
    ...hold(STANDING, 150),
    ...moveEvenly(STANDING, DEEP, 157),
    ...moveEvenly(DEEP, STANDING, 143),
    ...hold(STANDING, 150),
  ];
  const record = describeMade(postures);

  test.each(['descent', 'ascent'] as const)('angles and moments in the %s are those of the posture', (phase) => {
    for (const depth of [75, 40, 0, -15]) {
      const p = statedPosture(depth);
      const s = statics(p);
      const at = { phase, grid: 'thigh_elevation_deg', depth } as const;
      expectClose(point(record, { ...at, quantity: 'trunk_lean', side: '' }).value, p.trunk, 1e-9, `lean at ${depth}`);
      expectClose(point(record, { ...at, quantity: 'shank_inclination' }).value, p.shank, 1e-9, `shank at ${depth}`);
      expectClose(point(record, { ...at, quantity: 'hip_moment' }).value, s.hip, 0.0143, `hip at ${depth}`);
      expectClose(point(record, { ...at, quantity: 'knee_moment_gravity' }).value, s.knee, 0.0143, `knee at ${depth}`);
      expectClose(
        point(record, { ...at, quantity: 'hip_share' }).value,
        s.hip / (s.hip + s.knee),
        1e-3,
        `share at ${depth}`,
      );
    }
  });

  test('per cent of the drop runs from the stand to the bottom', () => {
    const height = (p: Posture) => statics(p).hipY;
    const half = Array.from({ length: 20001 }, (_, i) => blend(STANDING, DEEP, i / 20000)).find(
      (p) => height(p) <= (height(STANDING) + height(DEEP)) / 2,
    )!;
    for (const phase of ['descent', 'ascent'] as const) {
      const at = (depth: number) => point(record, { phase, grid: 'drop_pct', depth, quantity: 'trunk_lean', side: '' });
      // Height bends between frames: 0.19° of trunk a frame, chord off by well under a hundredth of that.
      expectClose(at(50).value, half.trunk, 0.005, `half-way ${phase}`);
      expectClose(at(100).value, DEEP.trunk, 1e-9, `bottom ${phase}`);
      expectClose(at(0).value, STANDING.trunk, 1e-9, `top ${phase}`);
    }
  });

  test('what is deeper than the bottom is not reached', () => {
    const { value, reason, unit } = point(record, {
      phase: 'descent',
      grid: 'thigh_elevation_deg',
      depth: -25,
      quantity: 'hip_share',
    });
    expect(value).toBeNaN();
    expect([reason, unit]).toEqual([notReached(), '1']);
  });
});

describe('unknown, with the reason', () => {
  test('where the depth goes back, and not beside it', () => {
    const up = blend(STANDING, DEEP, 0.75);
    const record = describeMade([
      ...hold(STANDING, 150),
      ...move(STANDING, blend(STANDING, DEEP, 0.95), 150),
      ...move(blend(STANDING, DEEP, 0.95), up, 35),
      ...move(up, DEEP, 40),
      ...move(DEEP, STANDING, 120),
      ...hold(STANDING, 150),
    ]);
    const at = (depth: number) =>
      point(record, { phase: 'descent', grid: 'thigh_elevation_deg', depth, quantity: 'hip_moment' }).reason;
    // up = 7.5°, first bottom = −14.5°, second = −20°.
    expect([at(15), at(0), at(-10), at(-15)]).toEqual(['', notMonotone(), notMonotone(), '']);
  });

  test('noise that crosses a depth more than once still gives a value', () => {
    const record = describeMade(squats(1), { noiseM: 0.001, seed: 3 });
    for (let depth = 60; depth >= -15; depth -= 5) {
      const p = statedPosture(depth);
      const found = point(record, {
        phase: 'descent',
        grid: 'thigh_elevation_deg',
        depth,
        quantity: 'shank_inclination',
      });
      // 1 mm on 0.4 m is 0.2° a leg and frame.
      expectClose(found.value, p.shank, 1, `shank at ${depth}`);
    }
  });

  test('where frames are missing', () => {
    const postures = squats(1);
    const hidden = postures.findIndex(({ thigh }) => thigh < 22);
    const record = describeMade(postures, { gap: [hidden, hidden + 8] });
    const at = (depth: number) =>
      point(record, { phase: 'descent', grid: 'thigh_elevation_deg', depth, quantity: 'trunk_lean', side: '' }).reason;
    expect([at(35), at(20), at(0)]).toEqual(['', missing(), '']);
  });

  test('where a landmark is absent, it is named', () => {
    const record = describeMade(squats(1), { without: ['left_heel', 'right_heel'] });
    const { reason } = point(record, {
      phase: 'descent',
      grid: 'drop_pct',
      depth: 50,
      quantity: 'com_along_foot',
      side: '',
    });
    expect(reason).toBe(needsLandmarks(['left_heel', 'right_heel']));
  });

  test('at the edge of the recording', () => {
    const record = describeMade(squats(1).slice(130), { edgeFrames: 80 });
    const at = (depth: number) =>
      point(record, { phase: 'descent', grid: 'thigh_elevation_deg', depth, quantity: 'hip_moment' }).reason;
    expect([at(75), at(-10)]).toEqual([edgeOfRecording(), '']);
  });

  test('where the phase is not in the recording', () => {
    const record = describeMade([...squats(1), ...move(STANDING, DEEP, 150)]);
    const { reason } = point(record, {
      repetition: 2,
      phase: 'ascent',
      grid: 'drop_pct',
      depth: 50,
      quantity: 'hip_moment',
    });
    expect(reason).toBe(phaseMissing('ascent'));
  });
});

test('every value is a number without a reason or unknown with one', () => {
  for (const options of [
    {},
    { gap: [200, 240] as const },
    { edgeFrames: 30 },
    { without: ['left_big_toe'] as const },
  ]) {
    const record = describeMade(squats(2), options);
    for (const { value, reason, quantity, depth } of [
      ...record.curves,
      ...record.measures.map((m) => ({ ...m, quantity: m.measure, depth: m.at })),
    ]) {
      if (Number.isNaN(value) !== (reason !== '')) throw new Error(`${quantity} at ${depth}: ${value} "${reason}"`);
      if (!Number.isNaN(value)) expect(Number.isFinite(value)).toBe(true);
    }
    expect(record.measures.length).toBeGreaterThan(50);
  }
});
