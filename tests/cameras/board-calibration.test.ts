import { beforeAll, describe, expect, test } from '@jest/globals';
import { calibrationOfBoardRig, RULER_HALF_WIDTH_M } from '../../src/cameras/board-calibration.ts';
import { type BoardRig, calibrateRigFromBoard } from '../../src/cameras/board-rig.ts';
import type { Calibration } from '../../src/cameras/calibration.ts';
import { cameraCentre, projectInto } from '../../src/cameras/camera-model.ts';
import { parseRig, serialiseRig } from '../../src/cameras/rig-file.ts';
import { expectClose } from '../expect-close.ts';
import { CHESSBOARD, CHESSBOARD_SIZE, chessboardImages } from './chessboard-corners.ts';
import { FLOOR_IMAGE, GYM_BOARD, GYM_BOARD_CAMERAS, gymImages, gymPoses } from './gym-board.ts';

describe('the calibration of the chessboard photographs', () => {
  const images = chessboardImages();
  let made: BoardRig;
  let calibration: Calibration;
  beforeAll(async () => {
    const cameras = ['left', 'right'].map((name) => ({ name, imageSize: CHESSBOARD_SIZE }));
    made = await calibrateRigFromBoard(images, CHESSBOARD, cameras);
    calibration = calibrationOfBoardRig(made, images, CHESSBOARD);
  });
  const measured = () => calibration.rig.quality.measured!;

  test('has every corner with the residual of the rig itself', () => {
    const { observations, rig } = calibration;
    expect(observations).toHaveLength(1404);
    const squares = observations.reduce((sum, { du, dv }) => sum + du * du + dv * dv, 0);
    expectClose(Math.sqrt(squares / 1404), rig.quality.reprojectionRmsPx!, 1e-9, 'r.m.s. px');
    // One corner by hand: predicted pixel = measured + residual.
    const one = observations.find((o) => o.camera === 'right' && o.image === '07' && o.point === '23')!;
    const index = [...made.boards.keys()].indexOf('07') * 54 + 23;
    const [x, y, z] = calibration.points.subarray(3 * index, 3 * index + 3);
    const uv = new Float64Array(2);
    projectInto(uv, 0, rig.cameras[1], x, y, z);
    expectClose(uv[0] - one.u, one.du, 1e-9, 'du');
    expectClose(uv[1] - one.v, one.dv, 1e-9, 'dv');
  });

  test('states the standard deviations of the joint refinement', () => {
    const [left, right] = measured().cameras;
    expect([left.placeSdM, left.directionSdDeg]).toEqual([null, null]);
    // fx and fy are the first two free lens parameters, cx and cy the next.
    [left, right].forEach((one, c) => {
      const [fx, fy, cx, cy] = made.bundle.lensSd[c];
      expectClose(one.focalSdPx!, Math.max(fx, fy), 1e-6 * fx, 'focal');
      expectClose(one.principalPointSdPx!, Math.max(cx, cy), 1e-6 * cx, 'principal point');
    });
    const { parameters, lowerTriangle } = measured().covariance!;
    const at = parameters.indexOf('right.fx');
    expectClose(lowerTriangle[(at * (at + 3)) / 2], made.bundle.lensSd[1][0] ** 2, 1e-9, 'variance in the file');
    // The largest axis is at least any axis: against T's own SDs, turned by the small rotation between the cameras.
    const largest = Math.max(...made.relative[0].translationSdM);
    expect(right.placeSdM!).toBeGreaterThan(0.9 * largest);
    expect(right.placeSdM!).toBeLessThan(2 * Math.hypot(...made.relative[0].translationSdM));
  });

  test('every view with its residual and tilt; nothing dropped', () => {
    expect(calibration.views).toHaveLength(26);
    expect(calibration.dropped).toEqual([]);
    for (const view of calibration.views) {
      const own = calibration.observations.filter((o) => o.camera === view.camera && o.image === view.image);
      const squares = own.reduce((sum, { du, dv }) => sum + du * du + dv * dv, 0);
      expectClose(Math.sqrt(squares / own.length), view.rmsPx, 1e-9, `${view.camera} ${view.image}`);
      expect(view.tiltDeg!).toBeGreaterThanOrEqual(0);
      expect(view.tiltDeg!).toBeLessThan(90);
    }
  });

  test('scale: a ruler read to half a millimetre along ten squares of 30 mm (a/√3, JCGM 100:2008 4.3.7)', () => {
    const { scale } = measured();
    expectClose(scale!.sdShare, RULER_HALF_WIDTH_M / Math.sqrt(3) / 0.3, 1e-12, 'share');
    const steel = calibrationOfBoardRig(made, images, CHESSBOARD, {
      boardLengthSdM: 3e-5,
      heldOut: { figure: null, meanShare: -4e-4, notes: ['a note'] },
    });
    expectClose(steel.rig.quality.measured!.scale!.sdShare, Math.hypot(1e-4, 4e-4), 1e-12, 'two causes');
    expect(steel.rig.quality.notes).toContain('a note');
  });

  test('the vertical is not known, and the rig file keeps all of this to the last digit', () => {
    expect(measured().vertical).toBeNull();
    expect(parseRig(JSON.parse(serialiseRig(calibration.rig)), 'r.json')).toEqual(calibration.rig);
  });
});

describe('the calibration of an invented gym', () => {
  const up = { image: FLOOR_IMAGE, board: 'lies', heightM: 0 } as const;
  const images = gymImages(gymPoses(8), 0.2);
  const few = images.map((image) =>
    image.camera === 'phone A' && image.image === 'place 03'
      ? { ...image, corners: image.corners.map((x, i) => (i < 8 ? x : Number.NaN)) }
      : image,
  );
  let made: BoardRig;
  beforeAll(async () => {
    made = await calibrateRigFromBoard(few, GYM_BOARD, GYM_BOARD_CAMERAS, { up, distortion: 'k1' });
  });

  test('the vertical adds how level the board was to what the fit knows', () => {
    const halfWidth = (levelSdDeg: number) =>
      calibrationOfBoardRig(made, few, GYM_BOARD, { up: { ...up, levelSdDeg } }).rig.quality.measured!.vertical!
        .halfWidth95Deg;
    // A level surface that errs alike to both sides: 95 % of a Rayleigh variable, √(2 ln 20) = 2.448 standard deviations.
    const rayleigh = Math.sqrt(2 * Math.log(20));
    const fit = halfWidth(0) / rayleigh;
    // The note that the rig itself carries has two decimals and adds the variances of both axes.
    const note = made.rig.quality.notes.find((text) => text.startsWith('vertical from'))!;
    expect(fit).toBeLessThan(Number(/± ([\d.]+)°/.exec(note)![1]) + 0.006);
    expectClose(halfWidth(1), rayleigh * Math.hypot(1, fit), 0.01, 'level ± 1°');
    expect(calibrationOfBoardRig(made, few, GYM_BOARD).rig.quality.measured!.vertical).toBeNull();
  });

  test('a view with too few corners is dropped by name, the other camera’s view of it stays', () => {
    const { dropped, views } = calibrationOfBoardRig(made, few, GYM_BOARD);
    expect(dropped.map(({ camera, image }) => [camera, image])).toEqual([['phone A', 'place 03']]);
    expect(dropped[0].reason).toMatch(/\b4\b.*\b6\b/);
    expect(views.some((view) => view.camera === 'phone B' && view.image === 'place 03')).toBe(true);
  });

  test('points span the space the board was in, cameras stand outside it', () => {
    const { rig, points } = calibrationOfBoardRig(made, few, GYM_BOARD);
    const box = rig.quality.measured!.volumeM!;
    expect(points).toHaveLength(3 * 35 * 9);
    // The floor board lies at Y = 0; noise of 0.2 px at 3.5 m and the plane's fit move it by less than 5 mm.
    expectClose(box[1], 0, 0.005, 'lowest');
    for (const camera of rig.cameras) {
      const centre = cameraCentre(camera);
      expect([0, 1, 2].some((k) => centre[k] < box[k] || centre[k] > box[k + 3])).toBe(true);
    }
  });
});
