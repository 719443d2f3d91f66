import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import { loadRecording } from '../../../src/capture/load-recording.ts';
import { DEFAULT_SETTINGS } from '../../../src/capture/recording.ts';
import { readRecordingFile } from '../../../src/capture/recording-file.ts';
import { SampleStatus } from '../../../src/capture/sample-status.ts';
import { expectClose } from '../../expect-close.ts';
import { stickLifter } from '../stick-lifter.ts';
import { dataError, temporaryFolder, write } from '../written-files.ts';
import { footLoad, LABELS, lifterC3d } from './lifter-file.ts';

const folder = temporaryFolder();
const labels = (change: Readonly<Record<string, string>> = {}) =>
  `{ ${Object.entries({ ...LABELS, ...change })
    .map(([name, label]) => `${name}: ${label.startsWith('[') ? label : `"${label}"`}`)
    .join(', ')} }`;

let count = 0;

/** Writes a recording with its C3D file and loads it. */
function load(bytes: Uint8Array, c3d: string, rest = '') {
  const name = `trial-${++count}`;
  write(folder, `${name}.c3d`, bytes);
  const text = `kneeward: 1
recording: ${name}
athlete: { id: X, mass_kg: 78 }
lift: { kind: squat }
load: { total_kg: 0 }
c3d: { file: ${name}.c3d, ${c3d} }
${rest}`;
  return loadRecording(write(folder, `${name}.yaml`, text));
}

const AXES = 'axes: { forward: "-y", up: "+z" }';
const usual = `labels: ${labels()}, ${AXES}`;
const withPlates = (first = '', second = '') =>
  `${usual}, force_plates: [{ number: 1, foot: left${first} }, { number: 2, foot: right${second} }]`;

describe('points', () => {
  test('by the label map, in metres and lab axes; the rate is that of the file', () => {
    const { points, recording } = load(lifterC3d(), `${usual}, sd_m: 0.001`);
    const stick = stickLifter(300);
    expect(points).toMatchObject({ frames: 300, frameRateHz: 100, sdM: 0.001 });
    expect([...points!.landmarks].sort()).toEqual([...stick.landmarks].sort());
    expect(recording.source).toMatchObject({ kind: 'landmarks_3d', frameRateHz: 100, unit: 'mm' });
    for (let frame = 0; frame < 300; frame += 37) {
      stick.landmarks.forEach((name, column) => {
        const at = points!.landmarks.indexOf(name);
        for (let k = 0; k < 3; k++) {
          const found = points!.position[3 * (frame * points!.landmarks.length + at) + k];
          // float32 millimetres up to 1500: half a unit in the last place is 6e-5 mm.
          const expected = stick.position[3 * (frame * stick.landmarks.length + column) + k];
          expectClose(found, expected, 1e-7, `${name}, frame ${frame}`);
        }
      });
    }
  });

  test('in metres where the file says so', () => {
    const [metres, millimetres] = [lifterC3d({ unit: 'm' }), lifterC3d()].map((bytes) => load(bytes, usual).points!);
    expectClose(metres.position[0], millimetres.position[0], 1e-7, 'first coordinate');
  });

  test('a point with negative residual is occluded', () => {
    const { points } = load(lifterC3d({ missing: [7, 8] }), usual);
    const column = points!.landmarks.indexOf('left_knee');
    const status = (frame: number) => points!.status[frame * points!.landmarks.length + column];
    expect([6, 7, 8, 9].map(status)).toEqual(
      [0, 1, 1, 0].map((gone) => (gone ? SampleStatus.occluded : SampleStatus.seen)),
    );
    expect(points!.position[3 * (7 * points!.landmarks.length + column)]).toBeNaN();
  });

  test('a list of labels is their mean; unmapped labels are named in the notes', () => {
    const { points, notes } = load(lifterC3d(), `labels: ${labels({ nose: '[LEAR, REAR]' })}, ${AXES}`);
    const at = (name: 'nose' | 'left_ear' | 'right_ear', k: number) =>
      points!.position[3 * points!.landmarks.indexOf(name) + k];
    for (let k = 0; k < 3; k++)
      expectClose(at('nose', k), (at('left_ear', k) + at('right_ear', k)) / 2, 1e-12, `axis ${k}`);
    expect(notes).toHaveLength(2);
    expect(notes![1]).toContain('NOSE, CAL1, CAL1');
  });
});

describe('what is wrong with the points is said', () => {
  test('a label that is not there: the nearest ones', () => {
    const error = dataError(() => load(lifterC3d(), `labels: ${labels({ left_hip: 'LHP' })}, ${AXES}`));
    expect(error).toMatchObject({
      code: 'c3d-label',
      facts: { landmark: 'left_hip', label: 'LHP', suggestion: 'LHIP' },
    });
  });
  test('a label that stands twice, and how to say which', () => {
    const twice = `labels: ${labels({ nose: 'CAL1' })}, ${AXES}`;
    expect(dataError(() => load(lifterC3d(), twice))).toMatchObject({ code: 'c3d-label-twice', facts: { points: 2 } });
    const { points } = load(lifterC3d(), `labels: ${labels({ nose: 'CAL1#2' })}, ${AXES}`);
    expect(points!.landmarks).toContain('nose');
  });
  test('one point for two landmarks', () => {
    const error = dataError(() => load(lifterC3d(), `labels: ${labels({ left_hip: 'RHIP' })}, ${AXES}`));
    expect(error).toMatchObject({ code: 'c3d-point-shared', facts: { first: 'left_hip', second: 'right_hip' } });
  });
  test('a name that is no landmark', () => {
    const error = dataError(() => load(lifterC3d(), `labels: ${labels({ left_hipp: 'LHIP' })}, ${AXES}`));
    expect(error).toMatchObject({ code: 'unknown-landmark', facts: { suggestion: 'left_hip' } });
  });
  test('a unit that contradicts the file', () => {
    const error = dataError(() => load(lifterC3d(), `${usual}, unit: m`));
    expect(error).toMatchObject({ code: 'c3d-unit-contradicted', facts: { inFile: 'mm', stated: 'm' } });
  });
  test('axes on their side', () => {
    expect(dataError(() => load(lifterC3d(), `labels: ${labels()}, axes: { forward: "-y", up: "+x" }`)).code).toBe(
      'sideways-axes',
    );
  });
  test('beside another source', () => {
    const rest = 'landmarks_3d: { file: p.csv, frame_rate_hz: 100, unit: m, axes: { forward: "+x", up: "+y" } }';
    expect(dataError(() => load(lifterC3d(), usual, rest)).code).toBe('both-sources');
  });
  test('no C3D file at all', () => {
    expect(dataError(() => load(new TextEncoder().encode('frame,landmark,x,y,z\n'), usual)).code).toBe('c3d-foreign');
  });
});

describe('force plates', () => {
  test('force on the body, centre of pressure, free moment, time', () => {
    const { forcePlates } = load(lifterC3d(), withPlates(', offset_s: 0.25'));
    expect(forcePlates.map(({ foot, samples, frameRateHz }) => [foot, samples, frameRateHz])).toEqual([
      ['left', 300, 100],
      ['right', 300, 100],
    ]);
    expectClose(forcePlates[0].timeS[10], 0.35, 1e-12, 'time of sample 10');
    for (const { foot, force, centreOfPressure, freeMoment } of forcePlates) {
      for (let frame = 0; frame < 300; frame += 23) {
        const truth = footLoad(foot as 'left' | 'right', frame);
        for (let k = 0; k < 3; k++) {
          // float32 channels: newtons to 3e-5, N·mm to 4e-3, which is 1e-8 m under 380 N.
          expectClose(force[3 * frame + k], truth.force[k], 1e-4, `${foot} force ${k}, frame ${frame}`);
          expectClose(centreOfPressure[3 * frame + k], truth.place[k], 1e-6, `${foot} place ${k}, frame ${frame}`);
        }
        expectClose(freeMoment[frame], truth.freeNm, 1e-4, `${foot} free moment, frame ${frame}`);
      }
    }
  });

  test('of a file that holds the force on the force plate: refused, and taken when told', () => {
    const bytes = lifterC3d({ forceSign: -1 });
    expect(dataError(() => load(bytes, withPlates())).code).toBe('force-plate-downward');
    const turn = ', force: on the force plate';
    const { forcePlates } = load(bytes, withPlates(turn, turn));
    expectClose(forcePlates[0].force[1], footLoad('left', 0).force[1], 1e-4, 'vertical force');
  });

  test('an offset is taken off only when told, by the frames of the file or by times', () => {
    const bytes = lifterC3d({ emptyFrames: 30, offsetN: 40 });
    const vertical = (c3d: string, frame: number) => load(bytes, c3d).forcePlates[0].force[3 * frame + 1];
    const truth = footLoad('left', 100).force[1];
    // Fz of the plate points down: +40 N there is −40 N upward.
    expectClose(vertical(withPlates(), 100), truth - 40, 1e-4, 'as measured');
    expectClose(vertical(withPlates(', unloaded: file'), 100), truth, 1e-4, 'frames of the file');
    expectClose(vertical(withPlates(', unloaded: { from_s: 0, to_s: 0.2 }'), 100), truth, 1e-4, 'from 0 to 0.2 s');
    expect(load(bytes, withPlates(', unloaded: file')).notes!.some((note) => note.includes('-40.0 N'))).toBe(true);
  });

  test('no offset while somebody stands there', () => {
    expect(dataError(() => load(lifterC3d(), withPlates(', unloaded: file'))).code).toBe('c3d-unloaded-loaded');
  });

  test.each([
    ['a stretch outside the recording', ', unloaded: { from_s: 5, to_s: 9 }', 'c3d-unloaded-outside'],
    ['a stretch the wrong way round', ', unloaded: { from_s: 2, to_s: 1 }', 'c3d-unloaded-outside'],
  ])('%s is refused', (_, first, code) => {
    expect(dataError(() => load(lifterC3d(), withPlates(first))).code).toBe(code);
  });

  test('one that the file does not have, and one named twice', () => {
    const plate = (number: number) =>
      `${usual}, force_plates: [{ number: 1, foot: left }, { number: ${number}, foot: right }]`;
    expect(dataError(() => load(lifterC3d(), plate(3))).code).toBe('c3d-force-plate-missing');
    expect(dataError(() => load(lifterC3d(), plate(1))).code).toBe('duplicate-force-plate');
  });

  test('moments in a unit 1000 times off: the centre of pressure lies outside the force plate', () => {
    const bytes = lifterC3d();
    const text = Buffer.from(bytes).toString('latin1').replaceAll('Nmm', 'Nm ');
    expect(dataError(() => load(Buffer.from(text, 'latin1'), withPlates())).code).toBe('c3d-force-plate-off');
  });
});

test('the recording of docs/method/c3d.md is accepted', () => {
  const text = readFileSync(new URL('../../../docs/method/c3d.md', import.meta.url), 'utf8');
  const [block] = [...text.matchAll(/```yaml\n(.*?)```/gs)].map((found) => found[1]);
  const recording = readRecordingFile(write(folder, 'documented.yaml', block), DEFAULT_SETTINGS, null);
  expect(recording.forcePlates.map(({ c3d }) => c3d!.unloaded)).toEqual([{ fromS: 0, toS: 0.5 }, 'file']);
  expect(recording.source).toMatchObject({ c3d: { labels: { left_knee: ['LKNE', 'LKNM'] }, unit: null } });
});
