import { zeroLagLowPass } from '../../numerics/butterworth.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';
import { fillHoles } from './point-variance.ts';
import { HEAVY_POINTS, type RodSystem } from './rods.ts';

const { isFinite: isNumber } = Number;

/** A hip or shoulder: most of the mass hangs on it, so that its correction must not shake it. */
export interface HeavyPoint {
  readonly column: number;
  readonly cutoffHz: number;
  /** 1 in frames in which all that is linked to the point is known; elsewhere its correction is interpolated. */
  readonly linked: Uint8Array;
}

/** Of the frames, at least this share must have all links before the others count as gaps. Common practice, no source. */
const LEAST_LINKED_SHARE = 0.5;

export function heavyPoints(smoothed: Trajectories, system: RodSystem): readonly HeavyPoint[] {
  const { landmarks, frames, cutoffHz } = smoothed;
  return HEAVY_POINTS.flatMap((landmark): HeavyPoint[] => {
    const column = landmarks.indexOf(landmark);
    const rod = system.rods.findIndex(({ from, to }) => from === landmark || to === landmark);
    if (column < 0 || rod < 0 || !Number.isFinite(cutoffHz[column])) return [];
    const linked = linkedFrames(smoothed, system, rod);
    const share = linked.reduce((sum, is) => sum + is, 0) / frames;
    return [{ column, cutoffHz: cutoffHz[column], linked: share < LEAST_LINKED_SHARE ? linked.fill(1) : linked }];
  });
}

/** Frames in which every point of the rod's group is known; heels and toes, which hang on ankles, do not count. */
function linkedFrames({ landmarks, frames, position }: Trajectories, system: RodSystem, rod: number): Uint8Array {
  const { groupStart, from, to } = system;
  const group = groupStart.findIndex((first, g) => first <= rod && rod < groupStart[g + 1]);
  const columns = new Set<number>();
  for (let i = groupStart[group]; i < groupStart[group + 1]; i++) columns.add(from[i]).add(to[i]);
  for (const column of columns) if (/heel|toe/.test(landmarks[column])) columns.delete(column);
  const count = landmarks.length;
  const linked = new Uint8Array(frames).fill(1);
  for (const column of columns) {
    for (let k = 0; k < frames; k++) if (!isNumber(position[3 * (k * count + column)])) linked[k] = 0;
  }
  return linked;
}

/**
 * Low-passes the corrections (fitted − position) of heavy points with the points' own filter, in place in `fitted`. Without
 * it, quick noise of knees (6 Hz) would reach hips (3 Hz) through the thigh, and a knee that is lost and found again would
 * push the hip within one frame.
 */
export function smoothHeavyCorrections(
  fitted: Float64Array,
  position: Float64Array,
  heavy: readonly HeavyPoint[],
  { frames, count, frameRateHz }: { readonly frames: number; readonly count: number; readonly frameRateHz: number },
): void {
  const correction = new Float64Array(frames);
  for (const { column, cutoffHz, linked } of heavy) {
    for (let axis = 0; axis < 3; axis++) {
      let known = 0;
      for (let k = 0; k < frames; k++) {
        const at = 3 * (k * count + column) + axis;
        correction[k] = linked[k] === 1 ? fitted[at] - position[at] : Number.NaN;
        if (isNumber(correction[k])) known++;
      }
      if (known === 0) continue;
      fillHoles(correction);
      const smooth = zeroLagLowPass(correction, frameRateHz, cutoffHz);
      for (let k = 0; k < frames; k++) {
        const at = 3 * (k * count + column) + axis;
        fitted[at] = position[at] + smooth[k];
      }
    }
  }
}
