import type { BoardImage } from '../../src/cameras/board.ts';
import { type Board, boardPoints } from '../../src/cameras/board.ts';
import { projectInto } from '../../src/cameras/camera-model.ts';
import { composePoses, type Pose } from '../../src/cameras/pose.ts';
import type { Camera, Distortion } from '../../src/cameras/rig.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { rotationFromVector } from '../../src/numerics/rotation.ts';

/** An invented camera of 1920 × 1080 px; every field can be replaced. */
export function camera(changes: Partial<Camera> = {}): Camera {
  return {
    name: 'invented',
    imageWidth: 1920,
    imageHeight: 1080,
    fx: 1500,
    fy: 1500,
    cx: 950,
    cy: 545,
    skew: 0,
    distortion: [0, 0, 0, 0, 0],
    rotation: rotationFromVector([0.1, -0.2, 0.05]),
    translation: Float64Array.of(0.1, -0.2, 4),
    ...changes,
  };
}

export const MODERATE_DISTORTION: Distortion = [-0.28, 0.09, 0.0012, -0.0008, 0.01];

/** A camera at `centre` (metres, Y up) looking at `target`, upright. */
export function cameraLookingAt(
  name: string,
  centre: readonly number[],
  target: readonly number[],
  changes: Partial<Camera> = {},
): Camera {
  const unit = (v: number[]) => v.map((x) => x / Math.hypot(...v));
  const cross = (a: number[], b: number[]) => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  ];
  const ahead = unit(target.map((x, i) => x - centre[i]));
  const right = unit(cross(ahead, [0, 1, 0]));
  const down = cross(ahead, right);
  const rotation = Float64Array.of(...right, ...down, ...ahead);
  const translation = Float64Array.from(
    [right, down, ahead],
    (row) => -row.reduce((sum, x, i) => sum + x * centre[i], 0),
  );
  return camera({ name, rotation, translation, ...changes });
}

/** Pixels of points (3 × n), 2 × n, with optional normal noise. */
export function pixelsOf(seeing: Camera, points: Float64Array, noisePx = 0, seed = 1): Float64Array {
  const random = seededRandom(seed);
  const pixels = new Float64Array((2 * points.length) / 3);
  for (let i = 0; 3 * i < points.length; i++) {
    projectInto(pixels, 2 * i, seeing, points[3 * i], points[3 * i + 1], points[3 * i + 2]);
  }
  return noisePx === 0 ? pixels : pixels.map((x) => x + noisePx * random.normal());
}

/** Corners of a board at worldFromBoard poses as each camera sees them. */
export function boardImages(
  cameras: readonly Camera[],
  board: Board,
  poses: ReadonlyMap<string, Pose>,
  noisePx = 0,
): BoardImage[] {
  const points = boardPoints(board);
  return cameras.flatMap((seeing, c) =>
    [...poses].map(([image, pose], i): BoardImage => {
      const placed = { ...seeing, ...composePoses(seeing, pose) };
      return { camera: seeing.name, image, corners: pixelsOf(placed, points, noisePx, 1000 * c + i + 1) };
    }),
  );
}
