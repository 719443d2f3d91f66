import type { GradedRig } from '../cameras/acceptance.ts';
import type { Calibration } from '../cameras/calibration.ts';
import type { CalibrationFigures } from './calibration-figures.ts';

/** What the page of a calibration is made from. */
export interface CalibrationPageInput {
  readonly calibration: Calibration;
  readonly graded: GradedRig;
  readonly figures: CalibrationFigures;
  readonly toolVersion: string;
  /** Names of the files that lie beside the page, such as `calibration-points.csv`. */
  readonly files: readonly string[];
}
