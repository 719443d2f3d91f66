import type { KeypointTrack } from '../../capture/recording.ts';
import { median, quantile } from '../../numerics/statistics.ts';
import type { CameraRig } from '../rig.ts';
import { type EpipolarSeries, emptySeries, epipolarSeriesInto, type SeriesKey, seriesKeys } from './epipolar-series.ts';
import { camerasOf } from './estimate-clocks.ts';
import { COMPARE_STEP_S, OUTLIER_SCALES } from './limits.ts';
import { kernelHalfWidthS, normalisedView, type SmoothView, smoothTracks } from './smooth-view.ts';
import type { TimingOf } from './timing-least-squares.ts';
import { fitTiming } from './timing-regression.ts';
import type { ClockState } from './view-time.ts';

/** Points higher and lower in the camera's picture, halved by how much they tell of the time. */
export type RowBand = 'upper' | 'lower';

/** One bin of image speed of one camera. */
export interface EvidenceRow {
  readonly camera: string;
  readonly row_band: RowBand;
  /** Mean speed across the epipolar lines of the other cameras, px/s. */
  readonly speed_px_per_s: number;
  /** Mean distance by which the camera's points lie behind on their way, px: as a picture does whose stated time is too late. */
  readonly residual_px: number;
  /** Half width of its 95 % interval, from the scatter of whole repetitions' parts (blocks of 1 s). */
  readonly half_width_px: number;
  readonly instants: number;
}

/** Slope of residual against speed: stated minus true time of the camera, seconds. */
export interface EvidenceSlope {
  readonly camera: string;
  readonly row_band: RowBand | 'all';
  readonly slope_s: number;
  readonly half_width_s: number;
  /** Mean row of the band as a share of the image height, weighted by what it tells. */
  readonly row: number;
}

export interface ClockEvidence {
  readonly rows: readonly EvidenceRow[];
  readonly slopes: readonly EvidenceSlope[];
}

/** Bins of speed, and the share of the speeds that they reach to. */
const BINS = 9;
const REACH = 0.98;
/** A bin of fewer instants says nothing. */
const LEAST_IN_BIN = 20;
const BLOCK_S = 1;

/**
 * Residual against image speed, per camera, at the times that the tracks state now (offset, frame times, readout).
 *
 * A camera in time shows residuals that do not depend on speed. A slope is a timing error: its own seconds. Slopes that
 * differ between upper and lower rows are a rolling shutter not, or wrongly, accounted for: their difference over the
 * difference of the rows is the error of readout_s.
 */
export function clockEvidence(tracks: readonly KeypointTrack[], rig: CameraRig): ClockEvidence {
  const cameras = camerasOf(tracks, rig);
  const halfWidthS = kernelHalfWidthS(tracks);
  const views = tracks.map((track, v) => normalisedView(smoothTracks(track, halfWidthS), cameras[v]));
  const clocks: ClockState = {
    offsetS: Float64Array.from(tracks, ({ offsetS }) => offsetS),
    drift: new Float64Array(tracks.length),
    readoutS: Float64Array.from(tracks, ({ readoutS }) => readoutS),
  };
  const rows: EvidenceRow[] = [];
  const slopes: EvidenceSlope[] = [];
  tracks.forEach(({ camera }, c) => {
    const keys = seriesKeys(views).filter(({ a, b }) => a === c || b === c);
    const series = sharedSeries(views, keys, clocks);
    if (!series) return;
    epipolarSeriesInto(series, views, cameras, clocks);
    const split = splittingRow(series, c);
    slopes.push(...slopesOf(series, c, camera, split));
    for (const band of ['upper', 'lower'] as const) rows.push(...binsOf(series, c, camera, band, split));
  });
  return { rows, slopes };
}

function sharedSeries(
  views: readonly SmoothView[],
  keys: readonly SeriesKey[],
  clocks: ClockState,
): EpipolarSeries | null {
  const starts = views.map((view, v) => clocks.offsetS[v] + view.firstS);
  const ends = views.map((view, v) => starts[v] + (view.count - 1) * view.stepS);
  const startS = Math.min(...starts);
  const count = Math.floor((Math.max(...ends) - startS) / COMPARE_STEP_S) + 1;
  return keys.length === 0 ? null : emptySeries(keys, startS, COMPARE_STEP_S, count);
}

const isB = (key: SeriesKey, camera: number) => key.b === camera;
const rowOf = (series: EpipolarSeries, s: number, at: number, camera: number) =>
  isB(series.keys[s], camera) ? series.rowB[at] : series.rowA[at];
const speedAt = (series: EpipolarSeries, at: number) => (series.rateB[at] - series.rateA[at]) / 2;

/** The row that halves Σ speed². */
function splittingRow(series: EpipolarSeries, camera: number): number {
  const weighted: [number, number][] = [];
  let whole = 0;
  eachKnown(series, (s, at) => {
    const weight = speedAt(series, at) ** 2;
    weighted.push([rowOf(series, s, at, camera), weight]);
    whole += weight;
  });
  weighted.sort((p, q) => p[0] - q[0]);
  let sum = 0;
  for (const [row, weight] of weighted) {
    sum += weight;
    if (sum >= whole / 2) return row;
  }
  return 0.5;
}

function eachKnown(series: EpipolarSeries, visit: (s: number, at: number) => void): void {
  for (let s = 0; s < series.keys.length; s++) {
    for (let at = s * series.count; at < (s + 1) * series.count; at++) {
      if (!Number.isNaN(series.residual[at])) visit(s, at);
    }
  }
}

function slopesOf(series: EpipolarSeries, c: number, camera: string, split: number): EvidenceSlope[] {
  const sign = (s: number) => (isB(series.keys[s], c) ? 1 : -1);
  const all: TimingOf = (_, s) => sign(s);
  const upper: TimingOf = (own, s, at) => (rowOf(own, s, at, c) < split ? sign(s) : 0);
  const lower: TimingOf = (own, s, at) => (rowOf(own, s, at, c) < split ? 0 : sign(s));
  const whole = fitTiming(series, [all]);
  const halves = fitTiming(series, [upper, lower]);
  const row = (band: RowBand | 'all') => {
    let sum = 0;
    let weights = 0;
    eachKnown(series, (s, at) => {
      const own = rowOf(series, s, at, c);
      if (band !== 'all' && own < split !== (band === 'upper')) return;
      const weight = speedAt(series, at) ** 2;
      sum += weight * own;
      weights += weight;
    });
    return sum / weights;
  };
  const slope = (row_band: RowBand | 'all', slope_s: number, half_width_s: number): EvidenceSlope[] =>
    Number.isFinite(slope_s) && Number.isFinite(half_width_s)
      ? [{ camera, row_band, slope_s, half_width_s, row: row(row_band) }]
      : [];
  return [
    ...slope('all', whole.error[0], whole.halfWidth95[0]),
    ...slope('upper', halves.error[0], halves.halfWidth95[0]),
    ...slope('lower', halves.error[1], halves.halfWidth95[1]),
  ];
}

/** Means of residual and speed over equal bins of speed; each landmark's residual counts from its own middle. */
function binsOf(series: EpipolarSeries, c: number, camera: string, band: RowBand, split: number): EvidenceRow[] {
  const middles = series.keys.map((_, s) => {
    const known = series.residual
      .subarray(s * series.count, (s + 1) * series.count)
      .filter((residual) => !Number.isNaN(residual));
    return known.length === 0 ? 0 : median(known);
  });
  const speeds: number[] = [];
  const residuals: number[] = [];
  const blocks: number[] = [];
  eachKnown(series, (s, at) => {
    if (rowOf(series, s, at, c) < split !== (band === 'upper')) return;
    speeds.push(speedAt(series, at));
    residuals.push((series.residual[at] - middles[s]) * (isB(series.keys[s], c) ? -1 : 1));
    blocks.push(Math.floor(((at - s * series.count) * series.stepS) / BLOCK_S));
  });
  if (speeds.length < LEAST_IN_BIN) return [];
  const reach = quantile(speeds.map(Math.abs), REACH);
  const rows: EvidenceRow[] = [];
  for (let bin = 0; bin < BINS; bin++) {
    const inBin = speeds.flatMap((speed, i) => (Math.floor(((speed + reach) / (2 * reach)) * BINS) === bin ? [i] : []));
    if (inBin.length < LEAST_IN_BIN) continue;
    const centre = median(inBin.map((i) => residuals[i]));
    const spread = 1.5 * median(inBin.map((i) => Math.abs(residuals[i] - centre)));
    const kept = inBin.filter((i) => Math.abs(residuals[i] - centre) <= OUTLIER_SCALES * spread);
    const meanOf = (values: readonly number[]) => kept.reduce((sum, i) => sum + values[i], 0) / kept.length;
    const residual = meanOf(residuals);
    const sums = new Map<number, number>();
    for (const i of kept) sums.set(blocks[i], (sums.get(blocks[i]) ?? 0) + residuals[i] - residual);
    if (sums.size < 2) continue;
    const variance = [...sums.values()].reduce((sum, value) => sum + value * value, 0) / kept.length ** 2;
    rows.push({
      camera,
      row_band: band,
      speed_px_per_s: meanOf(speeds),
      residual_px: residual,
      half_width_px: 1.96 * Math.sqrt((variance * sums.size) / (sums.size - 1)),
      instants: kept.length,
    });
  }
  return rows;
}
