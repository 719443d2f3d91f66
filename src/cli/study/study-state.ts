import { dirname } from 'node:path';
import type { Study } from '../../capture/recording.ts';
import { liftDifferences } from '../../messages/study-run.ts';
import { type ThereLift, thereLift } from './complete-lifts.ts';
import { filesAreThere, readCompletion } from './completion.ts';
import { firstDifference } from './ingredient-difference.ts';
import { ingredientsOf, keyOf } from './lift-key.ts';
import type { LiftOptions } from './lift-options.ts';
import type { PlannedLift } from './planned-lifts.ts';

/** What the folder of a study holds of one planned lift. */
export type LiftState =
  | { readonly state: 'there'; readonly lift: ThereLift }
  /** Its files, as they are now, cannot be used. */
  | { readonly state: 'refused'; readonly message: string; readonly inStudy: string }
  /** Never analysed (null), or not with these files, settings and program: how they differ, '' where that is not known. */
  | { readonly state: 'open'; readonly changed: string | null };

/** Reads every input file of the lift for its digest. */
export function stateOf(out: string, lift: PlannedLift, study: Study, options: LiftOptions): LiftState {
  const { recording } = lift;
  const found = readCompletion(out, recording.id);
  if (found === null || found.state === 'changing') return { state: 'open', changed: null };
  const of = ingredientsOf(lift, study, options);
  if (found.key !== keyOf(of)) {
    return { state: 'open', changed: found.state === 'complete' ? firstDifference(found.of, of) : '' };
  }
  if (found.state === 'failed') return { state: 'refused', message: found.message, inStudy: found.inStudy };
  if (!filesAreThere(out, recording.id, found)) {
    return { state: 'open', changed: liftDifferences.results() };
  }
  return { state: 'there', lift: thereLift(recording, found) };
}

/** The same once the lift was analysed by this run: what its completion record says stands. */
export function stateAfter(out: string, { recording }: PlannedLift): LiftState {
  const found = readCompletion(out, recording.id);
  if (found?.state === 'complete') return { state: 'there', lift: thereLift(recording, found) };
  if (found?.state === 'failed') return { state: 'refused', message: found.message, inStudy: found.inStudy };
  return { state: 'open', changed: null };
}

/**
 * A message with the study's folder taken out of its paths: the tables then say the same wherever the study lies, and whatever
 * folder the command was called from.
 */
export function inStudy(message: string, { file }: Study): string {
  const folder = dirname(file);
  if (folder === '.') return message;
  const prefix = (folder.endsWith('/') ? folder : `${folder}/`).replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
  return message.replace(new RegExp(`(?<![^\\s"'(,:])${prefix}`, 'g'), '');
}
