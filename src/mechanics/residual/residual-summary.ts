import { mean, quantile, rms } from '../../numerics/statistics.ts';
import type { ResidualSeries } from './residual-series.ts';

/** A residual over some frames. */
export interface Spread {
  readonly mean: number;
  readonly rms: number;
  /** 95th percentile of the absolute value. */
  readonly p95: number;
}

/** Lab axes: forward X, up Y, right Z. */
export interface AxisSpreads {
  readonly forward: Spread | null;
  readonly up: Spread | null;
  readonly right: Spread | null;
}

export interface ResidualSummary {
  readonly frames: number;
  /** N, and the same in per cent of the lifter's weight. */
  readonly forceN: AxisSpreads;
  readonly forcePctBodyWeight: AxisSpreads;
  /** About mid-hip, N·m, about the axes; `right` is the sagittal one, extensor positive. */
  readonly momentNm: AxisSpreads;
  readonly pressureForwardM: Spread | null;
}

/** Fewest frames that are summed up; common practice, no source. */
const FEWEST_FRAMES = 10;

/** Sums up the frames that count and are wanted. */
export function summarised(series: ResidualSeries, isWanted: (frame: number) => boolean): ResidualSummary {
  const frames: number[] = [];
  for (let frame = 0; frame < series.frames; frame++) if (series.counts[frame] && isWanted(frame)) frames.push(frame);
  const axes = (of: (frame: number, axis: number) => number): AxisSpreads => ({
    forward: spread(frames.map((frame) => of(frame, 0))),
    up: spread(frames.map((frame) => of(frame, 1))),
    right: spread(frames.map((frame) => of(frame, 2))),
  });
  return {
    frames: frames.length,
    forceN: axes((frame, axis) => series.force[3 * frame + axis]),
    forcePctBodyWeight: axes((frame, axis) => (100 * series.force[3 * frame + axis]) / series.bodyWeightN),
    momentNm: axes((frame, axis) => series.momentAboutMidHip[3 * frame + axis]),
    pressureForwardM: spread(frames.map((frame) => series.pressureForwardM[frame])),
  };
}

function spread(values: readonly number[]): Spread | null {
  if (values.length < FEWEST_FRAMES || !values.every(Number.isFinite)) return null;
  return { mean: mean(values), rms: rms(values), p95: quantile(values.map(Math.abs), 0.95) };
}
