import type { KeypointTrack } from '../../capture/recording.ts';

/** Time of a frame on the camera's own clock, seconds: without offset and row. */
export function frameTimeS(track: KeypointTrack, frame: number): number {
  return track.frameTimesS?.[frame] ?? frame / track.frameRateHz;
}

/** Time from the first frame to the last, seconds. */
export function lengthS(track: KeypointTrack): number {
  return frameTimeS(track, track.frames - 1) - frameTimeS(track, 0);
}

/** What turns a camera's own time into the common one: time = offset + (1 + drift) · own time + row / height · readout. */
export interface ClockState {
  readonly offsetS: Float64Array;
  readonly drift: Float64Array;
  readonly readoutS: Float64Array;
}
