import type { KeypointTrack } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { personUnclear, reconstructionNotes } from '../messages/reconstruction.ts';
import { withoutFrozenFrames } from './frozen-views.ts';
import { OTHERS_SHARE } from './limits.ts';
import { framesOfOthers } from './person-jumps.ts';
import { repairSwaps, type SideSwaps } from './side-swaps/repair-swaps.ts';

/** Frames of one view in which its track was on another person. */
export interface OtherPeople {
  readonly camera: string;
  readonly frames: number;
  readonly stretches: number;
}

export interface MendedTracks {
  readonly tracks: readonly KeypointTrack[];
  readonly sideSwaps: readonly SideSwaps[];
  readonly otherPeople: readonly OtherPeople[];
}

/**
 * What is wrong with the tracks of whole views, before any point is made: stalled videos, leaps to another person (their
 * frames become outliers), left and right exchanged for a while (put right). Each is counted and noted.
 * Errors: view-frozen, keypoint-never-moves, person-unclear.
 */
export function mendTracks(file: string, tracks: readonly KeypointTrack[], notes: string[]): MendedTracks {
  const sideSwaps: SideSwaps[] = [];
  const otherPeople: OtherPeople[] = [];
  const mended = withoutFrozenFrames(file, tracks, notes).map((moving) => {
    const { track, others } = withoutOthers(file, moving, notes);
    if (others !== null) otherPeople.push(others);
    const repaired = repairSwaps(track);
    if (repaired.swaps.length > 0) notes.push(reconstructionNotes.sidesPutRight(track.camera, repaired.swaps));
    sideSwaps.push(...repaired.swaps);
    return repaired.track;
  });
  return { tracks: mended, sideSwaps, otherPeople };
}

function withoutOthers(
  file: string,
  track: KeypointTrack,
  notes: string[],
): { readonly track: KeypointTrack; readonly others: OtherPeople | null } {
  const stretches = framesOfOthers(track);
  if (stretches.length === 0) return { track, others: null };
  const frames = stretches.reduce((sum, { first, end }) => sum + end - first, 0);
  const share = frames / track.frames;
  if (share > OTHERS_SHARE) throw personUnclear(file, track.camera, track.files, share, OTHERS_SHARE);
  const count = track.landmarks.length;
  const status = track.status.slice();
  for (const { first, end } of stretches) {
    for (let s = first * count; s < end * count; s++) {
      if (status[s] === SampleStatus.seen) status[s] = SampleStatus.outlier;
    }
  }
  notes.push(reconstructionNotes.otherPerson(track.camera, frames, stretches.length));
  return { track: { ...track, status }, others: { camera: track.camera, frames, stretches: stretches.length } };
}
