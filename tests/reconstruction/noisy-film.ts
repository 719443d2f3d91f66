import type { Camera } from '../../src/cameras/rig.ts';
import type { KeypointTrack } from '../../src/capture/recording.ts';
import type { Random } from '../../src/numerics/random.ts';
import { BODY, film, type Motion } from './scene.ts';

/** Normal noise of one view, px a coordinate: white, and a first-order process of 0.15 s. */
export interface ViewNoise {
  readonly whitePx: number;
  readonly slowPx: number;
}

export const SLOW_S = 0.15;

/** Each landmark's share of its view's noise: some detectors are surer of ankles than of hips. */
export const landmarkShare = (landmark: number): number => 0.75 + (0.5 * (landmark % 5)) / 4;

/** The keypoints of one camera with its own noise. */
export function noisyFilm(
  camera: Camera,
  motion: Motion,
  frames: number,
  rateHz: number,
  noise: ViewNoise,
  random: Random,
): KeypointTrack {
  const keep = Math.exp(-1 / (rateHz * SLOW_S));
  const slow = Float64Array.from({ length: 2 * BODY.length }, () => random.normal());
  let call = 0;
  return film(camera, motion, {
    frames,
    rateHz,
    noise: () => {
      const i = call++ % slow.length;
      const error = landmarkShare(Math.floor(i / 2)) * (noise.whitePx * random.normal() + noise.slowPx * slow[i]);
      slow[i] = keep * slow[i] + Math.sqrt(1 - keep * keep) * random.normal();
      return error;
    },
  });
}
