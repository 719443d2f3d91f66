import type { Recording } from '../capture/recording.ts';
import type { JointLoads } from '../mechanics/joint-loads.ts';
import type { LegSharing } from '../mechanics/leg-sharing/leg-sharing.ts';
import { liftDepths } from './depth.ts';
import { liftPoints } from './landmark-points.ts';
import { liftSignal } from './lift-signal.ts';
import type { Lift } from './measures/measure.ts';
import { frameQuantities, quantityTable } from './quantities.ts';
import { findRepetitions } from './repetitions.ts';
import { type Unmeasured, USUAL_UNMEASURED } from './unmeasured.ts';

/** The frame quantities and the repetitions of a recording: what curves and measures are read from. */
export function prepareLift(
  loads: JointLoads,
  recording: Recording,
  shared: LegSharing | null = null,
  unmeasured: Unmeasured = USUAL_UNMEASURED,
): { lift: Lift; notes: readonly string[] } {
  const points = liftPoints(loads.motion);
  const table = quantityTable(loads, frameQuantities(loads, points, shared));
  const signal = liftSignal(loads, recording, points);
  const { repetitions, notes } = findRepetitions(signal, recording, table);
  const height = signal?.height ?? new Float64Array(loads.frames).fill(Number.NaN);
  const lift: Lift = {
    loads,
    recording,
    table,
    repetitions,
    height,
    depths: liftDepths(table, height, loads.frameRateHz),
    legLengthM: signal?.legLengthM ?? Number.NaN,
    unmeasured,
    ...points,
  };
  return { lift, notes };
}
