import { type Board, type BoardImage, boardPoints } from '../../src/cameras/board.ts';
import type { Pose } from '../../src/cameras/pose.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { multiply3, rotationFromVector } from '../../src/numerics/rotation.ts';
import { boardImages, cameraLookingAt } from './synthetic-cameras.ts';

/** An invented gym: two phones, one upright, and a large board carried through a lifter's space. Y up, metres. */
export const GYM_BOARD: Board = { columns: 7, rows: 5, squareSizeM: 0.08 };
export const GYM_CAMERAS: readonly Camera[] = [
  cameraLookingAt('phone A', [2.6, 1.3, 2.6], [0, 0.95, 0], { fx: 1450, fy: 1450, distortion: [-0.08, 0.02, 0, 0, 0] }),
  cameraLookingAt('phone B', [-2.4, 1.1, 3.0], [0, 0.95, 0], {
    imageWidth: 1080,
    imageHeight: 1920,
    fx: 1480,
    fy: 1480,
    cx: 538,
    cy: 962,
  }),
];
export const FLOOR_IMAGE = 'floor';

/** Places of the board: `count` in the air at random places and tilts (fixed seed), and one flat on the floor. */
export function gymPoses(count: number, seed = 7): Map<string, Pose> {
  const random = seededRandom(seed);
  const between = (low: number, high: number) => low + (high - low) * random.uniform();
  const poses = new Map<string, Pose>();
  for (let i = 0; i < count; i++) {
    const heading = between(-0.35, 0.35);
    const ahead = [Math.sin(heading), 0, -Math.cos(heading)];
    const facing = Float64Array.of(-ahead[2], 0, ahead[0], 0, -1, 0, ahead[0], ahead[1], ahead[2]);
    const upright = [0, 3, 6, 1, 4, 7, 2, 5, 8].map((k) => facing[k]);
    const tilt = rotationFromVector([between(-0.6, 0.6), between(-0.6, 0.6), between(-0.4, 0.4)]);
    const centre = [between(-0.6, 0.6), between(0.35, 1.75), between(-0.6, 0.6)];
    poses.set(`place ${String(i + 1).padStart(2, '0')}`, centredAt(multiply3(upright, tilt), centre));
  }
  poses.set(FLOOR_IMAGE, centredAt(Float64Array.of(1, 0, 0, 0, 0, -1, 0, 1, 0), [0, 0, 0.2]));
  return poses;
}

/** The board with its middle at `centre`. */
function centredAt(rotation: Float64Array, centre: readonly number[]): Pose {
  const points = boardPoints(GYM_BOARD);
  const last = points.subarray(points.length - 3);
  const translation = Float64Array.from(
    centre,
    (c, i) => c - 0.5 * (rotation[3 * i] * last[0] + rotation[3 * i + 1] * last[1]),
  );
  return { rotation, translation };
}

/** The board in both phones' pictures; corners outside a picture are not found. */
export function gymImages(poses: ReadonlyMap<string, Pose>, noisePx: number): BoardImage[] {
  return boardImages(GYM_CAMERAS, GYM_BOARD, poses, noisePx).map((image) => {
    const { imageWidth, imageHeight } = GYM_CAMERAS.find((one) => one.name === image.camera)!;
    const corners = image.corners.slice();
    for (let o = 0; o < corners.length; o += 2) {
      const inside =
        corners[o] > 5 && corners[o] < imageWidth - 6 && corners[o + 1] > 5 && corners[o + 1] < imageHeight - 6;
      if (!inside) corners.fill(Number.NaN, o, o + 2);
    }
    return { ...image, corners };
  });
}

export const GYM_BOARD_CAMERAS = GYM_CAMERAS.map(({ name, imageWidth, imageHeight }) => ({
  name,
  imageSize: { width: imageWidth, height: imageHeight },
}));
