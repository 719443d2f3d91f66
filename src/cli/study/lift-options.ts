import type { MomentAxes, MomentUnit, PointsKind, Smoothing } from '../../capture/recording.ts';
import type { UncertaintyOptions } from '../../uncertainty/lift-uncertainty.ts';
import type { Overrides } from '../analyse-recording.ts';

/** What a command line may say about how each recording is analysed. */
export interface LiftOptions {
  readonly smoothing?: Smoothing;
  readonly points?: PointsKind;
  readonly momentAxes?: MomentAxes;
  readonly momentUnit?: MomentUnit;
  /** File of rules for findings, over those of the files. */
  readonly findings?: string;
  /** False: no intervals at all. */
  readonly intervals?: boolean;
  /** Joint draws; left out: intervals of first order. */
  readonly draws?: number;
  /** Over the seed of study or recording. */
  readonly seed?: number;
  /** True: lift.c3d beside the tables of each recording. */
  readonly c3d?: boolean;
}

/** Only those, of an object that may hold more. */
export function liftOptions(of: LiftOptions): LiftOptions {
  const { smoothing, points, momentAxes, momentUnit, findings, intervals, draws, seed, c3d } = of;
  return { smoothing, points, momentAxes, momentUnit, findings, intervals, draws, seed, c3d };
}

export function overridesOf({ smoothing, points, momentAxes, momentUnit, findings }: LiftOptions): Overrides {
  return {
    ...(smoothing && { smoothing }),
    ...(points && { points }),
    ...(momentAxes && { momentAxes }),
    ...(momentUnit && { momentUnit }),
    ...(findings && { findings }),
  };
}

/** null: no intervals wanted. */
export function uncertaintyOf({ intervals, draws, seed }: LiftOptions, fileSeed: number): UncertaintyOptions | null {
  if (intervals === false) return null;
  return { mode: draws === undefined ? 'linear' : 'draws', draws: draws ?? 0, seed: seed ?? fileSeed };
}
