import { expect, test } from '@jest/globals';
import { calibrationPointsCsv, calibrationViewsCsv } from '../../src/study/calibration-tables.ts';
import { makeCalibration } from '../report/make-calibration.ts';

const made = makeCalibration({ points: 20 });

test('calibration-points.csv: one row a point, with units in the names', () => {
  const lines = calibrationPointsCsv(made).trimEnd().split('\n');
  expect(lines[0]).toBe('camera,image,point,u_px,v_px,residual_u_px,residual_v_px,used');
  expect(lines).toHaveLength(1 + 40);
  const [camera, image, point, u, , du, , used] = lines[6].split(',');
  const one = made.observations[5];
  expect([camera, image, point, used]).toEqual(['phone A', 'place 6', '5', 'false']);
  expect(Math.abs(Number(u) - one.u)).toBeLessThan(1e-3);
  expect(Math.abs(Number(du) - one.du)).toBeLessThan(1e-6);
});

test('points without names and views without boards leave their cells empty', () => {
  const { point: _, ...bare } = made.observations[0];
  expect(
    calibrationPointsCsv({ observations: [bare] })
      .split('\n')[1]
      .split(',')[2],
  ).toBe('');
  const csv = calibrationViewsCsv({ views: [{ ...made.views[0], tiltDeg: null }], dropped: [] });
  expect(csv.split('\n')[1]).toBe('phone A,place 1,12,0.4,,true,');
});

test('calibration-views.csv: dropped views follow with their reason, quoted where it has a comma', () => {
  const lines = calibrationViewsCsv(made).trimEnd().split('\n');
  expect(lines[0]).toBe('camera,image,points,rms_px,tilt_deg,used,reason');
  expect(lines).toHaveLength(1 + 20 + 1);
  expect(lines[21]).toBe('phone A,place 11,,,,false,"4 corners found, at least 6 are needed"');
});

test('no word for an unknown number', () => {
  expect(calibrationPointsCsv(made) + calibrationViewsCsv(made)).not.toMatch(/NaN|null|undefined/);
});
