import type { Recording } from '../../capture/recording.ts';
import type { LiftRecord } from '../../lift/lift-record.ts';
import { noFullRepetitionToCompare, repetitionNotThere } from '../../messages/compare.ts';
import type { LiftUncertainty } from '../../uncertainty/lift-uncertainty.ts';

/** One side of a comparison: a repetition of a recording, or the mean over its full repetitions. */
export interface ComparedLift {
  readonly recording: Recording;
  readonly record: LiftRecord;
  /** null: intervals were switched off, so nothing is judged. */
  readonly uncertainty: LiftUncertainty | null;
  /** Number of the repetition; null = mean over the full ones. */
  readonly repetition: number | null;
  /** Equal for two sides that are one recording: then their noise is one, draw by draw. */
  readonly source: string;
}

/** Throws where the repetition is not there, or where none is full and a mean over them is wanted. */
export function checkRepetition({ record, repetition, recording }: ComparedLift, side: 'a' | 'b'): void {
  const numbers = record.repetitions.map(({ number }) => number);
  if (repetition === null) {
    if (record.repetitions.every(({ completeness }) => completeness !== 'full'))
      throw noFullRepetitionToCompare(recording.file, record.recordingId, numbers, side);
  } else if (!numbers.includes(repetition)) {
    throw repetitionNotThere(recording.file, record.recordingId, repetition, numbers, side);
  }
}

/** Numbers of the repetitions that a side stands for, ascending. */
export function repetitionsOf({ record, repetition }: ComparedLift): number[] {
  if (repetition !== null) return [repetition];
  return record.repetitions.filter(({ completeness }) => completeness === 'full').map(({ number }) => number);
}
