import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import { gradeRig, LIFTER_SPACE_M, RIG_QUALITY_NAMES, rigLimits, volumeCovered } from '../../src/cameras/acceptance.ts';
import type { CameraQuality, MeasuredQuality, RigQuality } from '../../src/cameras/rig.ts';
import { DataError } from '../../src/errors.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { camera } from './synthetic-cameras.ts';

const json = JSON.parse(readFileSync(new URL('../../calibration/acceptance.json', import.meta.url), 'utf8'));
const limits = rigLimits(json, 'calibration/acceptance.json');
const limitOf = (name: string) => limits.find((limit) => limit.name === name)!;

const one = (name: string, changes: Partial<CameraQuality> = {}): CameraQuality => ({
  camera: name,
  reprojectionRmsPx: 0.3,
  points: 500,
  views: 20,
  focalSdPx: 2,
  principalPointSdPx: 2,
  placeSdM: 0.005,
  directionSdDeg: 0.05,
  coverage: 0.7,
  tiltRangeDeg: 60,
  clock: { offsetS: 0.01, halfWidth95S: 0.001, drift: null },
  ...changes,
});
const full: MeasuredQuality = {
  cameras: [one('left', { placeSdM: null, directionSdDeg: null, clock: null }), one('right')],
  heldOutLength: { what: 'boards', rmsM: 0.001, share: 0.002, count: 100 },
  vertical: { from: 'plumb line', halfWidth95Deg: 0.3 },
  scale: { sdShare: 0.001, causes: { board: 0.001 } },
  volumeM: [-1.1, 0, -0.5, 1.1, 2, 0.5],
  covariance: null,
};
const cameras = [camera({ name: 'left' }), camera({ name: 'right' })];
const rigWith = (measured: Partial<MeasuredQuality> | undefined, changes: Partial<RigQuality> = {}) => ({
  cameras,
  quality: {
    method: 'board corners',
    reprojectionRmsPx: 0.3,
    pointsUsed: 1000,
    notes: [],
    ...(measured === undefined ? {} : { measured: { ...full, ...measured } }),
    ...changes,
  },
});
const grade = (measured: Partial<MeasuredQuality> | undefined, changes?: Partial<RigQuality>) =>
  gradeRig(rigWith(measured, changes), limits);
const rowOf = (graded: ReturnType<typeof grade>, name: string) => graded.rows.find((row) => row.name === name)!;

function refusal(changed: object) {
  try {
    rigLimits({ ...json, rig_limits: [{ ...json.rig_limits[0], ...changed }] }, 'a.json');
  } catch (error) {
    if (error instanceof DataError) return [error.code, error.facts.place ?? error.facts.name];
    throw error;
  }
  return 'nothing was refused';
}

describe('the limits of rigs', () => {
  test('the published file sets one on everything that can be measured, each with a source and a remedy', () => {
    expect(limits.map(({ name }) => name).sort()).toEqual([...RIG_QUALITY_NAMES].sort());
    for (const { source, remedy, means } of limits) {
      for (const text of [source, remedy, means]) expect(text.length).toBeGreaterThan(20);
    }
  });

  test('one that cannot be used is refused by name', () => {
    expect(refusal({ good: 5 })).toEqual(['rig-limits-invalid', 'reprojection_rms']);
    expect(refusal({ unit: 'm' })).toEqual(['rig-limits-invalid', 'reprojection_rms']);
    expect(refusal({ remedy: undefined })).toEqual(['rig-limits-invalid', 'rig_limits.0.remedy']);
    expect(refusal({ name: 'luck' })).toEqual(['rig-limit-unknown', 'luck']);
    expect(() => rigLimits({}, 'a.json')).toThrow(DataError);
  });

  test('upright: 1° moves the hip share by 0.013, by the geometry that the file states', () => {
    // At parallel hip and knee are level, so their levers add up to the thigh, and both shift by h tan(1°).
    const shift = (0.33 * Math.tan(Math.PI / 180)) / 0.43;
    expectClose(shift, 0.013, 0.0005, 'hip share per degree, to the printed digits');
    expect(limitOf('vertical_half_width').source).toContain('0.013');
  });

  test('direction: at 4 m the limits are those of point_sd (good 10 mm, usable 25 mm), to half a millimetre', () => {
    const pointSd = json.limits.find(({ name }: { name: string }) => name === 'point_sd');
    const { good, usable } = limitOf('direction_sd');
    expectClose(4 * Math.tan((good * Math.PI) / 180), pointSd.good, 0.0005, 'good');
    expectClose(4 * Math.tan((usable * Math.PI) / 180), pointSd.usable, 0.0006, 'usable');
  });

  test('the space of a lifter is as wide as the men’s bar', () => {
    const bars = reference<{ bar: string; lengthM: number }>('body-barbell');
    expect(LIFTER_SPACE_M.along).toBe(bars.cases.find(({ bar }) => bar === 'men')!.lengthM);
  });
});

describe('the grade of a rig', () => {
  test('good where every number is good; what does not apply to the first camera is judged on the second', () => {
    const graded = grade({});
    expect(graded.grade).toBe('good');
    expect(graded.rows.every((row) => row.grade === 'good' && row.remedy === null && row.why === null)).toBe(true);
    expect(rowOf(graded, 'place_sd').camera).toBe('right');
  });

  test('the worst line decides, names its camera, and says what to do', () => {
    const usable = grade({ cameras: [full.cameras[0], one('right', { coverage: 0.3 })] });
    expect(usable.grade).toBe('usable');
    const row = rowOf(usable, 'coverage');
    expect([row.value, row.grade, row.camera]).toEqual([0.3, 'usable', 'right']);
    expect(row.remedy).toBe(limitOf('coverage').remedy);
    const poor = grade({
      vertical: { from: 'eye', halfWidth95Deg: 2 },
      cameras: usable.rows.length > 0 ? full.cameras : [],
    });
    expect(poor.grade).toBe('poor');
  });

  test('a value exactly at its limit keeps it', () => {
    const { good, usable } = limitOf('vertical_half_width');
    const at = (halfWidth95Deg: number) =>
      rowOf(grade({ vertical: { from: 'x', halfWidth95Deg } }), 'vertical_half_width').grade;
    expect([at(good), at(good + 1e-9), at(usable), at(usable + 1e-9)]).toEqual(['good', 'usable', 'usable', 'poor']);
  });

  test('the focal length is judged as part of itself: 15 px of 1500 px are 1 %', () => {
    const row = rowOf(grade({ cameras: [one('left', { focalSdPx: 15 }), one('right')] }), 'focal_sd_share');
    expectClose(row.value!, 0.01, 1e-12, 'share');
    expect([row.camera, row.grade]).toEqual(['left', 'usable']);
  });

  test('what is not known stays unknown with its reason; a needed one keeps the whole from being judged', () => {
    const graded = grade({ vertical: null });
    const row = rowOf(graded, 'vertical_half_width');
    expect([graded.grade, row.grade, row.value]).toEqual(['unknown', 'unknown', null]);
    expect(row.why!.length).toBeGreaterThan(10);
    const noBoards = grade({ cameras: full.cameras.map((x) => ({ ...x, tiltRangeDeg: null, clock: null })) });
    expect(noBoards.grade).toBe('good');
    expect(rowOf(noBoards, 'tilt_range').why).not.toBeNull();
    expect(grade({ vertical: null, scale: { sdShare: 0.5, causes: {} } }).grade).toBe('poor');
  });

  test('a rig without a quality record is unknown throughout, but for its residual', () => {
    const graded = grade(undefined);
    expect(graded.grade).toBe('unknown');
    expect(graded.rows.filter((row) => row.grade !== 'unknown').map(({ name }) => name)).toEqual(['reprojection_rms']);
    expect(grade(undefined, { reprojectionRmsPx: null }).rows.every((row) => row.grade === 'unknown')).toBe(true);
  });
});

describe('the space covered', () => {
  test('is whole for the whole space and for more, whichever way the rig is turned', () => {
    expectClose(volumeCovered([-1.1, 0, -0.5, 1.1, 2, 0.5], true), 1, 1e-12);
    expectClose(volumeCovered([-0.5, 0, -1.1, 0.5, 2, 1.1], true), 1, 1e-12);
    expectClose(volumeCovered([-3, -1, -3, 3, 4, 3], true), 1, 1e-12);
  });

  test('counts each direction by its own part: half the height and half the width are a quarter', () => {
    expectClose(volumeCovered([0, 0, 0, 1.1, 1, 1], true), 0.25, 1e-12);
    // A lying board covers no height, however large it is.
    expect(volumeCovered([-5, 0, -5, 5, 0, 5], true)).toBe(0);
  });

  test('with the vertical unknown, extents are matched by size', () => {
    expectClose(volumeCovered([0, 0, 0, 2, 2.2, 1], false), 1, 1e-12);
    expectClose(volumeCovered([0, 0, 0, 2, 2.2, 1], true), 2 / 2.2, 1e-12);
  });
});
