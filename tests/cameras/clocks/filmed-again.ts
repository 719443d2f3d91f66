import type { CameraRig } from '../../../src/cameras/rig.ts';
import { parseRig } from '../../../src/cameras/rig-file.ts';
import type { Landmark } from '../../../src/capture/landmarks.ts';
import type { KeypointTrack } from '../../../src/capture/recording.ts';
import { SampleStatus } from '../../../src/capture/sample-status.ts';
import { hashSeed, type Random, seededRandom } from '../../../src/numerics/random.ts';
import { demoCameras, type SyntheticCamera } from '../../synthetic/camera.ts';
import { demoRecording, liftOf } from '../../synthetic/demo.ts';
import { film } from '../../synthetic/film.ts';
import { BAR_ENDS, BODY_AND_FEET, rigFile } from '../../synthetic/write.ts';

/**
 * One lift filmed many times. The exact image tracks are computed once at a high rate and read between by cubics (a few
 * millionths of a pixel off); each filming reads them at its own frame times and adds its own noise. Independent of the analyser: pixels come from the
 * synthetic cameras.
 */
export interface FilmedLift {
  readonly cameras: readonly SyntheticCamera[];
  readonly rig: CameraRig;
  readonly landmarks: readonly Landmark[];
  readonly durationS: number;
  /** `2 * landmark + coordinate` of each camera: px at a time of the lift, seconds. */
  readonly tracks: readonly (readonly ((timeS: number) => number)[])[];
}

const TABLE_RATE_HZ = 120;

/** Cubic through the two samples before and the two after (Lagrange). */
function betweenSamples(y: Float64Array): (timeS: number) => number {
  return (timeS) => {
    const place = timeS * TABLE_RATE_HZ;
    const i = Math.min(y.length - 3, Math.max(1, Math.floor(place)));
    const s = place - i;
    const [a, b, c, d] = [y[i - 1], y[i], y[i + 1], y[i + 2]];
    return b + s * (c - a / 3 - b / 2 - d / 6 + s * ((a + c) / 2 - b + s * ((d - a) / 6 + (b - c) / 2)));
  };
}

export function filmedLift(recordingId: string, cameras: readonly SyntheticCamera[] = demoCameras()): FilmedLift {
  const recorded = demoRecording(recordingId);
  const lift = liftOf(recorded, 'outside');
  const landmarks = [...BODY_AND_FEET, ...BAR_ENDS];
  const views = film(lift, {
    frameRateHz: TABLE_RATE_HZ,
    views: cameras.map((camera) => ({ camera, offsetS: 0, readoutS: 0, bias: {} })),
    placement: { headingRad: recorded.headingRad, placeM: recorded.placeM },
    noise: null,
    landmarks,
    swaps: [],
    discsHide: false,
    seed: 1,
  });
  return {
    cameras,
    rig: parseRig(JSON.parse(rigFile(cameras)), 'rig.json'),
    landmarks,
    durationS: lift.course.durationS,
    tracks: views.map((view) =>
      landmarks.flatMap((_, l) =>
        [0, 1].map((c) =>
          betweenSamples(
            Float64Array.from({ length: view.frames }, (__, k) => view.pixel[2 * (k * landmarks.length + l) + c]),
          ),
        ),
      ),
    ),
  };
}

export interface Filmed {
  readonly offsetS: number;
  readonly frameRateHz: number;
  /** True (common) seconds in one second of frame / rate, minus 1. */
  readonly drift: number;
  readonly readoutS: number;
}

/** A lifter who only stands: the first second of the lift, with its sway, to and fro. */
export function standing(lift: FilmedLift): FilmedLift {
  const still = (track: (timeS: number) => number) => (timeS: number) =>
    track(0.45 + 0.4 * Math.sin(2 * Math.PI * 0.3 * timeS));
  return { ...lift, tracks: lift.tracks.map((view) => view.map(still)) };
}

/** The whole picture of one camera sways: amplitude px, frequency Hz, phase rad, direction rad. */
export function swaying(
  tracks: readonly KeypointTrack[],
  camera: number,
  amplitudePx: number,
  frequencyHz: number,
  phaseRad: number,
  directionRad: number,
): KeypointTrack[] {
  return tracks.map((track, c) => {
    if (c !== camera) return track;
    const pixel = track.pixel.slice();
    for (let k = 0; k < track.frames; k++) {
      const shift = amplitudePx * Math.sin((2 * Math.PI * frequencyHz * k) / track.frameRateHz + phaseRad);
      for (let l = 0; l < track.landmarks.length; l++) {
        pixel[2 * (k * track.landmarks.length + l)] += shift * Math.cos(directionRad);
        pixel[2 * (k * track.landmarks.length + l) + 1] += shift * Math.sin(directionRad);
      }
    }
    return { ...track, pixel };
  });
}

/** No swaps, no drops. */
export const UNDISTURBED = { swapShare: 0, dropShare: 0, fromS: 0, toS: Number.POSITIVE_INFINITY };

export interface Disturbance {
  /** Share of frames in which left and right legs are exchanged in one view, in stretches of a third of a second. */
  readonly swapShare: number;
  /** Share of samples lost, in bursts of a tenth of a second. */
  readonly dropShare: number;
  /** Part of the lift that is filmed, seconds. */
  readonly fromS: number;
  readonly toS: number;
}

/** Error of a pixel coordinate, px (standard deviations): independent from frame to frame, and a first-order process. */
export interface Noise {
  readonly whitePx: number;
  readonly slowPx: number;
  readonly slowS: number;
  /** Outside the estimator's assumption: all noise grows by this share for every 100 px/s of the point. Default 0. */
  readonly growth?: number;
}

export const WHITE: Noise = { whitePx: 1, slowPx: 0, slowS: 0.15 };
export const WHITE_AND_SLOW: Noise = { whitePx: 1, slowPx: 0.6, slowS: 0.15 };

function noiseInto(out: Float64Array, noise: Noise, frameRateHz: number, random: Random): void {
  const keep = Math.exp(-1 / (frameRateHz * noise.slowS));
  const renew = noise.slowPx * Math.sqrt(1 - keep * keep);
  for (let c = 0; c < 2; c++) {
    let slow = noise.slowPx * random.normal();
    for (let k = c; k < out.length; k += 2) {
      out[k] = slow + noise.whitePx * random.normal();
      if (renew > 0) slow = keep * slow + renew * random.normal();
    }
  }
}

export function filmAgain(
  lift: FilmedLift,
  clocks: readonly Filmed[],
  noise: Noise | null,
  seed: number,
  disturbance: Disturbance = UNDISTURBED,
): KeypointTrack[] {
  return clocks.map((clock, c) => {
    const camera = lift.cameras[c];
    const random = seededRandom(hashSeed('filmed again', seed, camera.name));
    const count = lift.landmarks.length;
    const firstS = Math.max(0, disturbance.fromS);
    const lastS = Math.min(lift.durationS - 0.1, disturbance.toS);
    // The recording begins when its clock says 0: at offset on the lift's clock, counted from the part's start.
    const frames = Math.floor(((lastS - firstS - clock.offsetS) / (1 + clock.drift)) * clock.frameRateHz);
    const pixel = new Float64Array(2 * frames * count);
    const status = new Uint8Array(frames * count);
    const height = camera.imageSizePx[1];
    const error = new Float64Array(2 * frames);
    for (let l = 0; l < count; l++) {
      const u = lift.tracks[c][2 * l];
      const v = lift.tracks[c][2 * l + 1];
      if (noise) noiseInto(error, noise, clock.frameRateHz, random);
      for (let k = 0; k < frames; k++) {
        const startS = firstS + clock.offsetS + (1 + clock.drift) * (k / clock.frameRateHz);
        let timeS = startS;
        if (clock.readoutS !== 0)
          for (let round = 0; round < 4; round++) timeS = startS + (v(timeS) / height) * clock.readoutS;
        const at = k * count + l;
        pixel[2 * at] = u(timeS);
        pixel[2 * at + 1] = v(timeS);
        if (!noise) continue;
        let times = 1;
        if (noise.growth)
          times += noise.growth * Math.hypot(u(timeS + 0.01) - pixel[2 * at], v(timeS + 0.01) - pixel[2 * at + 1]);
        pixel[2 * at] += times * error[2 * k];
        pixel[2 * at + 1] += times * error[2 * k + 1];
      }
    }
    const track = {
      camera: camera.name,
      files: [],
      frameRateHz: clock.frameRateHz,
      offsetS: 0,
      offsetStated: false,
      readoutS: clock.readoutS,
      frames,
      landmarks: lift.landmarks,
      pixel,
      confidence: new Float64Array(frames * count).fill(0.9),
      status,
    };
    if (disturbance.swapShare > 0 && c === 1) exchangeLegs(track, disturbance.swapShare, random);
    if (disturbance.dropShare > 0) drop(track, disturbance.dropShare, random);
    return track;
  });
}

function exchangeLegs({ pixel, frames, landmarks, frameRateHz }: KeypointTrack, share: number, random: Random): void {
  const length = Math.round(frameRateHz / 3);
  const stretches = Math.max(1, Math.round((share * frames) / length));
  for (let n = 0; n < stretches; n++) {
    const first = random.integer(frames - length);
    landmarks.forEach((name, l) => {
      if (!/^left_(hip|knee|ankle|heel|big_toe|small_toe)$/.test(name)) return;
      const other = landmarks.indexOf(name.replace('left_', 'right_') as Landmark);
      for (let k = first; k < first + length; k++) {
        for (const c of [0, 1]) {
          const a = 2 * (k * landmarks.length + l) + c;
          const b = 2 * (k * landmarks.length + other) + c;
          [pixel[a], pixel[b]] = [pixel[b], pixel[a]];
        }
      }
    });
  }
}

function drop({ pixel, status, frames, landmarks, frameRateHz }: KeypointTrack, share: number, random: Random): void {
  const length = Math.round(frameRateHz / 10);
  const bursts = Math.round((share * frames) / length);
  for (let l = 0; l < landmarks.length; l++) {
    for (let n = 0; n < bursts; n++) {
      const first = random.integer(frames - length);
      for (let k = first; k < first + length; k++) {
        const at = k * landmarks.length + l;
        status[at] = SampleStatus.occluded;
        pixel[2 * at] = pixel[2 * at + 1] = Number.NaN;
      }
    }
  }
}
