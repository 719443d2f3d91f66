import type { CameraRig } from './rig.ts';

/** A finished calibration with what its report shows. `kneeward calibrate …` returns one, whatever it was made from. */
export interface Calibration {
  readonly rig: CameraRig;
  /** Every image point used or dropped, for residual pictures and coverage. */
  readonly observations: readonly CalibrationObservation[];
  /** 3 × n, metres, rig's world: board corners, control points, rod ends, joints that the rig was made from. */
  readonly points: Float64Array;
  readonly views: readonly CalibrationView[];
  readonly dropped: readonly DroppedView[];
}

/** One image (of a board), or all moments of one camera together (moving points, control points). */
export interface CalibrationView {
  readonly camera: string;
  readonly image: string;
  readonly points: number;
  readonly rmsPx: number;
  /** Angle between the board's normal and the optical axis, degrees; null where there is no board. */
  readonly tiltDeg: number | null;
}

export interface CalibrationObservation {
  readonly camera: string;
  readonly image: string;
  /** Which point it is: number of a board's corner, label of a control point; absent where points have no names. */
  readonly point?: string;
  readonly u: number;
  readonly v: number;
  /** Predicted − measured, px. */
  readonly du: number;
  readonly dv: number;
  readonly used: boolean;
}

export interface DroppedView {
  readonly camera: string;
  readonly image: string;
  /** In plain words, with the value and its limit. */
  readonly reason: string;
}
