import { describe, expect, test } from '@jest/globals';
import { findInLift } from '../../src/lift/findings/find.ts';
import { BUILT_IN_RULES } from '../../src/lift/findings/rules/index.ts';
import { gradeLift } from '../../src/lift/grade.ts';
import { forJson, jsonText } from '../../src/study/json-text.ts';
import { LIFT_SCHEMA, liftJson } from '../../src/study/lift-json.ts';
import { provenanceOf } from '../../src/study/provenance.ts';
import { qualityRecord } from '../../src/study/quality-json.ts';
import { expectClose } from '../expect-close.ts';
import { makeRecord, makeRecording } from './make-record.ts';

const record = makeRecord({ partialRepetition: 2 });
const recording = makeRecording();
const provenance = provenanceOf({
  toolVersion: '0.1.0',
  recordingId: record.recordingId,
  settings: recording.settings,
  seed: 7,
  inputs: [
    { file: '/data/study/a/right.json', sha256: 'b'.repeat(64) },
    { file: '/data/study/a/left.json', sha256: 'a'.repeat(64) },
    { file: '/data/rig.json', sha256: 'c'.repeat(64) },
  ],
  folder: '/data/study',
});
const quality = qualityRecord(record, gradeLift(record, []), [], null);
const found = findInLift(record, [], recording, BUILT_IN_RULES);
const text = jsonText(liftJson(record, recording, quality, provenance, found));

describe('lift.json', () => {
  test('obeys its schema after a round trip through text', () => {
    const read = LIFT_SCHEMA.parse(JSON.parse(text));
    expect(read.recording.athlete_id).toBe('007');
    expect(read.repetitions.map(({ completeness }) => completeness)).toEqual(['full', 'partial', 'full']);
    expect(read.frames.time_s).toHaveLength(record.loads.frames);
    expect(read.measures).toHaveLength(record.measures.length);
    expect(read.findings).toHaveLength(found.findings.length);
    expect(read.findings.length).toBeGreaterThan(100);
    expect(read.curves.reduce((sum, curve) => sum + curve.depth.length, 0)).toBe(record.curves.length);
  });

  test('holds the moments of the record, and null where one is unknown', () => {
    const { frames } = JSON.parse(text);
    record.loads.fromAbove!.hip.total.forEach((value, frame) => {
      expectClose(
        frames.hip_moment_both_nm[frame],
        value,
        1e-6 * Math.abs(value) + 1e-12,
        `hip moment, frame ${frame}`,
      );
    });
    expect(frames.hip_share_both).toContain(null);
    expect(text).not.toMatch(/NaN|Infinity/);
  });

  test('the schema refuses a record with a missing part or a wrong grade', () => {
    const { measures: _, ...without } = JSON.parse(text);
    expect(LIFT_SCHEMA.safeParse(without).success).toBe(false);
    expect(LIFT_SCHEMA.safeParse({ ...JSON.parse(text), quality: { grade: 'superb' } }).success).toBe(false);
  });

  test('the same record gives the same bytes', () => {
    const again = makeRecord({ partialRepetition: 2 });
    expect(jsonText(liftJson(again, recording, quality, provenance, found))).toBe(text);
  });
});

test('provenance names inputs from the folder, sorted, without absolute path or clock', () => {
  expect(provenance.inputs.map(({ file }) => file)).toEqual(['../rig.json', 'a/left.json', 'a/right.json']);
  expect(jsonText(provenance)).not.toMatch(/\/data|\d{4}-\d\d-\d\dT/);
  expect(provenance.seed).toBe(7);
});

test('a file that shares no folder with the recording is named by itself: the rest would be this machine’s', () => {
  const named = (folder: string, file: string) =>
    provenanceOf({
      toolVersion: '0',
      recordingId: 'r',
      settings: recording.settings,
      seed: 1,
      inputs: [{ file, sha256: 'ab' }],
      folder,
    }).inputs[0].file;
  expect(named('/data/monday', '/elsewhere/of/mine/rig.json')).toBe('rig.json');
  expect(named('/data/monday/set', '/data/rigs/rig.json')).toBe('../../rigs/rig.json');
});

describe('jsonText', () => {
  test('lists of numbers stand on one line and stay the same numbers', () => {
    const value = { a: [1, -2.5e-7, null, 3], b: [{ c: 1 }], d: [], e: 'x [1,\n2]' };
    const written = jsonText(value);
    expect(JSON.parse(written)).toEqual(value);
    expect(written).toContain('[1,-2.5e-7,null,3]');
  });

  test('NaN and infinity are null, typed arrays are lists, -0 is 0', () => {
    expect(forJson({ a: Number.NaN, b: Float64Array.of(1, Number.POSITIVE_INFINITY), c: -0, d: undefined })).toEqual({
      a: null,
      b: [1, null],
      c: 0,
    });
  });
});
