import type { Landmark } from '../../capture/landmarks.ts';
import type { Camera } from '../rig.ts';
import type { SmoothView } from './smooth-view.ts';
import type { ClockState } from './view-time.ts';

/** Two views and one landmark that both report; `aColumn`, `bColumn` are its columns in the two views. */
export interface SeriesKey {
  readonly a: number;
  readonly b: number;
  readonly landmark: Landmark;
  readonly aColumn: number;
  readonly bColumn: number;
}

/**
 * How far two views disagree about a landmark, over common time `startS + i · stepS`, series-major (`series * count + i`).
 * NaN in `residual` where one of the views does not know the landmark; the other columns are then not valid.
 */
export interface EpipolarSeries {
  readonly keys: readonly SeriesKey[];
  readonly startS: number;
  readonly stepS: number;
  readonly count: number;
  /** Signed distance from agreement, px, scaled so that its sd is that of one pixel coordinate. */
  readonly residual: Float64Array;
  /** Its rate of change by the movement seen in a, and in b, px/s; of a rigid truth they are opposite. */
  readonly rateA: Float64Array;
  readonly rateB: Float64Array;
  /** Own times of the two cameras, seconds, and rows as a share of the image height. */
  readonly timeA: Float64Array;
  readonly timeB: Float64Array;
  readonly rowA: Float64Array;
  readonly rowB: Float64Array;
}

/** Every pair of views with every landmark that both report. */
export function seriesKeys(views: readonly SmoothView[]): SeriesKey[] {
  const keys: SeriesKey[] = [];
  for (let a = 0; a < views.length; a++) {
    for (let b = a + 1; b < views.length; b++) {
      views[a].landmarks.forEach((landmark, aColumn) => {
        const bColumn = views[b].landmarks.indexOf(landmark);
        if (bColumn >= 0) keys.push({ a, b, landmark, aColumn, bColumn });
      });
    }
  }
  return keys;
}

/** Arrays for `epipolarSeriesInto`, to be filled again and again. */
export function emptySeries(keys: readonly SeriesKey[], startS: number, stepS: number, count: number): EpipolarSeries {
  const column = () => new Float64Array(keys.length * count);
  return {
    keys,
    startS,
    stepS,
    count,
    residual: column(),
    rateA: column(),
    rateB: column(),
    timeA: column(),
    timeB: column(),
    rowA: column(),
    rowB: column(),
  };
}

/**
 * E with x_bᵀ E x_a = 0 for normalised coordinates of one point in both cameras: [t]ₓ R of bFromA
 * (Longuet-Higgins 1981; Hartley & Zisserman 2004 §9.6). Row-major 3 × 3.
 */
export function essentialMatrix(a: Camera, b: Camera): Float64Array {
  const r = new Float64Array(9);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      for (let k = 0; k < 3; k++) r[3 * i + j] += b.rotation[3 * i + k] * a.rotation[3 * j + k];
    }
  }
  const t = [0, 1, 2].map(
    (i) =>
      b.translation[i] -
      (r[3 * i] * a.translation[0] + r[3 * i + 1] * a.translation[1] + r[3 * i + 2] * a.translation[2]),
  );
  const e = new Float64Array(9);
  for (let j = 0; j < 3; j++) {
    e[j] = t[1] * r[6 + j] - t[2] * r[3 + j];
    e[3 + j] = t[2] * r[j] - t[0] * r[6 + j];
    e[6 + j] = t[0] * r[3 + j] - t[1] * r[j];
  }
  return e;
}

/** Place, velocity and row of a track at one instant: x, y, x velocity, y velocity, row, own time. */
const atA = new Float64Array(6);
const atB = new Float64Array(6);

/**
 * Fills `out` for the given clocks. The residual is the first-order distance of Sampson (1982; Hartley & Zisserman 2004
 * §11.4.3), divided by √2 less: x_bᵀ E x_a / |its gradient by the four pixel coordinates|.
 */
export function epipolarSeriesInto(
  out: EpipolarSeries,
  views: readonly SmoothView[],
  cameras: readonly Camera[],
  clocks: ClockState,
): void {
  let e = new Float64Array(9);
  out.keys.forEach((key, s) => {
    const before = out.keys[s - 1];
    if (!before || before.a !== key.a || before.b !== key.b)
      e = essentialMatrix(cameras[key.a], cameras[key.b]) as Float64Array<ArrayBuffer>;
    fillSeries(out, s, key, e, views, cameras, clocks);
  });
}

function fillSeries(
  out: EpipolarSeries,
  s: number,
  { a, b, aColumn, bColumn }: SeriesKey,
  e: Float64Array,
  views: readonly SmoothView[],
  cameras: readonly Camera[],
  clocks: ClockState,
): void {
  const focalA = (cameras[a].fx + cameras[a].fy) / 2;
  const focalB = (cameras[b].fx + cameras[b].fy) / 2;
  for (let i = 0; i < out.count; i++) {
    const at = s * out.count + i;
    const timeS = out.startS + i * out.stepS;
    out.residual[at] = Number.NaN;
    if (!trackAtInto(atA, views[a], aColumn, timeS, clocks, a)) continue;
    if (!trackAtInto(atB, views[b], bColumn, timeS, clocks, b)) continue;
    const lineX = e[0] * atA[0] + e[1] * atA[1] + e[2];
    const lineY = e[3] * atA[0] + e[4] * atA[1] + e[5];
    const lineZ = e[6] * atA[0] + e[7] * atA[1] + e[8];
    const backX = e[0] * atB[0] + e[3] * atB[1] + e[6];
    const backY = e[1] * atB[0] + e[4] * atB[1] + e[7];
    const size = Math.sqrt(
      (lineX * lineX + lineY * lineY) / (focalB * focalB) + (backX * backX + backY * backY) / (focalA * focalA),
    );
    if (!(size > 0)) continue;
    out.residual[at] = (atB[0] * lineX + atB[1] * lineY + lineZ) / size;
    out.rateA[at] = (backX * atA[2] + backY * atA[3]) / size;
    out.rateB[at] = (lineX * atB[2] + lineY * atB[3]) / size;
    out.rowA[at] = atA[4];
    out.rowB[at] = atB[4];
    out.timeA[at] = atA[5];
    out.timeB[at] = atB[5];
  }
}

/** A track at a common time: cubics through places and velocities (Hermite). The row sets the time, the time the row: two rounds. */
function trackAtInto(
  out: Float64Array,
  view: SmoothView,
  column: number,
  timeS: number,
  { offsetS, drift, readoutS }: ClockState,
  camera: number,
): boolean {
  const first = column * view.count;
  const rate = 1 + drift[camera];
  const readout = readoutS[camera];
  let own = (timeS - offsetS[camera] - 0.5 * readout) / rate;
  if (readout !== 0) {
    for (let round = 0; round < 2; round++) {
      const place = (own - view.firstS) / view.stepS;
      const i = Math.floor(place);
      if (!(i >= 0 && i < view.count - 1)) break;
      const row = view.row[first + i] + (place - i) * (view.row[first + i + 1] - view.row[first + i]);
      if (Number.isNaN(row)) return false;
      own = (timeS - offsetS[camera] - row * readout) / rate;
    }
  }
  const place = (own - view.firstS) / view.stepS;
  const i = Math.floor(place);
  if (!(i >= 0 && i < view.count - 1)) return false;
  const p = first + i;
  const s = place - i;
  const h = view.stepS;
  hermiteInto(out, 0, view.x[p], view.x[p + 1], h * view.xVelocity[p], h * view.xVelocity[p + 1], s, h);
  hermiteInto(out, 1, view.y[p], view.y[p + 1], h * view.yVelocity[p], h * view.yVelocity[p + 1], s, h);
  out[4] = view.row[p] + s * (view.row[p + 1] - view.row[p]);
  out[5] = own;
  return !Number.isNaN(out[0]);
}

/** Value to out[o], slope per second to out[o + 2]. */
function hermiteInto(
  out: Float64Array,
  o: number,
  from: number,
  to: number,
  fromSlope: number,
  toSlope: number,
  s: number,
  h: number,
): void {
  const c2 = 3 * (to - from) - 2 * fromSlope - toSlope;
  const c3 = 2 * (from - to) + fromSlope + toSlope;
  out[o] = from + s * (fromSlope + s * (c2 + s * c3));
  out[o + 2] = (fromSlope + s * (2 * c2 + 3 * s * c3)) / h;
}
