import { CENTRES_FROM_MARKERS } from '../../capture/centre-markers.ts';
import type { Landmark } from '../../capture/landmarks.ts';
import { isUsable, SampleStatus } from '../../capture/sample-status.ts';
import { hipsFromPelvis, midwayBetweenMarkers } from '../../messages/angles.ts';
import { median } from '../../numerics/statistics.ts';
import type { LandmarkQuality, Trajectories } from '../../reconstruction/trajectories.ts';
import { centreCovarianceInto } from './centre-covariance.ts';
import {
  DEFAULT_HIP_REGRESSION,
  type HipRegression,
  type HipRegressionName,
  hipRegression,
  rightHip,
} from './hip-regressions.ts';
import { hipInPelvis, midway, type PlaceCentre } from './place-centre.ts';

/** An error of the hips' place in the pelvis, metres: forward, up, outward, the same on both sides. */
export type HipShift = readonly [forward: number, up: number, outward: number];

/** Joint centres that come from markers, beside the tracked points. */
export interface MarkerCentres {
  /** The trajectories with the centres as landmarks of their own, after the tracked ones (whose columns stay where they were). */
  readonly trajectories: Trajectories;
  readonly derived: readonly Landmark[];
  /** The regression of the hips; null where no hip is derived. */
  readonly regression: HipRegression | null;
  /**
   * Positions of tracked points, moved (`3 * (frame * tracked + landmark)`, as in the trajectories given) → those of all landmarks of
   * `trajectories`. For draws: the centres follow the markers, and the hips may be given an error of their regression.
   */
  place(position: Float64Array, hipShift?: HipShift): Float64Array;
}

interface Derived {
  readonly centre: Landmark;
  /** Columns of its markers. */
  readonly markers: readonly number[];
  readonly hipSide: 'left' | 'right' | null;
}

/**
 * Hips, knees, ankles and elbows that are not tracked themselves, from the markers that fix them: hips by a published regression on the
 * four markers of the pelvis, the others midway between their inner and outer side. Null where there is nothing to derive.
 *
 * Width and depth of the pelvis are medians over the frames, so that the hip is one place of a rigid pelvis. A centre is known where all of its
 * markers are; filled and edge samples stay so. Its covariance is carried from the markers' to first order.
 */
export function markerCentres(
  tracked: Trajectories,
  hips: HipRegressionName = DEFAULT_HIP_REGRESSION,
): MarkerCentres | null {
  const derived = derivedOf(tracked);
  if (derived.length === 0) return null;
  const hasHips = derived.some(({ hipSide }) => hipSide !== null);
  const regression = hasHips ? hipRegression(hips) : null;
  const before = tracked.landmarks.length;
  const count = before + derived.length;
  const { frames } = tracked;

  const place = (position: Float64Array, hipShift: HipShift = [0, 0, 0]): Float64Array => {
    const out = new Float64Array(3 * frames * count);
    const rules = derived.map((each) => ruleOf(each, position, before, regression, hipShift));
    const markers = derived.map((each) => new Float64Array(3 * each.markers.length));
    const centre = new Float64Array(3);
    for (let frame = 0; frame < frames; frame++) {
      const from = 3 * frame * before;
      out.set(position.subarray(from, from + 3 * before), 3 * frame * count);
      derived.forEach((each, k) => {
        gatherInto(markers[k], position, 3, frame * before, each.markers);
        rules[k](centre, markers[k]);
        out.set(centre, 3 * (frame * count + before + k));
      });
    }
    return out;
  };

  const status = new Uint8Array(frames * count);
  const covariance = new Float64Array(6 * frames * count);
  const rules = derived.map((each) => ruleOf(each, tracked.position, before, regression, [0, 0, 0]));
  for (let frame = 0; frame < frames; frame++) {
    status.set(tracked.status.subarray(frame * before, (frame + 1) * before), frame * count);
    covariance.set(tracked.covariance.subarray(6 * frame * before, 6 * (frame + 1) * before), 6 * frame * count);
    derived.forEach((each, k) => {
      const o = frame * count + before + k;
      status[o] = worstOf(each.markers.map((column) => tracked.status[frame * before + column]));
      const points = new Float64Array(3 * each.markers.length);
      const covariances = new Float64Array(6 * each.markers.length);
      gatherInto(points, tracked.position, 3, frame * before, each.markers);
      gatherInto(covariances, tracked.covariance, 6, frame * before, each.markers);
      centreCovarianceInto(covariance, 6 * o, rules[k], points, covariances);
    });
  }

  const cutoffHz = Float64Array.from(
    { length: count },
    (_, l) => tracked.cutoffHz[l < before ? l : derived[l - before].markers[0]],
  );
  const qualities = derived.map((each, k) =>
    qualityOf(each.centre, status, covariance, cutoffHz[before + k], before + k, count),
  );
  const landmarks = [...tracked.landmarks, ...derived.map(({ centre }) => centre)];
  const others = derived.filter(({ hipSide }) => hipSide === null).map(({ centre }) => centre);
  return {
    derived: derived.map(({ centre }) => centre),
    regression,
    place,
    trajectories: {
      ...tracked,
      landmarks,
      position: place(tracked.position),
      covariance,
      status,
      cutoffHz,
      quality: {
        ...tracked.quality,
        perLandmark: [...tracked.quality.perLandmark, ...qualities],
        notes: [
          ...tracked.quality.notes,
          ...(regression ? [hipsFromPelvis(regression.source, regression.sdM)] : []),
          ...(others.length > 0 ? [midwayBetweenMarkers(others)] : []),
        ],
      },
    },
  };
}

/** Centres that are not among the landmarks and whose markers all are, each known together in some frame. */
function derivedOf({ landmarks, status, frames }: Trajectories): readonly Derived[] {
  const count = landmarks.length;
  return CENTRES_FROM_MARKERS.flatMap(({ centre, from }) => {
    if (landmarks.includes(centre)) return [];
    const markers = from.map((name) => landmarks.indexOf(name));
    if (markers.includes(-1)) return [];
    const isKnown = Array.from({ length: frames }, (_, f) => f).some((f) =>
      markers.every((column) => isUsable(status[f * count + column])),
    );
    const hipSide = centre === 'left_hip' ? 'left' : centre === 'right_hip' ? 'right' : null;
    return isKnown ? [{ centre, markers, hipSide } as const] : [];
  });
}

function ruleOf(
  { markers, hipSide }: Derived,
  position: Float64Array,
  count: number,
  regression: HipRegression | null,
  [forward, up, outward]: HipShift,
): PlaceCentre {
  if (hipSide === null || regression === null) return midway;
  const { widthM, depthM } = pelvisSize(position, count, markers);
  const [x, y, z] = rightHip(regression, widthM, depthM);
  return hipInPelvis([x + forward, y + up, (hipSide === 'right' ? 1 : -1) * (z + outward)]);
}

/** Median distance between the ASIS, and from their midpoint to that of the PSIS. */
function pelvisSize(
  position: Float64Array,
  count: number,
  columns: readonly number[],
): { readonly widthM: number; readonly depthM: number } {
  const widths: number[] = [];
  const depths: number[] = [];
  const m = new Float64Array(12);
  for (let s = 0; s < position.length / 3; s += count) {
    gatherInto(m, position, 3, s, columns);
    const width = Math.hypot(m[3] - m[0], m[4] - m[1], m[5] - m[2]);
    const middle = (axis: number) => (m[axis] + m[3 + axis] - m[6 + axis] - m[9 + axis]) / 2;
    const depth = Math.hypot(middle(0), middle(1), middle(2));
    if (!Number.isFinite(width + depth)) continue;
    widths.push(width);
    depths.push(depth);
  }
  return { widthM: median(widths), depthM: median(depths) };
}

function gatherInto(
  out: Float64Array,
  values: Float64Array,
  width: number,
  firstSample: number,
  columns: readonly number[],
): void {
  for (let k = 0; k < columns.length; k++) {
    const from = width * (firstSample + columns[k]);
    for (let i = 0; i < width; i++) out[width * k + i] = values[from + i];
  }
}

/** Missing where a marker is, by its reason; else filled before edge before seen. */
function worstOf(codes: readonly number[]): number {
  return (
    codes.find((code) => !isUsable(code)) ??
    codes.find((code) => code === SampleStatus.filled) ??
    codes.find((code) => code === SampleStatus.edge) ??
    SampleStatus.seen
  );
}

function qualityOf(
  landmark: Landmark,
  status: Uint8Array,
  covariance: Float64Array,
  cutoffHz: number,
  column: number,
  count: number,
): LandmarkQuality {
  let seen = 0;
  let filled = 0;
  const sds: number[] = [];
  const frames = status.length / count;
  for (let s = column; s < status.length; s += count) {
    if (status[s] === SampleStatus.filled) filled++;
    else if (isUsable(status[s])) seen++;
    const trace = covariance[6 * s] + covariance[6 * s + 3] + covariance[6 * s + 5];
    if (Number.isFinite(trace)) sds.push(Math.sqrt(trace / 3));
  }
  return {
    landmark,
    seen,
    filled,
    missing: frames - seen - filled,
    reprojectionRmsPx: null,
    sdM: sds.length > 0 ? median(sds) : null,
    cutoffHz: Number.isFinite(cutoffHz) ? cutoffHz : null,
  };
}
