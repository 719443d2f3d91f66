import type { Camera, CameraRig } from '../cameras/rig.ts';
import type { Landmark } from '../capture/landmarks.ts';
import type { KeypointTrack, PointTrack } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { reconstructionNotes } from '../messages/reconstruction.ts';
import { samplesBeyondRange } from './body-range.ts';
import { mendTracks, type OtherPeople } from './mend-tracks.ts';
import type { SideSwaps } from './side-swaps/repair-swaps.ts';
import { synchronise } from './synchronise.ts';
import { type Triangulation, triangulate } from './triangulate.ts';
import { camerasOfViews, checkLifterSeen, insideImage } from './view-checks.ts';

/** Points as measured, in the axes of the rig's world or of the file, before turning, filling and smoothing. */
export interface MeasuredPoints {
  readonly source: 'points' | 'views';
  readonly frameRateHz: number;
  readonly frames: number;
  readonly startS: number;
  readonly landmarks: readonly Landmark[];
  /** `3 * (frame * landmarks.length + landmark)`, metres. */
  readonly position: Float64Array;
  /** `6 * (frame * landmarks.length + landmark)`, m²; NaN where not known. */
  readonly covariance: Float64Array;
  readonly status: Uint8Array;
  /** The residuals, where the points come from views. */
  readonly residuals: {
    readonly cameras: readonly string[];
    readonly cameraModels: readonly Camera[];
    readonly triangulation: Triangulation;
    readonly sideSwaps: readonly SideSwaps[];
    readonly otherPeople: readonly OtherPeople[];
  } | null;
}

/** Views → mended tracks → clock of the first view → triangulated points. */
export function pointsFromViews(
  file: string,
  tracks: readonly KeypointTrack[],
  rig: CameraRig,
  notes: string[],
): MeasuredPoints {
  const cameras = camerasOfViews(file, tracks, rig);
  const inside = tracks.map((track, v) => insideImage(file, track, cameras[v], notes));
  checkLifterSeen(file, inside);
  const { tracks: mended, sideSwaps, otherPeople } = mendTracks(file, inside, notes);
  const views = synchronise(
    file,
    mended,
    cameras.map((camera) => camera.imageHeight),
    notes,
  );
  const triangulation = triangulate(file, views, cameras, notes);
  cameras.forEach((camera, v) => {
    const samples = triangulation.leftOut[v];
    if (samples > 0) notes.push(reconstructionNotes.viewLeftOut(camera.name, samples));
  });
  if (cameras.length === 2) notes.push(reconstructionNotes.twoViews);
  return {
    source: 'views',
    frameRateHz: views.frameRateHz,
    frames: views.frames,
    startS: views.startS,
    landmarks: views.landmarks,
    position: triangulation.position,
    covariance: triangulation.covariance,
    status: triangulation.status,
    residuals: {
      cameras: cameras.map((camera) => camera.name),
      cameraModels: cameras,
      triangulation,
      sideSwaps,
      otherPeople,
    },
  };
}

/** 3D points of a file: covariance sd² · 1 where a standard deviation is stated, else not known. */
export function pointsFromFile(track: PointTrack): MeasuredPoints {
  const position = track.position.slice();
  const status = track.status.slice();
  for (const sample of samplesBeyondRange(position)) {
    status[sample] = SampleStatus.beyondRange;
    position.fill(Number.NaN, 3 * sample, 3 * sample + 3);
  }
  const covariance = new Float64Array(6 * status.length).fill(Number.NaN);
  if (track.sdM !== null) {
    const variance = track.sdM * track.sdM;
    for (let s = 0; s < status.length; s++) {
      if (status[s] === SampleStatus.seen) covariance.set([variance, 0, 0, variance, 0, variance], 6 * s);
    }
  }
  return {
    source: 'points',
    frameRateHz: track.frameRateHz,
    frames: track.frames,
    startS: 0,
    landmarks: track.landmarks,
    position,
    covariance,
    status,
    residuals: null,
  };
}
