import { z } from 'zod';
import {
  measuredCameraTwice,
  measuredCameraUnknown,
  measuredCorrelation,
  measuredTriangleLength,
  measuredVarianceNotPositive,
  measuredVolumeReversed,
  rigMeasuredWrong,
} from '../messages/acceptance.ts';
import type { CameraQuality, MeasuredQuality } from './rig.ts';

const LARGEST = 1e6;
/** Covariances are products of two numbers. */
const LARGEST_PRODUCT = LARGEST * LARGEST;
const finite = z.number().min(-LARGEST).max(LARGEST);
const size = z.number().nonnegative().max(LARGEST);
const count = z.number().int().nonnegative();
const share = z.number().min(0).max(1);

const cameraQualitySchema = z.strictObject({
  camera: z.string().min(1).describe('Name of a camera of this rig'),
  reprojection_rms_px: size.describe('Root mean square distance between measured and predicted image points'),
  points: count.describe('Image points used'),
  views: count.describe('Images, or moments, in which they were seen'),
  focal_sd_px: size.nullable().describe('Standard deviation of the focal length; null = held'),
  principal_point_sd_px: size
    .nullable()
    .describe('Standard deviation of the principal point, the larger of two; null = held'),
  place_sd_m: size
    .nullable()
    .describe("Standard deviation of the camera's place along its worst direction; null = held"),
  direction_sd_deg: size.nullable().describe('Standard deviation of its turn about the worst axis; null = held'),
  coverage_share: share.describe('Share of a 10 × 10 grid over the picture in which points lay'),
  tilt_range_deg: z.number().min(0).max(180).nullable().describe('Largest angle between two boards; null = no board'),
  clock: z
    .strictObject({
      offset_s: finite.describe('Clock of this camera against that of the first'),
      half_width_95_s: size.describe('Half width of the 95 % interval of the offset'),
      drift_s_per_s: finite.nullable(),
    })
    .nullable()
    .describe('null = not estimated'),
});

/** The block `quality.measured` of `rig.json`. */
export const measuredSchema = z
  .strictObject({
    cameras: z.array(cameraQualitySchema),
    held_out_length: z
      .strictObject({
        what: z.string().min(1).describe('What was left out, in plain words'),
        rms_m: size.describe('Measured − true, root mean square'),
        share: size.describe('The same as part of the true lengths'),
        count: count.describe('Lengths compared'),
      })
      .nullable(),
    vertical: z
      .strictObject({
        from: z.string().min(1),
        half_width_95_deg: size.describe(
          'Half width of the 95 % interval of the angle between the true vertical and Y',
        ),
      })
      .nullable(),
    scale: z
      .strictObject({
        sd_share: size.describe('Standard deviation of the scale, 1 = 100 %, from all causes'),
        causes: z.record(z.string().min(1), size).describe('Those causes, each as a standard deviation'),
      })
      .nullable(),
    volume_m: z
      .array(finite)
      .length(6)
      .nullable()
      .describe('Least X Y Z, then greatest X Y Z of the points that the rig was made from'),
    covariance: z
      .strictObject({
        parameters: z
          .array(z.string().min(1))
          .describe('<camera>.turn_x … (rad, R becomes exp(turn) R), <camera>.translation_x … (m), <camera>.fx … (px)'),
        lower_triangle: z
          .array(z.number().min(-LARGEST_PRODUCT).max(LARGEST_PRODUCT))
          .describe('By rows, diagonal included'),
      })
      .nullable()
      .describe('Joint covariance of the cameras'),
  })
  .describe('How good the calibration is; null = not known from it. Absent where the rig was stated');

type MeasuredJson = z.output<typeof measuredSchema>;

/** Rounding of a covariance copied with 7 digits may pass the Cauchy–Schwarz bound by this part. */
const CORRELATION_ROUNDING = 1e-6;

/** Throws `rigMeasuredWrong` where the block contradicts itself or the rig. */
export function measuredFrom(read: MeasuredJson, cameras: readonly string[], file: string): MeasuredQuality {
  const refuse = (field: string, problem: string) => rigMeasuredWrong(file, field, problem);
  const names = read.cameras.map((one) => one.camera);
  names.forEach((name, i) => {
    if (!cameras.includes(name)) throw refuse(`cameras[${i}]`, measuredCameraUnknown(name));
    if (names.indexOf(name) !== i) throw refuse(`cameras[${i}]`, measuredCameraTwice(name));
  });
  const volume = read.volume_m;
  if (volume !== null && [0, 1, 2].some((k) => volume[k] > volume[k + 3])) {
    throw refuse('volume_m', measuredVolumeReversed());
  }
  if (read.covariance !== null) checkCovariance(read.covariance, (problem) => refuse('covariance', problem));
  return {
    cameras: read.cameras.map(cameraQualityFrom),
    heldOutLength:
      read.held_out_length === null
        ? null
        : {
            what: read.held_out_length.what,
            rmsM: read.held_out_length.rms_m,
            share: read.held_out_length.share,
            count: read.held_out_length.count,
          },
    vertical:
      read.vertical === null ? null : { from: read.vertical.from, halfWidth95Deg: read.vertical.half_width_95_deg },
    scale: read.scale === null ? null : { sdShare: read.scale.sd_share, causes: read.scale.causes },
    volumeM: volume,
    covariance:
      read.covariance === null
        ? null
        : { parameters: read.covariance.parameters, lowerTriangle: read.covariance.lower_triangle },
  };
}

function cameraQualityFrom(read: MeasuredJson['cameras'][number]): CameraQuality {
  return {
    camera: read.camera,
    reprojectionRmsPx: read.reprojection_rms_px,
    points: read.points,
    views: read.views,
    focalSdPx: read.focal_sd_px,
    principalPointSdPx: read.principal_point_sd_px,
    placeSdM: read.place_sd_m,
    directionSdDeg: read.direction_sd_deg,
    coverage: read.coverage_share,
    tiltRangeDeg: read.tilt_range_deg,
    clock:
      read.clock === null
        ? null
        : {
            offsetS: read.clock.offset_s,
            halfWidth95S: read.clock.half_width_95_s,
            drift: read.clock.drift_s_per_s,
          },
  };
}

function checkCovariance(read: NonNullable<MeasuredJson['covariance']>, refuse: (problem: string) => Error): void {
  const { parameters, lower_triangle: triangle } = read;
  const n = parameters.length;
  const expected = (n * (n + 1)) / 2;
  if (triangle.length !== expected) throw refuse(measuredTriangleLength(triangle.length, expected, n));
  const variance = (i: number) => triangle[(i * (i + 3)) / 2];
  parameters.forEach((name, i) => {
    if (!(variance(i) > 0)) throw refuse(measuredVarianceNotPositive(name));
  });
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const bound = Math.sqrt(variance(i) * variance(j)) * (1 + CORRELATION_ROUNDING);
      if (Math.abs(triangle[(i * (i + 1)) / 2 + j]) > bound)
        throw refuse(measuredCorrelation(parameters[i], parameters[j]));
    }
  }
}

/** The block as it is written. */
export function measuredJson(measured: MeasuredQuality): MeasuredJson {
  const { heldOutLength: held, vertical, scale, volumeM, covariance } = measured;
  return {
    cameras: measured.cameras.map((one) => ({
      camera: one.camera,
      reprojection_rms_px: one.reprojectionRmsPx,
      points: one.points,
      views: one.views,
      focal_sd_px: one.focalSdPx,
      principal_point_sd_px: one.principalPointSdPx,
      place_sd_m: one.placeSdM,
      direction_sd_deg: one.directionSdDeg,
      coverage_share: one.coverage,
      tilt_range_deg: one.tiltRangeDeg,
      clock:
        one.clock === null
          ? null
          : { offset_s: one.clock.offsetS, half_width_95_s: one.clock.halfWidth95S, drift_s_per_s: one.clock.drift },
    })),
    held_out_length: held === null ? null : { what: held.what, rms_m: held.rmsM, share: held.share, count: held.count },
    vertical: vertical === null ? null : { from: vertical.from, half_width_95_deg: vertical.halfWidth95Deg },
    scale: scale === null ? null : { sd_share: scale.sdShare, causes: { ...scale.causes } },
    volume_m: volumeM === null ? null : [...volumeM],
    covariance:
      covariance === null
        ? null
        : { parameters: [...covariance.parameters], lower_triangle: [...covariance.lowerTriangle] },
  };
}
