import type { Board } from '../../../src/cameras/board.ts';
import { boardPoints } from '../../../src/cameras/board.ts';
import { composePoses, type Pose } from '../../../src/cameras/pose.ts';
import type { Camera } from '../../../src/cameras/rig.ts';
import type { BoardTrack } from '../../../src/cameras/still/board-track.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { rotationFromVector } from '../../../src/numerics/rotation.ts';
import { cameraLookingAt, pixelsOf } from '../synthetic-cameras.ts';

export const BOARD: Board = { columns: 8, rows: 5, squareSizeM: 0.06 };

/** Two cameras about 60° apart, three metres from where the board is shown. */
export function twoCameras(changes: Partial<Camera> = {}): Camera[] {
  return [-1, 1].map((side) =>
    cameraLookingAt(side < 0 ? 'left' : 'right', [2.6, 1.2, 1.5 * side], [0, 1.1, 0], changes),
  );
}

/** One stand of the board: from when, until when, and its pose (turn vector and place of its first corner). */
export interface Stand {
  readonly fromS: number;
  readonly toS: number;
  readonly turn: readonly [number, number, number];
  readonly place: readonly [number, number, number];
}

/** Stands of unequal length with moves of unequal length between, from a seed. Facing +X, where the cameras are. */
export function stands(count: number, seed: number, holdS: readonly [number, number] = [0.7, 1.6]): Stand[] {
  const random = seededRandom(seed);
  const within = (low: number, high: number) => low + (high - low) * random.uniform();
  let nowS = 1;
  return Array.from({ length: count }, () => {
    const fromS = nowS;
    const toS = fromS + within(...holdS);
    nowS = toS + within(0.4, 1.2);
    const turn = [within(-0.35, 0.35), within(-0.45, 0.45), within(-0.4, 0.4)] as const;
    return { fromS, toS, turn, place: [within(-0.4, 0.4), within(0.7, 1.5), within(-0.4, 0.4)] };
  });
}

/**
 * Pose worldFromBoard at a time on the true clock. Between two stands the board glides (a half cosine); in a stand it wobbles
 * by `wobbleM`, two slow sines.
 */
export function boardPose(list: readonly Stand[], timeS: number, wobbleM = 0): Pose {
  let next = list.findIndex((stand) => stand.toS >= timeS);
  if (next < 0) next = list.length - 1;
  const to = list[next];
  const from = list[Math.max(0, next - 1)];
  const part = Math.min(1, Math.max(0, (timeS - from.toS) / Math.max(1e-9, to.fromS - from.toS)));
  const share = next === 0 ? 1 : (1 - Math.cos(Math.PI * part)) / 2;
  const mix = (a: readonly number[], b: readonly number[]) => a.map((value, i) => value + share * (b[i] - value));
  const turn = mix(from.turn, to.turn);
  const place = mix(from.place, to.place);
  place[1] += wobbleM * Math.sin(2 * Math.PI * 0.7 * timeS);
  place[2] += wobbleM * Math.sin(2 * Math.PI * 0.9 * timeS + 1);
  // Columns: the board's x (along a row), y (down) and normal in the world, for a board that faces +X upright.
  const facing = [0, 0, -1, 0, -1, 0, -1, 0, 0];
  const [a, b] = [rotationFromVector(turn), facing];
  const rotation = new Float64Array(9);
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) for (let k = 0; k < 3; k++) rotation[3 * i + j] += a[3 * i + k] * b[3 * k + j];
  const points = boardPoints(BOARD);
  const middle = [points[points.length - 3] / 2, points[points.length - 2] / 2];
  const translation = Float64Array.from(
    place,
    (value, i) => value - rotation[3 * i] * middle[0] - rotation[3 * i + 1] * middle[1],
  );
  return { rotation, translation };
}

export interface Filming {
  readonly rateHz: number;
  readonly lengthS: number;
  /** Time on the true clock of the camera's frame 0, seconds. */
  readonly startS: number;
  readonly noisePx: number;
  readonly seed: number;
  readonly wobbleM?: number;
}

/** The board's true corners with noise, frame by frame. */
export function trackOf(camera: Camera, list: readonly Stand[], filming: Filming): BoardTrack {
  const count = Math.floor(filming.lengthS * filming.rateHz);
  const frames = Array.from({ length: count }, (_, k) => k);
  const timesS = Float64Array.from(frames, (k) => k / filming.rateHz);
  const corners = frames.map((k) => {
    const pose = boardPose(list, filming.startS + timesS[k], filming.wobbleM);
    const placed = { ...camera, ...composePoses(camera, pose) };
    return pixelsOf(placed, boardPoints(BOARD), filming.noisePx, filming.seed * 100_000 + k);
  });
  const imageSize = { width: camera.imageWidth, height: camera.imageHeight };
  return { camera: camera.name, imageSize, frames, timesS, corners };
}
