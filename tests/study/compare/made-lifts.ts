import type { Recording } from '../../../src/capture/recording.ts';
import type { ComparedLift } from '../../../src/study/compare/compared-lift.ts';
import { makeRecord, makeRecording, type RecordOptions } from '../make-record.ts';
import { type DoubtOptions, makeUncertainty } from '../make-uncertainty.ts';

/** A drawn lift as one side of a comparison. */
export function madeLift(
  options: RecordOptions = {},
  doubts: DoubtOptions | null = {},
  repetition: number | null = null,
  changes: Partial<Recording> = {},
): ComparedLift {
  const record = makeRecord(options);
  const uncertainty = doubts && makeUncertainty(record, doubts);
  const recording = { ...makeRecording(options), ...changes };
  return { recording, record: uncertainty?.record ?? record, uncertainty, repetition, source: record.recordingId };
}
