import { describe, expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { MOMENT_AXES, type MomentAxes, type MomentUnit } from '../../src/capture/recording.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { columnEntry } from '../../src/study/dictionary.ts';
import { spatialTables } from '../../src/study/moments-table.ts';
import { lifterPoints, makeRecording, makeTrajectories, squatPosture } from '../body/made-lifter.ts';
import { expectAllClose } from '../expect-close.ts';
import { NO_TURN } from '../mechanics/made-motion.ts';

const FRAMES = 201;
const base = makeRecording({ load: { totalKg: 60, bar: { position: 'front rack' } } });
const motion = bodyMotion(
  makeTrajectories(FRAMES, 100, (f) => lifterPoints(squatPosture(f / 100))),
  base,
);
const loads = jointLoads(motion, [], NO_TURN);

function tables(momentAxes: MomentAxes, momentUnit: MomentUnit, statureM: number | null = 1.8) {
  const recording = {
    ...base,
    athlete: { ...base.athlete, statureM },
    settings: { ...base.settings, momentAxes, momentUnit },
  };
  const { moments, axes } = spatialTables(describeLift(loads, recording, false), recording);
  const rows = axes.objects({ limit: Infinity }) as Record<string, string>[];
  const column = (name: string) => Float64Array.from(moments.array(name) as ArrayLike<number>).subarray(80, 120);
  return { moments, rows, column };
}

describe('moments.csv and moment-axes.csv', () => {
  test.each(MOMENT_AXES)('%s: every column has its row, and the dictionary knows it', (axes) => {
    const { moments, rows } = tables(axes, 'nm');
    const columns = moments.columnNames().slice(3);
    expect(columns).toEqual(rows.map(({ column }) => column));
    // Hips, knees and ankles of both legs, L5/S1, three components each; shoulders and elbows carry part of the bar.
    expect(columns).toHaveLength(3 * 7);
    expect(moments.numRows()).toBe(FRAMES);
    for (const row of rows) {
      expect(row.axes).toBe(axes);
      for (const cell of ['axis', 'positive', 'unit', 'forces', 'component']) expect(row[cell]).not.toBe('');
      expect(columnEntry('moments.csv', row.column)).toBeDefined();
    }
  });

  test('units: per kg of body mass, and per body weight and height', () => {
    const name = 'hip_extension_moment_left';
    const nm = tables('lab', 'nm').column(`${name}_nm`);
    expect(Math.max(...nm)).toBeGreaterThan(50);
    const perKg = tables('lab', 'nm_per_kg').column(`${name}_nm_per_kg`);
    expectAllClose(
      perKg,
      nm.map((value) => value / 80),
      1e-12,
    );
    const pure = tables('lab', 'per_weight_and_height').column(`${name}_per_weight_and_height`);
    expectAllClose(
      pure,
      nm.map((value) => value / (80 * 9.80665 * 1.8)),
      1e-12,
    );
  });

  test('without a stature the last unit is unknown, and every row says what it needs', () => {
    const { rows, column } = tables('lab', 'per_weight_and_height', null);
    expect(column('knee_extension_moment_right_per_weight_and_height').every(Number.isNaN)).toBe(true);
    for (const { reason } of rows) expect(reason).toMatch(/stature_m/);
  });

  test('without force plates the forces of a leg are said to be assumed, those of L5/S1 to come from the movement', () => {
    const { rows } = tables('joint', 'nm');
    for (const { joint, forces } of rows) {
      if (joint === 'lumbosacral') expect(forces).toBe('from the movement');
      else expect(forces).toMatch(/shared between the feet by assumption \(proportional\)/);
    }
  });
});
