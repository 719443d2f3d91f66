import type { Calibration } from '../../src/cameras/calibration.ts';
import { projectInto } from '../../src/cameras/camera-model.ts';
import type { MeasuredQuality } from '../../src/cameras/rig.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { cameraLookingAt } from '../cameras/synthetic-cameras.ts';

export interface CalibrationOptions {
  readonly measured?: Partial<MeasuredQuality> | null;
  readonly synthetic?: boolean;
  readonly points?: number;
}

/** An invented calibration: two phones, ten images of points anywhere in a lifter's space, one point dropped, one image too. */
export function makeCalibration({
  measured = {},
  synthetic = true,
  points: count = 120,
}: CalibrationOptions = {}): Calibration {
  const random = seededRandom(11);
  const cameras = [
    cameraLookingAt('phone A', [2.6, 1.3, 2.6], [0, 0.95, 0]),
    cameraLookingAt('phone B', [-2.4, 1.1, 3], [0, 0.95, 0], { imageWidth: 1080, imageHeight: 1920, cx: 540, cy: 960 }),
  ];
  const points = Float64Array.from(
    { length: 3 * count },
    (_, i) => [1.8, 1.9, 1][i % 3] * (random.uniform() - (i % 3 === 1 ? 0 : 0.5)),
  );
  const uv = new Float64Array(2);
  const observations = cameras.flatMap((camera) =>
    Array.from({ length: count }, (_, i) => {
      projectInto(uv, 0, camera, points[3 * i], points[3 * i + 1], points[3 * i + 2]);
      const [du, dv] = [0.4 * random.normal(), 0.4 * random.normal()];
      const image = `place ${1 + (i % 10)}`;
      return { camera: camera.name, image, point: String(i), u: uv[0] - du, v: uv[1] - dv, du, dv, used: i !== 5 };
    }),
  );
  const full: MeasuredQuality = {
    cameras: cameras.map(({ name }, c) => ({
      camera: name,
      reprojectionRmsPx: 0.57,
      points: count,
      views: 10,
      focalSdPx: 2.2,
      principalPointSdPx: 3.1,
      placeSdM: c === 0 ? null : 0.006,
      directionSdDeg: c === 0 ? null : 0.09,
      coverage: 0.55,
      tiltRangeDeg: 58,
      clock: c === 0 ? null : { offsetS: -0.0123, halfWidth95S: 0.0012, drift: 2e-6 },
    })),
    heldOutLength: { what: 'rows of boards left out', rmsM: 0.0011, share: 0.0025, count: 90 },
    vertical: { from: 'a plumb line', halfWidth95Deg: 0.31 },
    scale: { sdShare: 0.0012, causes: { 'measured board length': 0.001, 'mean of lengths left out': 0.00066 } },
    volumeM: [-0.9, 0, -0.5, 0.9, 1.9, 0.5],
    covariance: { parameters: ['phone B.turn_x', 'phone B.fx'], lowerTriangle: [1e-6, 0, 4] },
  };
  return {
    rig: {
      kneeward: 1,
      cameras,
      quality: {
        method: 'board corners',
        reprojectionRmsPx: 0.57,
        pointsUsed: 2 * count,
        notes: ['a note <of> the rig'],
        ...(measured === null ? {} : { measured: { ...full, ...measured } }),
      },
      synthetic,
    },
    observations,
    points,
    views: cameras.flatMap(({ name }, c) =>
      Array.from({ length: 10 }, (_, i) => ({
        camera: name,
        image: `place ${i + 1}`,
        points: 12,
        rmsPx: 0.4 + 0.02 * i + 0.05 * c,
        tiltDeg: 5 * i,
      })),
    ),
    dropped: [{ camera: 'phone A', image: 'place 11', reason: '4 corners found, at least 6 are needed' }],
  };
}
