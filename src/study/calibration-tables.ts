import type { ColumnTable } from 'arquero';
import type { Calibration } from '../cameras/calibration.ts';
import { csvOf, tableOf } from './csv.ts';

const POINT_COLUMNS = ['camera', 'image', 'point', 'u_px', 'v_px', 'residual_u_px', 'residual_v_px', 'used'] as const;
const VIEW_COLUMNS = ['camera', 'image', 'points', 'rms_px', 'tilt_deg', 'used', 'reason'] as const;

/**
 * Every image point of a calibration: camera, image, point (empty where points have no names), measured pixel, residual
 * (predicted − measured), whether the rig was fitted to it.
 */
export function calibrationPointsTable({ observations }: Pick<Calibration, 'observations'>): ColumnTable {
  return tableOf(
    POINT_COLUMNS,
    observations.map((one) => ({
      camera: one.camera,
      image: one.image,
      point: one.point ?? '',
      u_px: one.u,
      v_px: one.v,
      residual_u_px: one.du,
      residual_v_px: one.dv,
      used: one.used,
    })),
  );
}

/** Every view: points, root mean square residual, tilt of the board; views that were dropped follow with their reason. */
export function calibrationViewsTable({ views, dropped }: Pick<Calibration, 'views' | 'dropped'>): ColumnTable {
  return tableOf(VIEW_COLUMNS, [
    ...views.map((view) => ({
      camera: view.camera,
      image: view.image,
      points: view.points,
      rms_px: view.rmsPx,
      tilt_deg: view.tiltDeg,
      used: true,
      reason: '',
    })),
    ...dropped.map(({ camera, image, reason }) => ({ camera, image, used: false, reason })),
  ]);
}

/** Text of `calibration-points.csv`. */
export function calibrationPointsCsv(calibration: Pick<Calibration, 'observations'>): string {
  return csvOf(calibrationPointsTable(calibration));
}

/** Text of `calibration-views.csv`. */
export function calibrationViewsCsv(calibration: Pick<Calibration, 'views' | 'dropped'>): string {
  return csvOf(calibrationViewsTable(calibration));
}
