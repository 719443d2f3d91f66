import type { KeypointTrack } from './recording.ts';

type Clock = Pick<KeypointTrack, 'offsetS' | 'frameRateHz' | 'frameTimesS'>;

/**
 * Time of a frame on the recording's common clock, seconds: offset + its own time stamp where the view has them, else
 * offset + frame / rate. Rolling shutter is not in it.
 */
export function frameTime(view: Clock, frame: number): number {
  return view.offsetS + (view.frameTimesS ? view.frameTimesS[frame] : frame / view.frameRateHz);
}

/** The frame nearest to a time on the common clock; of two equally near the later. Views without time stamps: may lie outside. */
export function nearestFrame(view: Clock, timeS: number): number {
  const times = view.frameTimesS;
  if (!times) return Math.round((timeS - view.offsetS) * view.frameRateHz);
  const wanted = timeS - view.offsetS;
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle] < wanted) low = middle + 1;
    else high = middle;
  }
  if (low === 0) return 0;
  if (low === times.length) return times.length - 1;
  return times[low] - wanted <= wanted - times[low - 1] ? low : low - 1;
}
