import { join } from 'node:path';
import type { Recording } from '../../capture/recording.ts';
import { keptDamaged } from '../../messages/study-run.ts';
import { previousLift } from '../../report/previous-lift.ts';
import { withPrevious } from '../../report/previous-parts.ts';
import { readKept, readScene } from './kept-lift.ts';
import { type JobSetting, writeInto } from './lift-job.ts';
import { REPORT, recordingFolder } from './places.ts';
import { textOf } from './publish.ts';

/** A report that must hold another previous lift than it does. */
export interface ReportJob {
  readonly kind: 'report';
  readonly recording: Recording;
  /** null: none. */
  readonly previous: Recording | null;
  readonly work: string;
}

/** Writes the report anew into its work folder. Throws a DataError where a kept file is not as it was written. */
export function reportJob(
  { recording, previous, work }: ReportJob,
  { out }: JobSetting,
): { readonly state: 'reported' } {
  const { id } = recording;
  const earlier = previous && {
    recording: previous,
    means: readKept(out, previous.id).means,
    scene: readScene(out, previous.id),
  };
  const against = earlier && previousLift(readKept(out, id), earlier, `../${earlier.recording.id}/report.html`);
  const report = withPrevious(textOf(join(recordingFolder(out, id), REPORT)), against, recording);
  if (report === null) throw keptDamaged(id, REPORT);
  writeInto(work, new Map([[REPORT, report]]));
  return { state: 'reported' };
}
