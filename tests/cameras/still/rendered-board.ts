import type { Board } from '../../../src/cameras/board.ts';
import { composePoses, type Pose } from '../../../src/cameras/pose.ts';
import type { Camera } from '../../../src/cameras/rig.ts';

/**
 * Picture of a chessboard at a pose (worldFromBoard) before a camera without distortion: grey background with a fixed pattern,
 * white rim of one square, `samples` × `samples` rays a pixel. The plane is met by solving for it along each ray, so nothing of
 * the projection under test is used.
 */
export function renderBoard(camera: Camera, board: Board, pose: Pose, samples = 3): Uint8Array {
  // Taken out of Math once: the test runner makes every look-up of a global slow.
  const { floor, round } = Math;
  const { imageWidth: width, imageHeight: height } = camera;
  const pixels = new Uint8Array(width * height);
  for (let i = 0; i < pixels.length; i++)
    pixels[i] = 90 + 20 * (((i % width) >> 5) % 2) + 15 * ((floor(i / width) >> 5) % 2);
  const { rotation: r, translation: t } = composePoses(camera, pose);
  // Ray d hits the plane where R ᵀ(s d − t) has z = 0: s = (n · t) / (n · d), n = third column of R.
  const nt = r[2] * t[0] + r[5] * t[1] + r[8] * t[2];
  const size = board.squareSizeM;
  // Only where the board can be: its circumscribed circle, seen from its nearest point.
  const reach = (size * Math.hypot(board.columns + 3, board.rows + 3)) / 2;
  const [mx, my] = [(size * (board.columns - 1)) / 2, (size * (board.rows - 1)) / 2];
  const [x0, y0, z0] = [0, 1, 2].map((i) => r[3 * i] * mx + r[3 * i + 1] * my + t[i]);
  const halfPx = (camera.fx * reach) / (z0 - reach);
  const [u0, v0] = [camera.cx + (camera.fx * x0) / z0, camera.cy + (camera.fy * y0) / z0];
  const from = (middle: number) => Math.max(0, floor(middle - halfPx));
  const to = (middle: number, end: number) => Math.min(end, Math.ceil(middle + halfPx));
  for (let row = from(v0); row < to(v0, height); row++) {
    for (let column = from(u0); column < to(u0, width); column++) {
      let sum = 0;
      let hits = 0;
      for (let k = 0; k < samples * samples; k++) {
        const x = (column + ((k % samples) + 0.5) / samples - 0.5 - camera.cx) / camera.fx;
        const y = (row + (floor(k / samples) + 0.5) / samples - 0.5 - camera.cy) / camera.fy;
        const s = nt / (r[2] * x + r[5] * y + r[8]);
        const [px, py, pz] = [s * x - t[0], s * y - t[1], s - t[2]];
        const across = (r[0] * px + r[3] * py + r[6] * pz) / size + 1;
        const down = (r[1] * px + r[4] * py + r[7] * pz) / size + 1;
        if (across < -1 || down < -1 || across > board.columns + 2 || down > board.rows + 2) continue;
        hits++;
        const isOnRim = across < 0 || down < 0 || across > board.columns + 1 || down > board.rows + 1;
        const isDark = !isOnRim && (floor(across) + floor(down)) % 2 === 0;
        sum += isDark ? 40 : 215;
      }
      if (hits > 0)
        pixels[row * width + column] = round(
          (sum + (samples ** 2 - hits) * pixels[row * width + column]) / samples ** 2,
        );
    }
  }
  return pixels;
}
