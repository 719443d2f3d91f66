import type { Landmark } from '../../src/capture/landmarks.ts';
import type { Random } from '../../src/numerics/random.ts';

/** Taken out of the global object once: where globals are intercepted, each look-up costs more than the arithmetic. */
const { exp, floor, log, max, min, sqrt } = Math;

/** Error of a keypoint detector, pixels a coordinate (standard deviations). */
export interface PixelNoise {
  /** Independent from frame to frame. */
  readonly whitePx: number;
  /** Wanders: first-order process with this standard deviation and correlation time. */
  readonly slowPx: number;
  readonly slowS: number;
  /** Student t of the white part, scaled to `whitePx`; null = normal. Above 2. */
  readonly tailDegreesOfFreedom: number | null;
  /** True: each landmark has its own share of the noise (hips more, bar ends less); false: all alike. */
  readonly byLandmark: boolean;
  /** Bursts in which a point is seen badly (low confidence, eight times the noise) or not at all; a minute and landmark. */
  readonly burstsPerMinute: number;
  /** Mean length of a burst, seconds (exponential), and where it is cut off. */
  readonly burstS: number;
  readonly longestBurstS: number;
  /** Share of frames in which the person is not found. */
  readonly lostFrameShare: number;
}

/** Noise of a landmark over the mean: invented, ordered as detectors are (hips worst, ends of the bar best). */
const SHARE: readonly (readonly [RegExp, number])[] = [
  [/_hip$/, 1.3],
  [/_shoulder$/, 1.1],
  [/_(elbow|wrist|heel)$/, 1.05],
  [/_(eye|ear)$|nose/, 0.8],
  [/^bar_/, 0.6],
];

export const noiseShare = (landmark: Landmark): number => SHARE.find(([pattern]) => pattern.test(landmark))?.[1] ?? 1;

export interface NoiseTrace {
  /** `2 * frame`. */
  readonly errorPx: Float64Array;
  /** 0 = not reported. */
  readonly confidence: Float64Array;
}

/**
 * One landmark's error over the frames. Confidence falls where the noise is large: both follow one slow process. `share`: the
 * landmark's noise over the mean.
 */
export function noiseTrace(
  landmark: Landmark,
  frames: number,
  frameRateHz: number,
  noise: PixelNoise,
  random: Random,
  share: number = noise.byLandmark ? noiseShare(landmark) : 1,
): NoiseTrace {
  const keep = exp(-1 / (frameRateHz * noise.slowS));
  const renew = sqrt(1 - keep * keep);
  const difficultyKeep = exp(-1 / (frameRateHz * 0.5));
  const difficultyRenew = sqrt(1 - difficultyKeep ** 2);
  const slow = [random.normal(), random.normal()];
  let difficulty = random.normal();
  const bursts = burstsOf(frames, frameRateHz, noise, random);
  const errorPx = new Float64Array(2 * frames);
  const confidence = new Float64Array(frames);
  for (let k = 0; k < frames; k++) {
    const level = noise.byLandmark ? exp(0.2 * difficulty - 0.04) : 1;
    const burst = bursts[k];
    const spread = share * level * (burst === CLEAR_FRAME ? 1 : 8);
    for (let c = 0; c < 2; c++) {
      errorPx[2 * k + c] = spread * (noise.whitePx * whiteDraw(noise, random) + noise.slowPx * slow[c]);
      slow[c] = keep * slow[c] + renew * random.normal();
    }
    difficulty = difficultyKeep * difficulty + difficultyRenew * random.normal();
    const clear = 0.97 - 0.06 * share * level + 0.015 * random.normal();
    confidence[k] = burst === LOST ? 0 : burst === WEAK ? 0.05 + 0.2 * random.uniform() : min(0.99, clear);
  }
  return { errorPx, confidence };
}

/** A draw of variance 1. */
function whiteDraw({ tailDegreesOfFreedom: nu }: PixelNoise, random: Random): number {
  return nu === null ? random.normal() : random.studentT(nu) / sqrt(nu / (nu - 2));
}

const CLEAR_FRAME = 0;
const WEAK = 1;
const LOST = 2;

function burstsOf(frames: number, frameRateHz: number, noise: PixelNoise, random: Random): Uint8Array {
  const kind = new Uint8Array(frames);
  const perFrame = noise.burstsPerMinute / (60 * frameRateHz);
  for (let k = 0; k < frames; k++) {
    if (random.uniform() >= perFrame) continue;
    const lengthS = min(noise.longestBurstS, -log(1 - random.uniform()) * noise.burstS);
    const length = max(1, floor(lengthS * frameRateHz));
    kind.fill(random.uniform() < 0.5 ? WEAK : LOST, k, min(frames, k + length));
    k += length;
  }
  return kind;
}

/** Exact white noise of one size on every landmark: the plain case of error propagation. */
export function whiteNoise(px: number): PixelNoise {
  return {
    whitePx: px,
    slowPx: 0,
    slowS: 0.15,
    tailDegreesOfFreedom: null,
    byLandmark: false,
    burstsPerMinute: 0,
    burstS: 0.1,
    longestBurstS: 0.1,
    lostFrameShare: 0,
  };
}

/** A detector on a good day: about 1 px in all, two thirds of the variance white with heavy tails, the rest slow. */
export const DETECTOR_NOISE: PixelNoise = {
  whitePx: 0.8,
  slowPx: 0.6,
  slowS: 0.15,
  tailDegreesOfFreedom: 5,
  byLandmark: true,
  burstsPerMinute: 2,
  burstS: 0.06,
  longestBurstS: 0.1,
  lostFrameShare: 0.001,
};
