/** How the lean of a trunk is cut into bins, and what of a series falls into each. */
import type { BodyMotion } from '../../src/body/body-motion.ts';
import { mean, rms } from '../../src/numerics/statistics.ts';
import { markEdgesInto } from '../../src/reconstruction/edge-frames.ts';

/** Lean of the line mid-hip to mid-shoulder, degrees. */
export const LEAN_BINS = [
  { name: 'below 15°', from: -30, to: 15 },
  { name: '15–30°', from: 15, to: 30 },
  { name: '30–45°', from: 30, to: 45 },
  { name: '45–60°', from: 45, to: 60 },
  { name: '60–100°', from: 60, to: 100 },
] as const;

/** Frames of each bin that are no edge of a filter, and at which all series have a value. */
export function framesByLean(motion: BodyMotion, ...series: readonly (readonly [Float64Array, number])[]): number[][] {
  const edge = new Uint8Array(motion.frames);
  markEdgesInto(edge, motion.trajectories);
  const lean = trunkLeanDeg(motion);
  return LEAN_BINS.map(({ from, to }) =>
    [...lean.keys()].filter(
      (k) =>
        !edge[k] && lean[k] >= from && lean[k] < to && series.every(([x, stride]) => Number.isFinite(x[stride * k])),
    ),
  );
}

export function trunkLeanDeg({ segments }: BodyMotion): Float64Array {
  const { axis } = segments.find(({ name }) => name === 'trunk')!;
  return Float64Array.from(
    { length: axis.length / 3 },
    (_, k) => (Math.atan2(axis[3 * k], axis[3 * k + 1]) * 180) / Math.PI,
  );
}

/** 'mean / rms' of the values, in `unit` times. */
export function meanAndRms(values: readonly number[], unit: number): string {
  if (values.length === 0) return '–';
  const scaled = values.map((value) => value * unit);
  return `${mean(scaled).toFixed(0)} / ${rms(scaled).toFixed(0)}`;
}
