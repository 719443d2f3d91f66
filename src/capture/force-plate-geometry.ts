/*
 * Geometry of a force plate, whatever file it comes from. Vectors are plain xyz; force and moment are those on the body.
 */

/** The working surface of a force plate: where it lies and how its own axes point, in the axes of the corners. */
export interface ForcePlateSurface {
  /** Middle of the four corners. */
  readonly centre: Float64Array;
  /** Row-major 3 × 3, `fileFromPlate`: its columns are the plate's x, y and z (z = x × y; into the floor where x and y go round clockwise). */
  readonly axes: Float64Array;
  /** Half the length along the plate's x and along its y. */
  readonly halfX: number;
  readonly halfY: number;
}

/** How far the sides may be from a right angle, degrees: surveyed corners are within one or two (common practice, no source). */
export const MOST_SKEW_DEG = 5;

/**
 * Surface from its corners, `3 * corner + axis`, in the order of the quadrants of the plate's own axes: +x+y, −x+y, −x−y,
 * +x−y (c3d.org, "FORCE_PLATFORM:CORNERS"). x runs from the middle of corners 2 and 3 to that of 1 and 4, y from that of 3
 * and 4 to that of 1 and 2; z = x × y, and y is then made square to both. A text says what is wrong with corners that are
 * no rectangle.
 */
export function forcePlateSurface(corners: ArrayLike<number>): ForcePlateSurface | string {
  const centre = new Float64Array(3);
  const x = new Float64Array(3);
  const y = new Float64Array(3);
  for (let k = 0; k < 3; k++) {
    const [a, b, c, d] = [corners[k], corners[3 + k], corners[6 + k], corners[9 + k]];
    centre[k] = (a + b + c + d) / 4;
    x[k] = (a + d - b - c) / 2;
    y[k] = (a + b - c - d) / 2;
  }
  const lengthX = Math.hypot(x[0], x[1], x[2]);
  const lengthY = Math.hypot(y[0], y[1], y[2]);
  if (!(lengthX > 0 && lengthY > 0)) return 'two sides have no length, or the corners do not go round the edge';
  if (!Number.isFinite(lengthX * lengthY)) return 'a side has no finite length';
  const cosine = (x[0] * y[0] + x[1] * y[1] + x[2] * y[2]) / (lengthX * lengthY);
  const skewDeg = (Math.asin(Math.min(1, Math.abs(cosine))) * 180) / Math.PI;
  if (skewDeg > MOST_SKEW_DEG) return `sides ${skewDeg.toFixed(1)}° from a right angle, limit ${MOST_SKEW_DEG}°`;
  const alongX = x.map((value) => value / lengthX);
  const normal = cross(alongX, y);
  const size = Math.hypot(normal[0], normal[1], normal[2]);
  const alongZ = normal.map((value) => value / size);
  const alongY = cross(alongZ, alongX);
  const axes = Float64Array.from([0, 1, 2].flatMap((k) => [alongX[k], alongY[k], alongZ[k]]));
  return { centre, axes, halfX: lengthX / 2, halfY: lengthY / 2 };
}

/** How far a place (a triple at `from`) lies outside the rectangle, seen along its normal, in the surface's unit; 0 inside. */
export function metresOffSurface(
  { centre, axes, halfX, halfY }: ForcePlateSurface,
  place: ArrayLike<number>,
  from: number,
): number {
  let alongX = 0;
  let alongY = 0;
  for (let k = 0; k < 3; k++) {
    alongX += axes[3 * k] * (place[from + k] - centre[k]);
    alongY += axes[3 * k + 1] * (place[from + k] - centre[k]);
  }
  return Math.hypot(Math.max(0, Math.abs(alongX) - halfX), Math.max(0, Math.abs(alongY) - halfY));
}

function cross(a: ArrayLike<number>, b: ArrayLike<number>): Float64Array {
  return Float64Array.of(a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]);
}

/**
 * The moment about another point: M_B = M_A − r × F, r from A to B. `count` triples in place; r is one triple, in the unit
 * of length of the moments.
 */
export function moveMomentsInPlace(moment: Float64Array, force: ArrayLike<number>, r: ArrayLike<number>): void {
  for (let i = 0; i < moment.length; i += 3) {
    const fx = force[i];
    const fy = force[i + 1];
    const fz = force[i + 2];
    moment[i] -= r[1] * fz - r[2] * fy;
    moment[i + 1] -= r[2] * fx - r[0] * fz;
    moment[i + 2] -= r[0] * fy - r[1] * fx;
  }
}

/**
 * Centre of pressure and free moment: the point of the plane through A, square to the unit normal n, about which the moment
 * has no part in the plane. From M = r × F + T·n and r·n = 0, crossing with n from the left (n × (r × F) = r (n·F)):
 *
 *   r = n × M / (n·F),   T = n · (M − r × F).
 *
 * Writes r (from A) to `out` at `offset` and returns T, both NaN where |n·F| < `least`. The wrench is kept exactly:
 * r × F + T·n = M.
 */
export function pressurePointInto(
  out: Float64Array,
  offset: number,
  force: ArrayLike<number>,
  moment: ArrayLike<number>,
  from: number,
  normal: ArrayLike<number>,
  least: number,
): number {
  const [nx, ny, nz] = [normal[0], normal[1], normal[2]];
  const [fx, fy, fz] = [force[from], force[from + 1], force[from + 2]];
  const [mx, my, mz] = [moment[from], moment[from + 1], moment[from + 2]];
  const across = nx * fx + ny * fy + nz * fz;
  if (!(Math.abs(across) >= least)) {
    out.fill(Number.NaN, offset, offset + 3);
    return Number.NaN;
  }
  const rx = (ny * mz - nz * my) / across;
  const ry = (nz * mx - nx * mz) / across;
  const rz = (nx * my - ny * mx) / across;
  out[offset] = rx;
  out[offset + 1] = ry;
  out[offset + 2] = rz;
  const tx = mx - (ry * fz - rz * fy);
  const ty = my - (rz * fx - rx * fz);
  const tz = mz - (rx * fy - ry * fx);
  return nx * tx + ny * ty + nz * tz;
}
