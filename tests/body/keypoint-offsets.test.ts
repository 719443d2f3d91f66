import { describe, expect, test } from '@jest/globals';
import { KNOWN_DETECTORS, OFFSET_POINTS, offsetPointOf, offsetTable } from '../../src/body/keypoint-offsets.ts';

describe('offsets of keypoints', () => {
  test.each(KNOWN_DETECTORS)(
    '%s: every point has a finite mean and a positive standard deviation, and a source',
    (name) => {
      const table = offsetTable(name, 'views');
      expect(table.detector).toBe(name);
      expect(table.notes).toEqual([]);
      expect(table.source.length).toBeGreaterThan(10);
      for (const point of OFFSET_POINTS) {
        const { meanM, sdM } = table.offsets[point];
        for (let axis = 0; axis < 3; axis++) {
          expect(Number.isFinite(meanM[axis])).toBe(true);
          expect(sdM[axis]).toBeGreaterThan(0.003);
          expect(sdM[axis]).toBeLessThan(0.03);
        }
      }
    },
  );

  test('views are taken for a pose network’s, 3D points for markers at the joints', () => {
    expect(offsetTable(null, 'views').detector).toBe('pose network');
    expect(offsetTable(undefined, 'landmarks_3d').detector).toBe('joint markers');
  });

  test('names are known however they are written', () => {
    expect(offsetTable(' Trochanter-Markers', 'landmarks_3d').detector).toBe('trochanter markers');
    expect(offsetTable('hand_digitised', 'views').detector).toBe('hand digitised');
  });

  test('an unknown name gets the widest table and a note with the known names', () => {
    const table = offsetTable('my own eyes', 'landmarks_3d');
    expect(table.detector).toBe('pose network');
    expect(table.notes).toHaveLength(1);
    for (const name of KNOWN_DETECTORS) expect(table.notes[0]).toContain(name);
  });

  test('trochanter markers 0.367 m apart lie as far outside centres 0.175 m apart as the table says', () => {
    // Distance of the markers: the open deadlift data; of the centres: common practice, no source.
    const { meanM, sdM } = offsetTable('trochanter markers', 'landmarks_3d').offsets.hip;
    expect(Math.abs((0.367 - 0.175) / 2 - meanM[2])).toBeLessThan(sdM[2] / 2);
    expect(meanM[0]).toBe(0);
  });

  test('a landmark belongs to a point and a side, or to none', () => {
    expect(offsetPointOf('left_big_toe')).toEqual({ point: 'big_toe', side: 'left' });
    expect(offsetPointOf('right_hip')).toEqual({ point: 'hip', side: 'right' });
    expect(offsetPointOf('bar_left_end')).toBeNull();
    expect(offsetPointOf('nose')).toBeNull();
    expect(offsetPointOf('left_eye')).toBeNull();
  });
});
