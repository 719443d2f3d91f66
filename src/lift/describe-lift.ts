import type { Recording } from '../capture/recording.ts';
import type { JointLoads } from '../mechanics/joint-loads.ts';
import { type SharingAssumptions, USUAL_ASSUMPTIONS } from '../mechanics/leg-sharing/assumptions.ts';
import { legSharing } from '../mechanics/leg-sharing/leg-sharing.ts';
import { towardsSumOfLegs } from '../mechanics/leg-sharing/sum-of-legs.ts';
import {
  countDiffers,
  momentsFromForcePlates,
  momentsNotFromForcePlates,
  momentUnitNeedsStature,
} from '../messages.ts';
import { depthCurves } from './curves.ts';
import type { LiftRecord } from './lift-record.ts';
import { measureLift } from './measure-lift.ts';
import { prepareLift } from './prepare-lift.ts';
import { type Unmeasured, USUAL_UNMEASURED } from './unmeasured.ts';

/**
 * What a lift was: quantities a frame, repetitions, values across depth, technique measures.
 *
 * Nothing is given that the recording cannot say: every unknown value is NaN with its reason. Definitions and limits:
 * docs/method/lift.md; measures: docs/method/measures.md. `lower` and `upper` are NaN here: intervals are made in
 * src/uncertainty. withCurves false: no values across depth, where only measures are asked for. assumptions: of the sharing
 * between the legs, and unmeasured: what measures take for granted, for draws of what nothing can tell.
 */
export function describeLift(
  found: JointLoads,
  recording: Recording,
  withCurves = true,
  assumptions: SharingAssumptions = USUAL_ASSUMPTIONS,
  unmeasured: Unmeasured = USUAL_UNMEASURED,
): LiftRecord {
  const shared = legSharing(found, recording.settings.legSharing, assumptions);
  const loads = fromAskedWay(towardsSumOfLegs(found, shared, assumptions.sumOfLegs), recording);
  const { lift, notes: liftNotes } = prepareLift(loads, recording, shared, unmeasured);
  const notes = [...liftNotes, ...sourceNotes(loads, recording)];
  const { repetitions, table, depths } = lift;
  const count = repetitions.length;
  const planned = recording.lift.plannedRepetitions;
  return {
    recordingId: recording.id,
    athleteId: recording.athlete.id,
    loads,
    legSharing: shared,
    quantities: table.list,
    repetitions,
    curves: withCurves ? repetitions.flatMap((repetition) => depthCurves(repetition, table, depths)) : [],
    measures: measureLift(lift),
    quality: {
      repetitionsFound: count,
      repetitionsPlanned: planned,
      notes: planned === null || planned === count ? notes : [...notes, countDiffers(count, planned)],
    },
  };
}

/** Moments of both legs by the way the recording asks for, where that way is known. */
function fromAskedWay(loads: JointLoads, { settings }: Recording): JointLoads {
  return settings.momentsFrom === 'force plates' && loads.fromBelow?.both ? { ...loads, primary: 'below' } : loads;
}

function sourceNotes({ primary, fromAbove }: JointLoads, { settings, athlete }: Recording): string[] {
  const unit =
    settings.momentUnit === 'per_weight_and_height' && athlete.statureM === null ? [momentUnitNeedsStature()] : [];
  if (settings.momentsFrom !== 'force plates' || fromAbove === null) return unit;
  return [...unit, primary === 'below' ? momentsFromForcePlates() : momentsNotFromForcePlates()];
}
