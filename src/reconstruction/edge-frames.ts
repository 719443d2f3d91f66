import { MOMENT_LANDMARKS } from '../capture/landmarks.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import type { Trajectories } from './trajectories.ts';

/** Sets `out` (one a frame) to 1 where a shoulder, hip, knee or ankle lies within one filter memory of the end of a tracked stretch. */
export function markEdgesInto(out: Uint8Array, { landmarks, status, frames }: Trajectories): void {
  for (const name of MOMENT_LANDMARKS) {
    const column = landmarks.indexOf(name);
    if (column < 0) continue;
    for (let f = 0; f < frames; f++) if (status[f * landmarks.length + column] === SampleStatus.edge) out[f] = 1;
  }
}
