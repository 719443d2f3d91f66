import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { describe, expect, test } from '@jest/globals';
import { loadRecording } from '../../src/capture/load-recording.ts';
import { DEFAULT_SETTINGS, type Study } from '../../src/capture/recording.ts';
import { expectAllClose } from '../expect-close.ts';
import { cocoResults, moved, pointsCsv, stickLifter } from './stick-lifter.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const RIG = { kneeward: 1, kind: 'camera rig', cameras: [{ name: 'left' }, { name: 'right' }] };
write(folder, 'rig.json', JSON.stringify(RIG));
write(folder, 'set/left.json', JSON.stringify(cocoResults(4, 17)));
write(folder, 'set/right.json.gz', gzipSync(JSON.stringify(cocoResults(4, 17, 0.7))));
write(folder, 'set/right-bar.csv', 'frame,landmark,x_px,y_px,confidence\n0,bar_left_end,70,80,0.9\n');
write(folder, 'set/short.json', JSON.stringify(cocoResults(3, 17, 0.6)));
write(folder, 'set/same.json', JSON.stringify(cocoResults(4, 17)));
write(folder, 'set/unsure.json', JSON.stringify(cocoResults(4, 17, 0.1)));
write(folder, 'set/cut.json', JSON.stringify(cocoResults(4, 17)).slice(0, 500));
write(folder, 'set/points.csv', pointsCsv(stickLifter(21)));
const millimetres = moved(stickLifter(21), (x, y, z) => [1000 * x, 1000 * y, 1000 * z]);
write(folder, 'set/millimetres.csv', pointsCsv(millimetres));
write(folder, 'set/empty.csv', 'frame,landmark,x,y,z\n');
write(folder, 'set/nan.csv', 'frame,landmark,x,y,z\n0,left_hip,NaN,NaN,NaN\n');
const force = (first: number) =>
  ['time_s,fx_n,fy_n,fz_n,copx_m,copy_m,copz_m', ...[0, 1, 2].map((i) => `${first + i / 100},1,300,2,0.1,0,0.2`)].join(
    '\n',
  );
write(folder, 'set/force.csv', force(0));
write(folder, 'set/late.csv', force(60));

/** The recording of the issue, field by field; a field set to null is left out, `more` is added as it stands. */
function recording(change: Record<string, string | null> = {}, more = ''): string {
  const fields: Record<string, string | null> = {
    kneeward: '1',
    recording: 'A01-raised-1',
    date: '2026-03-04',
    athlete: '{ id: "A01", sex: female, mass_kg: 63.0, stature_m: 1.68 }',
    lift: '{ kind: Front Squat, set: 1, planned_repetitions: 3, outcome: made, grip: full, effort_rpe: 8 }',
    load: '{ total_kg: 80, bar: { position: front rack, length_m: 2.01, mass_kg: 15 } }',
    shoes: '{ heel_height_m: 0.020 }',
    condition: '{ heel: raised }',
    rig: '../rig.json',
    views:
      '\n  - { camera: left, keypoints: [left.json], frame_rate_hz: 60 }' +
      '\n  - { camera: right, keypoints: [right.json.gz, right-bar.csv], frame_rate_hz: 60, offset_s: 0.013, readout_s: 0.018 }',
    segments: 'de-leva-1996',
    ...change,
  };
  const lines = Object.entries(fields).filter(([, value]) => value !== null);
  return `${lines.map(([key, value]) => `${key}: ${value}`).join('\n')}\n${more}`;
}

const points = (file: string, unit = 'm', axes = '{ forward: "+x", up: "+y" }') => ({
  rig: null,
  views: null,
  landmarks_3d: `{ file: ${file}, frame_rate_hz: 100, unit: ${unit}, axes: ${axes}, sd_m: 0.001 }`,
});
const load = (text: string, study?: Study) => loadRecording(write(folder, 'set/recording.yaml', text), study);
const fault = (text: string) => dataError(() => load(text));

describe('a recording with views', () => {
  const data = load(recording());

  test('in SI units, paths resolved', () => {
    expect(data.recording).toMatchObject({
      id: 'A01-raised-1',
      date: '2026-03-04',
      athlete: { id: 'A01', sex: 'female', massKg: 63, statureM: 1.68 },
      lift: { kind: 'front squat', set: 1, plannedRepetitions: 3, outcome: 'made', grip: 'full', effortRpe: 8 },
      load: { totalKg: 80, bar: { position: 'front rack', lengthM: 2.01, massKg: 15 } },
      shoes: { heelHeightM: 0.02 },
      condition: { heel: 'raised' },
      segments: 'de-leva-1996',
      settings: DEFAULT_SETTINGS,
      synthetic: false,
      forcePlates: [],
    });
    expect(data.recording.source).toMatchObject({
      kind: 'views',
      rig: join(folder, 'rig.json'),
      views: [
        { camera: 'left', keypoints: [join(folder, 'set/left.json')], offsetS: null, readoutS: null },
        { camera: 'right', frameRateHz: 60, offsetS: 0.013, readoutS: 0.018 },
      ],
    });
  });

  test('tracks, rig, digests of every file', () => {
    expect(data.points).toBeNull();
    expect(data.rigJson).toEqual(RIG);
    expect(data.tracks!.map(({ camera, frames, landmarks }) => [camera, frames, landmarks.length])).toEqual([
      ['left', 4, 17],
      ['right', 4, 18],
    ]);
    expect(data.inputs.map(({ file }) => file)).toEqual([
      'recording.yaml',
      'left.json',
      'right.json.gz',
      'right-bar.csv',
      '../rig.json',
    ]);
    for (const { sha256 } of data.inputs) expect(sha256).toMatch(/^[0-9a-f]{64}$/);
  });

  test('the same in JSON, and with fields left empty', () => {
    const json = {
      kneeward: 1,
      recording: 'A01-raised-1',
      athlete: { id: 'A01', mass_kg: 63 },
      lift: { kind: 'squat' },
      load: { total_kg: 0 },
      rig: '../rig.json',
      views: [{ camera: 'left', keypoints: ['left.json'], frame_rate_hz: 60 }],
    };
    const read = loadRecording(write(folder, 'set/recording.json', JSON.stringify(json, null, '\t'))).recording;
    expect(read).toMatchObject({
      date: null,
      athlete: { sex: 'unknown', statureM: null },
      load: { totalKg: 0, bar: { position: 'none', lengthM: null, massKg: null } },
      shoes: { heelHeightM: null },
      condition: {},
    });
    expect(load(recording({ shoes: '', condition: '', date: '' })).recording.date).toBeNull();
  });

  test('force plates in rig-world axes, or in axes of their own', () => {
    const forcePlates = 'force_plates:\n  - { file: force.csv, foot: left, frame_rate_hz: 100 }\n';
    expectAllClose(load(recording({}, forcePlates)).forcePlates[0].force.slice(0, 3), [1, 300, 2], 0);
    const turned = load(recording({}, `${forcePlates}force_axes: { forward: "-x", up: "+y" }\n`));
    expectAllClose(turned.forcePlates[0].force.slice(0, 3), [-1, 300, -2], 0);
  });
});

describe('a recording with 3D points', () => {
  test('lab axes and metres', () => {
    const data = load(recording(points('points.csv')));
    expect(data.tracks).toBeNull();
    expect(data.rigJson).toBeNull();
    expect(data.points).toMatchObject({ frames: 21, frameRateHz: 100, sdM: 0.001 });
  });

  test('millimetres, z up, facing −y', () => {
    const file = moved(stickLifter(21), (x, y, z) => [-1000 * z, -1000 * x, 1000 * y]);
    write(folder, 'set/turned.csv', pointsCsv(file));
    const data = load(recording(points('turned.csv', 'mm', '{ forward: "-y", up: "+z" }')));
    const straight = load(recording(points('points.csv')));
    expectAllClose(data.points!.position, straight.points!.position, 1e-12);
  });
});

describe('settings: default, study, recording', () => {
  const study: Study = {
    file: 'study.yaml',
    id: 'S',
    title: 'S',
    synthetic: true,
    seed: 7,
    recordings: [],
    settings: {
      ...DEFAULT_SETTINGS,
      gapLimitS: 0.1,
      seed: 7,
      smoothing: { kind: 'fixed', legsHz: 8, trunkHz: 4, barHz: 2 },
    },
  };
  const settings = (text: string, of?: Study) => load(recording({}, text), of).recording.settings;

  test('a study holds unless the recording says otherwise; its invented data stay marked', () => {
    expect(settings('', study)).toEqual(study.settings);
    expect(settings('settings: { minimum_confidence: 0.5 }', study)).toEqual({
      ...study.settings,
      minimumConfidence: 0.5,
    });
    expect(load(recording(), study).recording.synthetic).toBe(true);
    expect(load(recording({}, 'synthetic: true')).recording.synthetic).toBe(true);
  });

  test.each([
    ['residual', { kind: 'residual' }],
    ['none', { kind: 'none' }],
    ['5', { kind: 'fixed', legsHz: 5, trunkHz: 5, barHz: 5 }],
    ['{ legs: 10, bar: 1 }', { kind: 'fixed', legsHz: 10, trunkHz: 4, barHz: 1 }],
  ])('cutoff_hz: %s', (written, smoothing) => {
    expect(settings(`settings: { smoothing: { cutoff_hz: ${written} } }`, study).smoothing).toEqual(smoothing);
  });
});

describe('what is refused: file, line, field, value', () => {
  const view = (keypoints: string, more = '', camera = 'right') =>
    `\n  - { camera: left, keypoints: [left.json], frame_rate_hz: 60 }\n  - { camera: ${camera}, keypoints: ${keypoints}, frame_rate_hz: 60${more} }`;
  const athlete = (massKg: string, more = '') => ({ athlete: `{ id: A, mass_kg: ${massKg}${more} }` });

  test.each<[string, string, string, Record<string, unknown>]>([
    [
      'misspelt field',
      recording({ athlete: '{ id: A, mas_kg: 63 }' }),
      'unknown-field',
      { line: 4, field: 'athlete.mas_kg', suggestion: 'mass_kg' },
    ],
    [
      'misspelt at the top',
      recording({ shoes: null }, 'shoos: { }\n'),
      'unknown-field',
      { line: 13, field: 'shoos', suggestion: 'shoes' },
    ],
    ['a field of every object', recording({}, '__proto__: { a: 1 }\n'), 'unknown-field', { field: '__proto__' }],
    ['no body mass', recording({ athlete: '{ id: A }' }), 'missing-field', { line: 4, field: 'athlete.mass_kg' }],
    ['no load', recording({ load: null }), 'load-missing', { field: 'load' }],
    ['an empty load', recording({ load: '' }), 'load-missing', { field: 'load' }],
    [
      '0 kg',
      recording(athlete('0')),
      'out-of-range',
      { line: 4, field: 'athlete.mass_kg', value: 0, low: 20, high: 300 },
    ],
    ['negative mass', recording(athlete('-63')), 'out-of-range', { value: -63 }],
    ['grams', recording(athlete('63000')), 'out-of-range', { value: 63000, high: 300 }],
    [
      'a decimal comma within { }',
      recording({ athlete: '{ id: A, mass_kg: 63,5, stature_m: 1.68 }' }),
      'decimal-comma',
      { line: 4, field: 'mass_kg', meant: '63.5' },
    ],
    [
      'a decimal comma in a factor, its zero kept',
      recording({ condition: '{ heel_cm: 2,05 }' }),
      'decimal-comma',
      { field: 'heel_cm', meant: '2.05' },
    ],
    [
      'a decimal comma of a negative number, over lines',
      recording({ condition: '{ a: 1, tilt: -0\n  ,5 }' }),
      'decimal-comma',
      { field: 'tilt', meant: '-0.5' },
    ],
    [
      'a decimal comma in a line of its own',
      recording({ athlete: '\n  id: A\n  mass_kg: 63,5' }),
      'decimal-comma',
      { line: 6, field: 'athlete.mass_kg', meant: '63.5' },
    ],
    ['a misspelt field without a value', recording({}, 'segmnts:\n'), 'unknown-field', { suggestion: 'segments' }],
    [
      'a misspelt field without a value, inside',
      recording({ athlete: '{ id: A, mass_kg: 63, statur_m: }' }),
      'unknown-field',
      { line: 4, field: 'athlete.statur_m' },
    ],
    ['NaN', recording(athlete('.nan')), 'wrong-type', { field: 'athlete.mass_kg', value: 'NaN' }],
    ['text for a number', recording(athlete('"63"')), 'wrong-type', { field: 'athlete.mass_kg', value: '"63"' }],
    [
      'number for text',
      recording({ athlete: '{ id: 1, mass_kg: 63 }' }),
      'wrong-type',
      { field: 'athlete.id', value: '1' },
    ],
    [
      'stature in cm',
      recording(athlete('63', ', stature_m: 168')),
      'out-of-range',
      { field: 'athlete.stature_m', low: 1, high: 2.5 },
    ],
    [
      'another sex',
      recording(athlete('63', ', sex: femal')),
      'not-a-choice',
      { field: 'athlete.sex', suggestion: 'female' },
    ],
    ['601 kg', recording({ load: '{ total_kg: 601 }' }), 'out-of-range', { field: 'load.total_kg', high: 600 }],
    ['load nowhere', recording({ load: '{ total_kg: 80 }' }), 'load-without-position', { totalKg: 80 }],
    [
      'load at none',
      recording({ load: '{ total_kg: 80, bar: { position: none } }' }),
      'load-without-position',
      { totalKg: 80 },
    ],
    [
      'bar heavier than all',
      recording({ load: '{ total_kg: 10, bar: { position: hands, mass_kg: 20 } }' }),
      'bar-heavier-than-load',
      { barKg: 20, totalKg: 10 },
    ],
    [
      'unknown segment table',
      recording({ segments: 'de-leva' }),
      'not-a-choice',
      { field: 'segments', suggestion: 'de-leva-1996' },
    ],
    [
      'frame rate',
      recording({ views: view('[right.json.gz]').replace('60', '6000') }),
      'out-of-range',
      { line: 11, field: 'views[0].frame_rate_hz', low: 10, high: 2000 },
    ],
    ['a name that is no folder', recording({ recording: '../up' }), 'not-a-name', { field: 'recording' }],
    [
      'a factor with dots',
      recording({ condition: '{ heel.height: 2 }' }),
      'not-a-name',
      { field: 'condition.heel.height' },
    ],
    ['a factor that is a list', recording({ condition: '{ heel: [1] }' }), 'wrong-type', { field: 'condition.heel' }],
    ['a day', recording({ date: '4.3.2026' }), 'not-a-name', { field: 'date' }],
    ['a day that never was', recording({ date: '2026-02-30' }), 'not-a-name', { field: 'date', value: '"2026-02-30"' }],
    [
      'a cut-off group',
      recording({}, 'settings: { smoothing: { cutoff_hz: { leg: 6 } } }'),
      'unknown-field',
      { field: 'settings.smoothing.cutoff_hz.leg', suggestion: 'legs' },
    ],
    [
      'a cut-off',
      recording({}, 'settings: { smoothing: { cutoff_hz: 100 } }'),
      'out-of-range',
      { field: 'settings.smoothing.cutoff_hz', value: 100, low: 0.5, high: 50 },
    ],
    [
      'a cut-off of a group',
      recording({}, 'settings: { smoothing: { cutoff_hz: { legs: 0 } } }'),
      'out-of-range',
      { field: 'settings.smoothing.cutoff_hz.legs', low: 0.5 },
    ],
    [
      'a word for a cut-off',
      recording({}, 'settings: { smoothing: { cutoff_hz: auto } }'),
      'wrong-type',
      { field: 'settings.smoothing.cutoff_hz', value: '"auto"' },
    ],
    ['version', recording({ kneeward: '2' }), 'manifest-version', { line: 1, version: '2' }],
    ['no version', recording({ kneeward: null }), 'missing-field', { field: 'kneeward' }],
    ['broken YAML', recording({ athlete: '{ id: A' }), 'manifest-syntax', {}],
    ['a field twice', recording({}, 'segments: de-leva-1996\n'), 'field-twice', { line: 14, field: 'segments' }],
    ['an alias without anchor', recording({ segments: '*table' }), 'manifest-syntax', {}],
    ['a list', '- 1\n- 2\n', 'manifest-not-a-map', {}],
    ['text', 'hello\n', 'manifest-not-a-map', {}],
    [
      'a study',
      'kneeward: 1\nstudy: S\nrecordings: ["*"]\n',
      'wrong-manifest',
      { found: 'study', expected: 'recording' },
    ],
    ['no source', recording({ rig: null, views: null }), 'no-source', {}],
    ['views without rig', recording({ rig: null }), 'rig-and-views', { missing: 'rig' }],
    ['rig without views', recording({ views: null }), 'rig-and-views', { missing: 'views' }],
    ['points beside views', recording({ landmarks_3d: points('points.csv').landmarks_3d }), 'both-sources', {}],
    [
      'both axes on one',
      recording(points('points.csv', 'm', '{ forward: "-y", up: "+y" }')),
      'same-axis',
      { field: 'landmarks_3d.axes', forward: '-y', up: '+y' },
    ],
    [
      'force axes on one',
      recording({}, 'force_axes: { forward: "+z", up: "-z" }'),
      'same-axis',
      { field: 'force_axes' },
    ],
    [
      'force axes beside points',
      recording(points('points.csv'), 'force_axes: { forward: "+x", up: "+z" }'),
      'force-axes-with-points',
      {},
    ],
    [
      'one camera twice',
      recording({ views: view('[right.json.gz]', '', 'left') }),
      'duplicate-view',
      { camera: 'left' },
    ],
    ['one file twice', recording({ views: view('[./left.json]') }), 'duplicate-view', { camera: 'right' }],
    ['one file copied', recording({ views: view('[same.json]') }), 'duplicate-view', { camera: 'right' }],
    [
      'unequal frame counts',
      recording({ views: view('[short.json]') }),
      'unequal-frame-counts',
      { framesA: 4, framesB: 3 },
    ],
    [
      'missing keypoints',
      recording({ views: view('[rigth.json]') }),
      'file-missing',
      { suggestion: 'right.json.gz', field: 'views[1].keypoints[0]', recording: join(folder, 'set/recording.yaml') },
    ],
    [
      'missing rig',
      recording({ rig: '../rigg.json' }),
      'file-missing',
      { suggestion: 'rig.json', field: 'rig', line: 9 },
    ],
    [
      'nobody sure',
      recording({ views: view('[unsure.json]') }),
      'no-confident-landmark',
      { camera: 'right', best: 0.1 },
    ],
    ['truncated JSON', recording({ views: view('[cut.json]') }), 'json-truncated', { characters: 500 }],
    ['millimetres as metres', recording(points('millimetres.csv')), 'segment-outside-human-range', { unit: 'mm' }],
    ['upside down', recording(points('points.csv', 'm', '{ forward: "+x", up: "-y" }')), 'upside-down-axes', {}],
    ['empty CSV', recording(points('empty.csv')), 'csv-no-rows', {}],
    ['NaN everywhere', recording(points('nan.csv')), 'nothing-seen', {}],
    [
      'a force plate twice',
      recording(
        points('points.csv'),
        'force_plates: [{ file: force.csv, foot: left, frame_rate_hz: 100 }, { file: force.csv, foot: right, frame_rate_hz: 100 }]',
      ),
      'duplicate-force-plate',
      {},
    ],
    [
      'a force plate at another time',
      recording(points('points.csv'), 'force_plates: [{ file: late.csv, foot: left, frame_rate_hz: 100 }]'),
      'force-plate-no-overlap',
      { firstS: 60, toS: 0.2 },
    ],
  ])('%s', (_, text, code, facts) => {
    const error = fault(text);
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject(facts);
    expect(error.message).toMatch(/\.(yaml|json|csv)/);
    expect(error.message).not.toMatch(/undefined|\[object|NaN (?:to|and)/);
  });

  test('unequal counts are allowed where a view states its offset, or where the rates differ', () => {
    expect(load(recording({ views: view('[short.json]', ', offset_s: 0') })).tracks).toHaveLength(2);
    expect(load(recording({ views: view('[short.json]', ', frames: 4') })).tracks![1].frames).toBe(4);
    const other = view('[short.json]').replace(/60 }$/, '50 }');
    expect(load(recording({ views: other })).tracks).toHaveLength(2);
  });

  test('mirrored points', () => {
    write(folder, 'set/mirrored.csv', pointsCsv(moved(stickLifter(21), (x, y, z) => [x, y, -z])));
    expect(fault(recording(points('mirrored.csv'))).code).toBe('mirrored-sides');
  });

  test('a recording that is not there', () => {
    write(folder, 'set/recording.yaml', recording());
    const error = dataError(() => loadRecording(join(folder, 'set/recordng.yaml')));
    expect(error).toMatchObject({ code: 'file-missing', facts: { suggestion: 'recording.yaml' } });
  });
});
