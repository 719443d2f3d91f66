import type { Recording } from '../capture/recording.ts';
import type { JointLoads } from '../mechanics/joint-loads.ts';
import { countDiffers } from '../messages.ts';
import { depthCurves } from './curves.ts';
import type { LiftRecord } from './lift-record.ts';
import { measureLift } from './measure-lift.ts';
import { prepareLift } from './prepare-lift.ts';

/**
 * What a lift was: quantities a frame, repetitions, values across depth, technique measures.
 *
 * Nothing is given that the recording cannot say: every unknown value is NaN with its reason. Definitions and limits:
 * docs/method/lift.md; measures: docs/method/measures.md. `lower` and `upper` are NaN here: intervals are made in
 * src/uncertainty. withCurves false: no values across depth, where only measures are asked for.
 */
export function describeLift(loads: JointLoads, recording: Recording, withCurves = true): LiftRecord {
  const { lift, notes } = prepareLift(loads, recording);
  const { repetitions, table, depths } = lift;
  const found = repetitions.length;
  const planned = recording.lift.plannedRepetitions;
  return {
    recordingId: recording.id,
    athleteId: recording.athlete.id,
    loads,
    quantities: table.list,
    repetitions,
    curves: withCurves ? repetitions.flatMap((repetition) => depthCurves(repetition, table, depths)) : [],
    measures: measureLift(lift),
    quality: {
      repetitionsFound: found,
      repetitionsPlanned: planned,
      notes: planned === null || planned === found ? notes : [...notes, countDiffers(found, planned)],
    },
  };
}
