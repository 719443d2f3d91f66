import { bodyMotion } from '../body/body-motion-from-trajectories.ts';
import { SEGMENT_TABLES } from '../capture/recording.ts';
import { describeLift } from '../lift/describe-lift.ts';
import { jointLoads } from '../mechanics/joint-loads-from-motion.ts';
import type { TableRun } from '../study/segment-tables.ts';
import type { Analysis } from './analyse-recording.ts';

/** What every segment table gives for this recording: the chain run again from the body on, without values across depth. */
export function tableRuns({ data, reconstruction, centres, skeleton, record }: Analysis): readonly TableRun[] {
  const { recording, forcePlates } = data;
  const trajectories = skeleton?.trajectories ?? centres?.trajectories ?? reconstruction.smoothed;
  return SEGMENT_TABLES.map((segments): TableRun => {
    if (segments === recording.segments) return { segments, used: true, record };
    const other = { ...recording, segments };
    const loads = jointLoads(bodyMotion(trajectories, other), forcePlates, reconstruction.turn);
    return { segments, used: false, record: describeLift(loads, other, false) };
  });
}
