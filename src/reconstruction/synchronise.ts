import { frameTime } from '../capture/frame-time.ts';
import { LANDMARKS, type Landmark } from '../capture/landmarks.ts';
import type { KeypointTrack } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { reconstructionNotes, recordingTooShort, viewsDoNotOverlap } from '../messages/reconstruction.ts';
import { LEAST_OVERLAP_S, LEAST_RECORDING_S, SLOW_S } from './limits.ts';
import { type ColumnTarget, resampleColumnInto } from './resample.ts';
import { frameToFrame, roundingSd, slowLeak } from './white-noise.ts';

/** One view on the common clock. */
export interface SynchronisedView {
  readonly camera: string;
  /** `2 * (frame * landmarks.length + landmark)`, px. */
  readonly pixel: Float64Array;
  /** `frame * landmarks.length + landmark`; only `seen` samples are numbers. */
  readonly status: Uint8Array;
  readonly resampled: boolean;
  readonly noise: ViewNoise;
}

/** Frame-to-frame noise of a view, told on its own frames before resampling; per landmark of SynchronisedViews. */
export interface ViewNoise {
  /**
   * Variance of a coordinate, px², as white noise at the grid's rate with as much of it at low frequencies as the film has (a
   * view with fewer frames a second than the grid has more). NaN where `count` is 0. Holds `leak` times the slow variance.
   */
  readonly variance: Float64Array;
  /** Differences it rests on. */
  readonly count: Float64Array;
  /** Variance of a sample on the grid over `variance`: what the resampling left. */
  readonly gain: Float64Array;
  readonly leak: number;
  /** What rounding alone gives, px². */
  readonly roundingVariance: number;
}

/** All views on the clock of the first: frame k is at `startS + k / frameRateHz`. */
export interface SynchronisedViews {
  readonly frameRateHz: number;
  readonly frames: number;
  readonly startS: number;
  /** Landmarks that at least two views report, in the order of LANDMARKS. */
  readonly landmarks: readonly Landmark[];
  readonly views: readonly SynchronisedView[];
}

/** Frame times that differ by less than this share of a frame are the same time. */
const SAME_FRAME = 1e-6;

/**
 * Puts all views on the frame times of the first view, over the time they share.
 *
 * A sample's time is frameTime + row / image height · readout, and the grid is spaced by the first view's frame rate from its
 * frame 0 on, also where that view's own frames are not equally spaced. A view whose frames fall on the grid and whose
 * shutter is global passes through untouched; any other is resampled by local cubics (`resample.ts`).
 * `imageHeights`: px, one a view. Errors: recording-too-short, views-do-not-overlap.
 */
export function synchronise(
  file: string,
  tracks: readonly KeypointTrack[],
  imageHeights: readonly number[],
  notes: string[],
): SynchronisedViews {
  const clock = tracks[0];
  const rate = clock.frameRateHz;
  const { startS, endS } = sharedTime(file, tracks);
  const firstFrame = Math.ceil((startS - clock.offsetS) * rate - SAME_FRAME);
  const lastFrame = Math.floor((endS - clock.offsetS) * rate + SAME_FRAME);
  const frames = lastFrame - firstFrame + 1;
  const gridStartS = clock.offsetS + firstFrame / rate;
  const landmarks = landmarksOfTwoViews(tracks, notes);

  const views = tracks.map((track, v): SynchronisedView => {
    const shift = (gridStartS - track.offsetS) * track.frameRateHz;
    const isOnGrid =
      track.readoutS === 0 &&
      Math.abs(track.frameRateHz - rate) * (frames / rate) < SAME_FRAME &&
      Math.abs(shift - Math.round(shift)) < SAME_FRAME &&
      isEquallySpaced(track, Math.round(shift), frames);
    const pixel = new Float64Array(2 * frames * landmarks.length).fill(Number.NaN);
    const status = new Uint8Array(frames * landmarks.length).fill(SampleStatus.occluded);
    const noise = viewNoise(track, landmarks, rate);
    for (let l = 0; l < landmarks.length; l++) {
      const column = track.landmarks.indexOf(landmarks[l]);
      if (column < 0) continue;
      const target = { pixel, status, count: landmarks.length, column: l, frames };
      if (isOnGrid) copyColumnInto(target, track, column, Math.round(shift));
      else noise.gain[l] *= resampleColumnInto(target, track, column, imageHeights[v], gridStartS, rate);
    }
    if (!isOnGrid) notes.push(reconstructionNotes.resampled(track.camera));
    if (!track.offsetStated && v > 0) notes.push(reconstructionNotes.offsetNotStated(track.camera));
    return { camera: track.camera, pixel, status, resampled: !isOnGrid, noise };
  });

  if (frames < Math.max(...tracks.map((track) => spanFrames(track) * (rate / track.frameRateHz))) - 1) {
    notes.push(reconstructionNotes.trimmed(gridStartS, gridStartS + (frames - 1) / rate));
  }
  return { frameRateHz: rate, frames, startS: gridStartS, landmarks, views };
}

/**
 * The time in which every view has a sample of every image row: from the last start (plus readout) to the first end.
 */
function sharedTime(file: string, tracks: readonly KeypointTrack[]): { startS: number; endS: number } {
  const spans = tracks.map((track) => ({
    camera: track.camera,
    firstS: track.offsetS + track.readoutS,
    lastS: frameTime(track, track.frames - 1),
  }));
  const longestS = Math.max(...tracks.map((track) => spanFrames(track) / track.frameRateHz));
  if (longestS < LEAST_RECORDING_S) {
    throw recordingTooShort(file, longestS, LEAST_RECORDING_S, 'shorter than any repetition');
  }
  const startS = Math.max(...spans.map((span) => span.firstS));
  const endS = Math.min(...spans.map((span) => span.lastS));
  if (endS - startS < LEAST_OVERLAP_S) throw viewsDoNotOverlap(file, spans, endS - startS, LEAST_OVERLAP_S);
  return { startS, endS };
}

/** Length of a view in frame intervals: its frames, and those that its time stamps show to be left out. */
function spanFrames({ frameTimesS, frames, frameRateHz }: KeypointTrack): number {
  return frameTimesS ? frameTimesS[frames - 1] * frameRateHz + 1 : frames;
}

/** Whether frames `first` … are those of an equally spaced view, as far as its own time stamps go. */
function isEquallySpaced({ frameTimesS, frameRateHz }: KeypointTrack, first: number, frames: number): boolean {
  if (!frameTimesS) return true;
  for (let j = first; j < first + frames; j++) {
    if (!(Math.abs(frameTimesS[j] * frameRateHz - j) < SAME_FRAME)) return false;
  }
  return true;
}

function viewNoise(track: KeypointTrack, landmarks: readonly Landmark[], gridRateHz: number): ViewNoise {
  const own = frameToFrame(track);
  const denser = Math.max(1, gridRateHz / track.frameRateHz);
  const columns = landmarks.map((landmark) => track.landmarks.indexOf(landmark));
  return {
    variance: Float64Array.from(columns, (column) => (column < 0 ? Number.NaN : denser * own.variance[column])),
    count: Float64Array.from(columns, (column) => (column < 0 ? 0 : own.count[column])),
    gain: new Float64Array(landmarks.length).fill(1 / denser),
    leak: denser * slowLeak(track.frameRateHz, SLOW_S),
    roundingVariance: denser * roundingSd(track) ** 2,
  };
}

function landmarksOfTwoViews(tracks: readonly KeypointTrack[], notes: string[]): Landmark[] {
  return LANDMARKS.filter((landmark) => {
    const reporting = tracks.filter((track) => track.landmarks.includes(landmark));
    if (reporting.length === 1) notes.push(reconstructionNotes.onlyOneView(landmark, reporting[0].camera));
    return reporting.length >= 2;
  });
}

function copyColumnInto(target: ColumnTarget, track: KeypointTrack, column: number, shift: number): void {
  const columns = track.landmarks.length;
  for (let k = 0; k < target.frames; k++) {
    const from = (k + shift) * columns + column;
    const to = k * target.count + target.column;
    target.status[to] = track.status[from];
    if (track.status[from] !== SampleStatus.seen) continue;
    target.pixel[2 * to] = track.pixel[2 * from];
    target.pixel[2 * to + 1] = track.pixel[2 * from + 1];
  }
}
