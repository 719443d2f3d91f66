import type { Landmark } from '../../src/capture/landmarks.ts';
import { hashSeed, type Random, seededRandom } from '../../src/numerics/random.ts';
import { imageOf, type SyntheticCamera } from './camera.ts';
import { landmarksOf, type VirtualLift } from './lift.ts';
import { noiseTrace, type PixelNoise } from './noise.ts';
import type { Equipment } from './posture.ts';
import { add, between, subtract, type Vector } from './vector.ts';

/** Where the lifter stands in the world of the rig. */
export interface Placement {
  /** Turn about Y that carries lab +X to the direction the lifter faces, radians. */
  readonly headingRad: number;
  readonly placeM: readonly [x: number, z: number];
}

/** Shift of a keypoint from the true point: forward, up, outward (away from the midline), metres, lab axes. */
export type Bias = Readonly<Partial<Record<BiasedPoint, Vector>>>;
export type BiasedPoint =
  | 'eye'
  | 'ear'
  | 'shoulder'
  | 'elbow'
  | 'wrist'
  | 'hip'
  | 'knee'
  | 'ankle'
  | 'heel'
  | 'big_toe';

export interface FilmedFrom {
  readonly camera: SyntheticCamera;
  /** Time of frame 0 on the lift's clock, seconds. */
  readonly offsetS: number;
  /** Rolling shutter: seconds from the first image row to the last; 0 = all rows at once. */
  readonly readoutS: number;
  readonly bias: Bias;
  /** Shifts of single keypoints on top of the bias of the pairs: forward, up, to the right, metres, lab axes. */
  readonly shifts?: Readonly<Partial<Record<Landmark, Vector>>>;
}

/** Left and right taken for each other by the detector in one view, from one time to another. */
export interface SideSwap {
  readonly camera: string;
  readonly fromS: number;
  readonly toS: number;
  readonly points: 'legs' | 'all';
}

export interface Filming {
  readonly frameRateHz: number;
  readonly views: readonly FilmedFrom[];
  readonly placement: Placement;
  /** null: exact pixels. */
  readonly noise: PixelNoise | null;
  /** Noise of a landmark in a view over that of the mean one; absent: as `noise` says. */
  readonly noiseShare?: (landmark: Landmark, camera: string) => number;
  readonly landmarks: readonly Landmark[];
  readonly swaps: readonly SideSwap[];
  /** True: points behind a disc are seen badly or not at all. */
  readonly discsHide: boolean;
  readonly seed: number;
}

/** Keypoints of one view. `pixel`: 2 × frames × landmarks; NaN where the detector reports nothing. `confidence` 0–1. */
export interface FilmedView {
  readonly camera: SyntheticCamera;
  readonly frameRateHz: number;
  readonly offsetS: number;
  readonly readoutS: number;
  readonly frames: number;
  readonly landmarks: readonly Landmark[];
  readonly pixel: Float64Array;
  readonly confidence: Float64Array;
}

/** Confidence of an undisturbed point, and of one that is hidden. */
const CLEAR = 0.94;
const HIDDEN = 0.18;

const { cos, max, min, sin } = Math;

export function film(lift: VirtualLift, filming: Filming): FilmedView[] {
  return filming.views.map((view) => filmView(lift, filming, view));
}

function filmView(lift: VirtualLift, filming: Filming, view: FilmedFrom): FilmedView {
  const { camera, offsetS, readoutS } = view;
  const { frameRateHz, landmarks, seed } = filming;
  const frames = Math.floor((lift.course.durationS - offsetS) * frameRateHz);
  const count = landmarks.length;
  const pixel = new Float64Array(2 * frames * count).fill(Number.NaN);
  const confidence = new Float64Array(frames * count);
  const eye = labFromWorld(filming.placement, camera.centre);
  const shifts = landmarks.map((landmark) => {
    const own = view.shifts?.[landmark];
    const common = shiftOf(landmark, view.bias);
    return own ? add(common, own) : common;
  });
  const hides = filming.discsHide;
  for (let k = 0; k < frames; k++) {
    const t = offsetS + k / frameRateHz;
    const instants = (readoutS > 0 ? [t, t + readoutS / 2, t + readoutS] : [t]).map((time) => lift.postureAt(time));
    const places = instants.map((posture) => landmarksOf(posture, lift.setup.equipment));
    for (let l = 0; l < count; l++) {
      const moving = places.map((points) => points.get(landmarks[l]));
      if (!moving[0]) throw new Error(`The virtual lifter has no point ${landmarks[l]}`);
      const seen = imageInTime(camera, filming.placement, readoutS, moving as Vector[], shifts[l]);
      if (!seen) continue;
      const at = k * count + l;
      pixel[2 * at] = seen.pixel[0];
      pixel[2 * at + 1] = seen.pixel[1];
      const hidden = hides && behindDisc(lift.setup.equipment, instants[0].upper.bar, eye, seen.place);
      confidence[at] = hidden ? HIDDEN : CLEAR;
    }
  }
  const shown = { camera, frameRateHz, offsetS, readoutS, frames, landmarks, pixel, confidence };
  if (filming.noise) {
    disturb(shown, filming.noise, seededRandom(hashSeed(seed, 'film', camera.name)), filming.noiseShare);
  }
  for (const swap of filming.swaps) if (swap.camera === camera.name) swapSides(shown, swap);
  return shown;
}

/**
 * Image of a point at the moment its own row is read: the row sets the time, the time the row; four rounds settle it far
 * below a thousandth of a pixel. Within the readout a parabola through the point's places at its start, middle and end
 * stands for the motion (a global shutter has the one place).
 */
function imageInTime(
  camera: SyntheticCamera,
  placement: Placement,
  readoutS: number,
  places: readonly Vector[],
  shift: Vector,
): { pixel: readonly [number, number]; place: Vector } | null {
  let place = places.length === 1 ? add(places[0], shift) : onParabola(places, 0.5, shift);
  let pixel = imageOf(camera, worldFromLab(placement, place));
  for (let round = 0; pixel && readoutS > 0 && round < 4; round++) {
    const row = pixel[1];
    place = onParabola(places, min(1, max(0, row / camera.imageSizePx[1])), shift);
    pixel = imageOf(camera, worldFromLab(placement, place));
    // The next round would find the same.
    if (pixel && pixel[1] === row) break;
  }
  return pixel && { pixel, place };
}

/** Place at a share of the readout, shifted. */
function onParabola([a, b, c]: readonly Vector[], share: number, shift: Vector): Vector {
  const first = (2 * share - 1) * (share - 1);
  const middle = 4 * share * (1 - share);
  const last = share * (2 * share - 1);
  return [
    first * a[0] + middle * b[0] + last * c[0] + shift[0],
    first * a[1] + middle * b[1] + last * c[1] + shift[1],
    first * a[2] + middle * b[2] + last * c[2] + shift[2],
  ];
}

/** Keypoint minus true point, lab axes. */
function shiftOf(landmark: Landmark, bias: Bias): Vector {
  const [, side, point] = /^(left|right)_(.+)$/.exec(landmark) ?? [];
  const shift = bias[point as BiasedPoint];
  return shift ? [shift[0], shift[1], side === 'left' ? -shift[2] : shift[2]] : [0, 0, 0];
}

export function worldFromLab({ headingRad, placeM }: Placement, [x, y, z]: Vector): Vector {
  const c = cos(headingRad);
  const s = sin(headingRad);
  return [c * x + s * z + placeM[0], y, -s * x + c * z + placeM[1]];
}

export function labFromWorld({ headingRad, placeM }: Placement, [x, y, z]: Vector): Vector {
  const c = cos(headingRad);
  const s = sin(headingRad);
  const [u, w] = [x - placeM[0], z - placeM[1]];
  return [c * u - s * w, y, s * u + c * w];
}

/** True where the line from the camera to the point passes through a disc (a cylinder about the bar, lab Z). */
export function behindDisc(equipment: Equipment, bar: Vector, eye: Vector, point: Vector): boolean {
  if (equipment.loadKg <= equipment.barMassKg) return false;
  const ray = subtract(point, eye);
  const { discAtM, discThicknessM, discRadiusM } = equipment;
  for (const side of [-1, 1]) {
    for (const face of [-0.5, 0, 0.5]) {
      const z = side * (discAtM + face * discThicknessM);
      const share = (z - eye[2]) / ray[2];
      if (!(share > 0 && share < 0.999)) continue;
      const through = between(eye, point, share);
      if (Math.hypot(through[0] - bar[0], through[1] - bar[1]) < discRadiusM) return true;
    }
  }
  return false;
}

/** Adds noise, drops and weak confidences to exact pixels, each landmark with its own seeded trace. */
function disturb(view: FilmedView, noise: PixelNoise, random: Random, shareOf: Filming['noiseShare']): void {
  const { frames, landmarks, pixel, confidence } = view;
  const lostFrames = new Set<number>();
  for (let k = 0; k < frames; k++) if (random.uniform() < noise.lostFrameShare) lostFrames.add(k);
  landmarks.forEach((landmark, l) => {
    const share = shareOf?.(landmark, view.camera.name);
    const trace = noiseTrace(landmark, frames, view.frameRateHz, noise, random, share);
    for (let k = 0; k < frames; k++) {
      const at = k * landmarks.length + l;
      const hidden = confidence[at] < CLEAR;
      const spread = hidden ? 6 : 1;
      pixel[2 * at] += spread * trace.errorPx[2 * k];
      pixel[2 * at + 1] += spread * trace.errorPx[2 * k + 1];
      confidence[at] = Math.max(0.01, Math.min(0.99, hidden ? HIDDEN * trace.confidence[k] : trace.confidence[k]));
      if (lostFrames.has(k) || trace.confidence[k] === 0) {
        pixel[2 * at] = Number.NaN;
        pixel[2 * at + 1] = Number.NaN;
        confidence[at] = 0;
      }
    }
  });
}

function swapSides(view: FilmedView, swap: SideSwap): void {
  const { landmarks, pixel, confidence } = view;
  const legs = /_(hip|knee|ankle|heel|big_toe|small_toe)$/;
  for (let k = 0; k < view.frames; k++) {
    const t = view.offsetS + k / view.frameRateHz;
    if (t < swap.fromS || t > swap.toS) continue;
    landmarks.forEach((landmark, l) => {
      if (!landmark.startsWith('left_') || (swap.points === 'legs' && !legs.test(landmark))) return;
      const other = landmarks.indexOf(landmark.replace('left_', 'right_') as Landmark);
      if (other < 0) return;
      const [a, b] = [k * landmarks.length + l, k * landmarks.length + other];
      exchange(pixel, 2 * a, 2 * b);
      exchange(pixel, 2 * a + 1, 2 * b + 1);
      exchange(confidence, a, b);
    });
  }
}

function exchange(values: Float64Array, a: number, b: number): void {
  const kept = values[a];
  values[a] = values[b];
  values[b] = kept;
}
