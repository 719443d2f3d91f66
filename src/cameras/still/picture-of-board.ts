import { eigenSymmetric } from '../../numerics/symmetric-eigen.ts';

export interface BoardPicture {
  /** Root of the area that the board covers, px. */
  readonly size: number;
  /**
   * Perspective across and down the board: relative change of scale from its middle to its right (lower) rim in the board's own
   * directions; positive = that rim is farther away. 0 for a board that faces the camera.
   */
  readonly tiltAcross: number;
  readonly tiltDown: number;
}

/**
 * Size and tilt of a board from its corners alone, no lens needed: the homography from the board (rims at ±1) to the picture
 * by direct linear transformation (Hartley & Zisserman 2004, alg. 4.2), its third row (g, h, 1) being the change of
 * depth. Null for fewer than 8 corners or corners on a line.
 */
export function pictureOfBoard(corners: Float64Array, columns: number): BoardPicture | null {
  const rows = corners.length / 2 / columns;
  const at: number[] = [];
  let meanU = 0;
  let meanV = 0;
  for (let i = 0; 2 * i < corners.length; i++) {
    if (!Number.isFinite(corners[2 * i] + corners[2 * i + 1])) continue;
    at.push(i);
    meanU += corners[2 * i];
    meanV += corners[2 * i + 1];
  }
  if (at.length < 8) return null;
  meanU /= at.length;
  meanV /= at.length;
  let spread = 0;
  for (const i of at) spread += (corners[2 * i] - meanU) ** 2 + (corners[2 * i + 1] - meanV) ** 2;
  const scale = Math.sqrt(at.length / spread);
  const normal = new Float64Array(81);
  for (const i of at) {
    const x = (2 * (i % columns)) / (columns - 1) - 1;
    const y = (2 * Math.floor(i / columns)) / (rows - 1) - 1;
    const u = scale * (corners[2 * i] - meanU);
    const v = scale * (corners[2 * i + 1] - meanV);
    accumulate(normal, [x, y, 1, 0, 0, 0, -u * x, -u * y, -u]);
    accumulate(normal, [0, 0, 0, x, y, 1, -v * x, -v * y, -v]);
  }
  const { vectors, values } = eigenSymmetric(normal, 9);
  // Eigenvalues ascend: a second small one means that the corners do not determine the homography.
  if (!(values[1] > 1e-10 * values[8])) return null;
  const h = Float64Array.from({ length: 9 }, (_, k) => vectors[9 * k] / vectors[72]);
  if (!h.every(Number.isFinite)) return null;
  const area = 4 * Math.abs((h[0] - h[2] * h[6]) * (h[4] - h[5] * h[7]) - (h[1] - h[2] * h[7]) * (h[3] - h[5] * h[6]));
  return { size: Math.sqrt(area) / scale, tiltAcross: h[6], tiltDown: h[7] };
}

function accumulate(normal: Float64Array, row: readonly number[]): void {
  for (let i = 0; i < 9; i++) for (let j = 0; j < 9; j++) normal[9 * i + j] += row[i] * row[j];
}
