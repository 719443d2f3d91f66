import type { KeypointTrack } from '../../capture/recording.ts';
import type { ClockEstimate } from './estimate-clocks.ts';

/**
 * The tracks with the clocks that were found: offset and readout as estimated; a drift becomes a frame rate divided by
 * 1 + drift, or frame times multiplied by it. Tracks and estimate must be of the same cameras; pixels are shared.
 */
export function applyClocks(tracks: readonly KeypointTrack[], estimate: ClockEstimate): KeypointTrack[] {
  return tracks.map((track: KeypointTrack): KeypointTrack => {
    const clock = estimate.cameras.find(({ camera }) => camera === track.camera);
    if (!clock) throw new RangeError(`applyClocks: no clock of camera ${track.camera}`);
    const rate = 1 + clock.drift;
    return {
      ...track,
      offsetS: clock.offsetS,
      offsetStated: true,
      readoutS: clock.readoutS,
      frameRateHz: track.frameRateHz / rate,
      ...(track.frameTimesS ? { frameTimesS: track.frameTimesS.map((timeS) => timeS * rate) } : {}),
    };
  });
}
