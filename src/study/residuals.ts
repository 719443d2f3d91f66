import type { ColumnTable } from 'arquero';
import type { LiftRecord } from '../lift/lift-record.ts';
import { tableOf } from './csv.ts';

export const RESIDUAL_COLUMNS = [
  'recording_id',
  'by',
  'name',
  'reprojection_rms_px',
  'seen',
  'filled',
  'missing',
  'sd_m',
] as const;

/**
 * How far each body point, put back into the pictures, lies from where it was seen: one row a landmark (`by` =
 * 'landmark') and one a camera ('camera'). Pixels, root mean square; empty for 3D input, which has no pictures.
 */
export function residualsTable(record: LiftRecord): ColumnTable {
  const { quality } = record.loads.motion.trajectories;
  const recording_id = record.recordingId;
  return tableOf(RESIDUAL_COLUMNS, [
    ...quality.perCamera.map(({ camera, reprojectionRmsPx, points }) => ({
      recording_id,
      by: 'camera',
      name: camera,
      reprojection_rms_px: reprojectionRmsPx,
      seen: points,
      filled: null,
      missing: null,
      sd_m: null,
    })),
    ...quality.perLandmark.map((point) => ({
      recording_id,
      by: 'landmark',
      name: point.landmark,
      reprojection_rms_px: point.reprojectionRmsPx,
      seen: point.seen,
      filled: point.filled,
      missing: point.missing,
      sd_m: point.sdM,
    })),
  ]);
}
