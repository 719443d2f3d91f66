import type { Recording } from '../capture/recording.ts';
import type { JointLoads } from '../mechanics/joint-loads.ts';
import { jointPoint, landmarkPoint } from './landmark-points.ts';
import { liftSignal } from './lift-signal.ts';
import type { Lift } from './measures/measure.ts';
import { frameQuantities, quantityTable } from './quantities.ts';
import { findRepetitions } from './repetitions.ts';

/** The frame quantities and the repetitions of a recording: what curves and measures are read from. */
export function prepareLift(loads: JointLoads, recording: Recording): { lift: Lift; notes: readonly string[] } {
  const table = quantityTable(loads, frameQuantities(loads));
  const signal = liftSignal(loads, recording);
  const { repetitions, notes } = findRepetitions(signal, recording, table);
  const lift: Lift = {
    loads,
    recording,
    table,
    repetitions,
    height: signal?.height ?? new Float64Array(loads.frames).fill(Number.NaN),
    legLengthM: signal?.legLengthM ?? Number.NaN,
    joint: (name) => jointPoint(loads.motion, name),
    landmark: (name) => landmarkPoint(loads.motion, name),
  };
  return { lift, notes };
}
