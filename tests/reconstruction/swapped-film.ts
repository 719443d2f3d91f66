import type { KeypointTrack } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import type { Random } from '../../src/numerics/random.ts';
import { SIDE_PAIRS } from '../../src/reconstruction/side-swaps/side-pairs.ts';
import type { FilmedView } from '../synthetic/film.ts';

export interface Disturbance {
  /** White noise, px a coordinate. */
  readonly noisePx: number;
  /** Share of samples lost, each for itself. */
  readonly dropShare: number;
  /** Share of a view's frames in which sides are exchanged. */
  readonly swapShare: number;
  /** Frames of a burst: from 1 to this; half of all exchanges are single frames. */
  readonly longestBurst: number;
}

export interface SwappedTrack {
  readonly track: KeypointTrack;
  /** `frame * SIDE_PAIRS.length + pair`: 1 = exchanged. */
  readonly swapped: Uint8Array;
}

/** An exact film of one view with noise, lost samples and exchanged sides: the legs, or the legs and the upper body. */
export function disturbedTrack(view: FilmedView, disturbance: Disturbance, random: Random): SwappedTrack {
  const { frames, landmarks } = view;
  const count = landmarks.length;
  const pixel = view.pixel.map((value) => value + disturbance.noisePx * random.normal());
  const status = new Uint8Array(frames * count).fill(SampleStatus.seen);
  const swapped = new Uint8Array(frames * SIDE_PAIRS.length);
  let left = Math.round(disturbance.swapShare * frames);
  while (left > 0) {
    const length = Math.min(left, random.uniform() < 0.5 ? 1 : 1 + random.integer(disturbance.longestBurst));
    const first = random.integer(frames - length);
    const all = random.uniform() < 0.5;
    SIDE_PAIRS.forEach(({ part }, p) => {
      if (part === 'bar' || (part !== 'legs' && !all)) return;
      for (let k = first; k < first + length; k++) swapped[k * SIDE_PAIRS.length + p] = 1;
    });
    left -= length;
  }
  SIDE_PAIRS.forEach((pair, p) => {
    const [l, r] = [landmarks.indexOf(pair.left), landmarks.indexOf(pair.right)];
    if (l < 0 || r < 0) return;
    for (let k = 0; k < frames; k++) {
      if (swapped[k * SIDE_PAIRS.length + p] === 0) continue;
      for (let c = 0; c < 2; c++) {
        const kept = pixel[2 * (k * count + l) + c];
        pixel[2 * (k * count + l) + c] = pixel[2 * (k * count + r) + c];
        pixel[2 * (k * count + r) + c] = kept;
      }
    }
  });
  for (let s = 0; s < status.length; s++) {
    if (random.uniform() >= disturbance.dropShare) continue;
    status[s] = SampleStatus.occluded;
    pixel.fill(Number.NaN, 2 * s, 2 * s + 2);
  }
  return {
    swapped,
    track: {
      camera: view.camera.name,
      files: [`${view.camera.name}.json`],
      frameRateHz: view.frameRateHz,
      offsetS: view.offsetS,
      offsetStated: true,
      readoutS: view.readoutS,
      frames,
      landmarks,
      pixel,
      confidence: new Float64Array(frames * count).fill(0.9),
      status,
    },
  };
}

export interface SwapCounts {
  /** Frames and pairs (with a value) that were exchanged, that still are after the repair, and that are now but were not. */
  readonly exchanged: number;
  readonly left: number;
  readonly false: number;
  /** Largest distance between the two points of a pair left or made wrong, px, at the exact places. */
  readonly widestPx: number;
}

/** Compares the mended track with the truth: which pairs carry each other's values. */
export function countSwaps(view: FilmedView, { track, swapped }: SwappedTrack, mended: KeypointTrack): SwapCounts {
  const count = track.landmarks.length;
  const counts = { exchanged: 0, left: 0, false: 0, widestPx: 0 };
  SIDE_PAIRS.forEach((pair, p) => {
    const [l, r] = [track.landmarks.indexOf(pair.left), track.landmarks.indexOf(pair.right)];
    if (l < 0 || r < 0) return;
    for (let k = 0; k < track.frames; k++) {
      const [a, b] = [k * count + l, k * count + r];
      if (track.status[a] !== SampleStatus.seen && track.status[b] !== SampleStatus.seen) continue;
      const was = swapped[k * SIDE_PAIRS.length + p] === 1;
      const moved =
        !Object.is(mended.pixel[2 * a], track.pixel[2 * a]) || !Object.is(mended.pixel[2 * b], track.pixel[2 * b]);
      if (was) counts.exchanged++;
      if (was === moved) continue;
      if (was) counts.left++;
      else counts.false++;
      const wide = Math.hypot(view.pixel[2 * a] - view.pixel[2 * b], view.pixel[2 * a + 1] - view.pixel[2 * b + 1]);
      counts.widestPx = Math.max(counts.widestPx, wide);
    }
  });
  return counts;
}
