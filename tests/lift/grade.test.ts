import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import { DataError } from '../../src/errors.ts';
import { acceptanceLimits, QUALITY_NAMES } from '../../src/lift/acceptance.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import { gradeLift } from '../../src/lift/grade.ts';
import type { LiftRecord } from '../../src/lift/lift-record.ts';
import { makeLoads, makeRecording, squats } from './make-loads.ts';

const file = new URL('../../calibration/acceptance.json', import.meta.url);
const json = JSON.parse(readFileSync(file, 'utf8'));
const limits = acceptanceLimits(json, 'calibration/acceptance.json');

const loads = makeLoads(squats(2));
const record = describeLift(loads, makeRecording({ plannedRepetitions: 2 }));

/** The record with another missing share and another mean vertical force. */
function changed(missingShare: number, meanVerticalShare: number | null): LiftRecord {
  const { motion } = loads;
  const quality = { ...motion.trajectories.quality, missingShare };
  const trajectories = { ...motion.trajectories, quality };
  return {
    ...record,
    loads: { ...loads, motion: { ...motion, trajectories }, quality: { ...loads.quality, meanVerticalShare } },
  };
}

function codeOf(act: () => unknown): string {
  try {
    act();
  } catch (error) {
    if (error instanceof DataError) return error.code;
    throw error;
  }
  return 'nothing thrown';
}

describe('limits', () => {
  test('the published file sets a limit with a source on everything that can be judged', () => {
    expect(limits.map(({ name }) => name).sort()).toEqual([...QUALITY_NAMES].sort());
    for (const { source } of limits) expect(source.length).toBeGreaterThan(10);
  });

  test('a limit that cannot be used is refused', () => {
    const withLimit = (change: object) => ({ ...json, limits: [{ ...json.limits[0], ...change }] });
    expect(codeOf(() => acceptanceLimits(withLimit({ good: 0.2 }), 'a.json'))).toBe('acceptance-limits-invalid');
    expect(codeOf(() => acceptanceLimits(withLimit({ source: undefined }), 'a.json'))).toBe(
      'acceptance-limits-invalid',
    );
    expect(codeOf(() => acceptanceLimits(withLimit({ name: 'luck' }), 'a.json'))).toBe('acceptance-limit-unknown');
    expect(codeOf(() => acceptanceLimits([], 'a.json'))).toBe('acceptance-limits-invalid');
  });
});

describe('grade', () => {
  test('the worst limit decides, and each says its value', () => {
    expect(gradeLift(record, limits).grade).toBe('good');
    expect(gradeLift(changed(0.05, 1), limits).grade).toBe('usable');
    expect(gradeLift(changed(0.05, 1.05), limits).grade).toBe('poor');
    expect(gradeLift(changed(0, 0.98), limits).grade).toBe('usable');
    const { reasons } = gradeLift(changed(0.3, 1), limits);
    expect(reasons.find(({ limit }) => limit === 'missing_share')).toEqual({
      limit: 'missing_share',
      value: 0.3,
      unit: '1',
      grade: 'poor',
    });
  });

  test('a value exactly at its limit still keeps it; "at least" limits work the other way', () => {
    expect(gradeLift(changed(0.02, 1), limits).grade).toBe('good');
    expect(gradeLift(changed(0.1, 1), limits).grade).toBe('usable');
    const slow = { ...record, loads: { ...loads, frameRateHz: 30 } };
    expect(gradeLift(slow, limits).reasons.find(({ limit }) => limit === 'frame_rate')!.grade).toBe('usable');
    expect(gradeLift({ ...record, loads: { ...loads, frameRateHz: 12 } }, limits).grade).toBe('poor');
  });

  test('what a recording has no number for is named, not judged', () => {
    const { notJudged, reasons } = gradeLift(changed(0, null), limits);
    expect(notJudged).toEqual(
      expect.arrayContaining([
        'vertical_force_balance',
        'force_mismatch',
        'pressure_mismatch',
        'thigh_length_variation',
      ]),
    );
    expect(reasons.length + notJudged.length).toBe(limits.length);
  });

  test('a repetition missed makes the set usable, two make it poor', () => {
    const planned = (n: number) =>
      gradeLift({ ...record, quality: { ...record.quality, repetitionsPlanned: n } }, limits).grade;
    expect([planned(2), planned(3), planned(4)]).toEqual(['good', 'usable', 'poor']);
  });
});
