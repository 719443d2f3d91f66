import { gzipSync } from 'node:zlib';
import { describe, expect, test } from '@jest/globals';
import fc from 'fast-check';
import { readKeypointCsv } from '../../src/capture/keypoint-csv.ts';
import { LANDMARKS } from '../../src/capture/landmarks.ts';
import { readPoints } from '../../src/capture/points-csv.ts';
import type { PointsSource } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { expectAllClose } from '../expect-close.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const source = (file: string, more: Partial<PointsSource> = {}): PointsSource => ({
  kind: 'landmarks_3d',
  file,
  frameRateHz: 100,
  unit: 'm',
  axes: { forward: '+x', up: '+y' },
  sdM: null,
  ...more,
});
const points = (rows: string[], more: Partial<PointsSource> = {}) =>
  readPoints(source(write(folder, 'points.csv', ['frame,landmark,x,y,z', ...rows].join('\n')), more), null);
const keypoints = (rows: string[]) =>
  readKeypointCsv(write(folder, 'bar.csv', ['frame,landmark,x_px,y_px,confidence', ...rows].join('\n')), null);

describe('3D points', () => {
  test('any order of rows; frames left out, empty and NaN cells are occluded', () => {
    const track = points(['2,right_hip,4,5,6', '0,left_hip,1,2,3', '2,left_hip,7,,9', '0,right_hip,NaN,1,1']);
    expect(track.landmarks).toEqual(['left_hip', 'right_hip']);
    expect(track.frames).toBe(3);
    const { seen, occluded } = SampleStatus;
    expect([...track.status]).toEqual([seen, occluded, occluded, occluded, occluded, seen]);
    expect([...track.position.slice(0, 3), ...track.position.slice(15)]).toEqual([1, 2, 3, 4, 5, 6]);
    expect(track.position.filter(Number.isNaN)).toHaveLength(12);
  });

  test('unit and axes', () => {
    const track = points(['0,left_hip,-120,30,900'], { unit: 'mm', axes: { forward: '-y', up: '+z' } });
    expectAllClose(track.position, [-0.03, 0.9, 0.12], 1e-15);
  });

  test('compressed', () => {
    const file = write(folder, 'points.csv.gz', gzipSync('frame,landmark,x,y,z\n0,left_hip,1,2,3\n'));
    expect([...readPoints(source(file), null).position]).toEqual([1, 2, 3]);
  });

  test('what is written is read back', () => {
    const coordinate = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    const row = fc.record({
      frame: fc.nat(40),
      landmark: fc.constantFrom(...LANDMARKS),
      xyz: fc.tuple(coordinate, coordinate, coordinate),
    });
    const rows = fc.uniqueArray(row, {
      minLength: 1,
      maxLength: 30,
      selector: ({ frame, landmark }) => `${frame} ${landmark}`,
    });
    fc.assert(
      fc.property(rows, (written) => {
        const track = points(written.map(({ frame, landmark, xyz }) => [frame, landmark, ...xyz].join(',')));
        expect(track.status.filter((code) => code === SampleStatus.seen)).toHaveLength(written.length);
        for (const { frame, landmark, xyz } of written) {
          const at = 3 * (frame * track.landmarks.length + track.landmarks.indexOf(landmark));
          expectAllClose(track.position.slice(at, at + 3), xyz, 0);
        }
      }),
      { numRuns: 100, seed: 3 },
    );
  });

  test.each([
    [['0,left_hpi,1,2,3'], 'unknown-landmark', { line: 2, name: 'left_hpi', suggestion: 'left_hip' }],
    [
      ['0,left_hip,1,2,3', '1,left_hip,1,2,3', '0,left_hip,4,5,6'],
      'duplicate-sample',
      { line: 4, firstLine: 2, frame: 0 },
    ],
    [['0,left_hip,1,inf,3'], 'csv-infinite', { line: 2, column: 'y' }],
    [['-1,left_hip,1,2,3'], 'csv-not-a-count', { line: 2, column: 'frame' }],
    [['1000000,left_hip,1,2,3'], 'too-many-frames', { frame: 1000000 }],
    [['0,left_hip,,,', '1,left_hip,NaN,NaN,NaN'], 'nothing-seen', {}],
    [[], 'csv-no-rows', {}],
  ])('%j: %s', (rows, code, facts) => {
    const error = dataError(() => points(rows));
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject(facts);
    expect(error.message).toContain('points.csv');
  });
});

describe('keypoints in CSV', () => {
  test('frames, confidence, missing points', () => {
    const track = keypoints([
      '0,bar_right_end,1000.5,20,0.8',
      '2,bar_right_end,,,',
      '3,bar_right_end,5,6,0',
      '1,bar_right_end,7,8,1.2',
    ]);
    expect(track.frames).toBe(4);
    expect([...track.pixel]).toEqual([1000.5, 20, 7, 8, NaN, NaN, NaN, NaN]);
    expect([...track.confidence]).toEqual([0.8, 1, 0, 0]);
  });

  test.each([
    [['0,bar_end,1,2,1'], 'unknown-landmark', { line: 2 }],
    [['0,bar_left_end,1,2,'], 'confidence-missing', { line: 2 }],
    [['0,bar_left_end,1,2,95'], 'confidence-range', { value: 95 }],
    [['0,bar_left_end,1,2,-1'], 'confidence-range', { value: -1 }],
  ])('%j: %s', (rows, code, facts) => {
    const error = dataError(() => keypoints(rows));
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject(facts);
  });
});
