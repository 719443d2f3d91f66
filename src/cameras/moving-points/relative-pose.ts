import { leastSquares } from '../../numerics/least-squares.ts';
import { seededRandom } from '../../numerics/random.ts';
import { multiply3, rotationFromVector } from '../../numerics/rotation.ts';
import { median, SD_PER_MEDIAN_ABSOLUTE_DEVIATION } from '../../numerics/statistics.ts';
import { angleBetween, type Pose, turned } from '../pose.ts';
import {
  essentialFromPairs,
  essentialOfPose,
  FEWEST_PAIRS,
  posesOfEssential,
  type RayPairs,
  shareInFront,
} from './essential.ts';
import { homographyFromPairs, posesOfHomography } from './homography.ts';

export interface RelativePoseCandidate {
  /** secondFromFirst, ‖t‖ = 1. */
  readonly pose: Pose;
  readonly from: 'eight points' | 'homography';
  /** Σ of Huber's loss over the distances to the epipolar lines, in units of `sd`². */
  readonly cost: number;
  /** Robust standard deviation of those distances, normalised image units. */
  readonly sd: number;
  /** Share of the pairs nearer than three robust standard deviations. */
  readonly inlierShare: number;
}

export interface TwoViewOptions {
  readonly seed: number;
  /** Random samples each of eight pairs and of four pairs. */
  readonly samples?: number;
}

/** Share of the pairs that must lie in front of both cameras. The rest may be mis-detections. Common practice, no source. */
const IN_FRONT = 0.9;
/** Two poses nearer than this (turn, and direction of translation) count as one: 2° and 4°. Common practice, no source. */
const SAME_TURN_RAD = (2 * Math.PI) / 180;
const SAME_DIRECTION_RAD = (4 * Math.PI) / 180;
/** Huber's constant for 95 % efficiency (Huber 1964). */
const HUBER = 1.345;
/** Distinct starts refined, best median first. */
const REFINED_STARTS = 12;

/**
 * Relative poses of two cameras that fit the pairs, best first, each refined; different local minima are kept.
 *
 * Starts: eight-point algorithm and both roots of the homography, from all pairs and from seeded random samples, ranked by
 * the median distance to the epipolar line (least median of squares, Rousseeuw 1984, so that up to half of the pairs may be
 * wrong); refinement by Huber-weighted first-order geometric distance (Sampson 1982; Hartley & Zisserman 2004, (11.9)) over
 * the five parameters of the pose. Only poses with the points in front of both cameras.
 */
export function relativePoseCandidates(pairs: RayPairs, options: TwoViewOptions): RelativePoseCandidate[] {
  const n = pairs.length / 4;
  if (n < FEWEST_PAIRS) return [];
  const all = Int32Array.from({ length: n }, (_, i) => i);
  const starts = [...startsFrom(pairs, all, all), ...sampledStarts(pairs, all, options)];
  const ranked = starts.map((start) => ({ ...start, median: medianDistance(start.pose, pairs) }));
  ranked.sort((a, b) => a.median - b.median);
  // The best of each root and method must get its chance: distinct starts only.
  const distinct: typeof ranked = [];
  for (const start of ranked) {
    if (distinct.length >= REFINED_STARTS) break;
    if (!distinct.some((other) => alike(other.pose, start.pose))) distinct.push(start);
  }
  const refined: RelativePoseCandidate[] = [];
  for (const { pose, from } of distinct) {
    const better = refine(pose, pairs);
    if (better === null || shareInFront(better.pose, pairs, better.inliers) < IN_FRONT) continue;
    refined.push({ from, pose: better.pose, cost: 0, sd: better.sd, inlierShare: better.inliers.length / n });
  }
  if (refined.length === 0) return [];
  // All costs in the same unit: the scatter of the best.
  const sd = Math.max(Math.min(...refined.map((one) => one.sd)), 1e-12);
  const costed = refined.map((one) => ({ ...one, cost: huberCost(one.pose, pairs, sd), sd }));
  costed.sort((a, b) => a.cost - b.cost);
  const kept: RelativePoseCandidate[] = [];
  for (const one of costed) if (!kept.some((other) => alike(other.pose, one.pose))) kept.push(one);
  return kept;
}

interface Start {
  readonly pose: Pose;
  readonly from: RelativePoseCandidate['from'];
}

function startsFrom(pairs: RayPairs, at: Int32Array, all: Int32Array): Start[] {
  const starts: Start[] = [];
  const essential = essentialFromPairs(pairs, at);
  if (essential !== null) {
    const poses = posesOfEssential(essential);
    const shares = poses.map((pose) => shareInFront(pose, pairs, all));
    const best = Math.max(...shares);
    poses.forEach((pose, i) => {
      if (shares[i] === best) starts.push({ pose, from: 'eight points' });
    });
  }
  starts.push(...planarStarts(pairs, at));
  return starts;
}

function planarStarts(pairs: RayPairs, at: Int32Array): Start[] {
  const homography = homographyFromPairs(pairs, at);
  if (homography === null) return [];
  return posesOfHomography(homography, pairs, at).map(({ pose }) => ({ pose, from: 'homography' as const }));
}

function sampledStarts(pairs: RayPairs, all: Int32Array, { seed, samples = 120 }: TwoViewOptions): Start[] {
  const random = seededRandom(seed);
  const starts: Start[] = [];
  for (let s = 0; s < samples; s++) {
    starts.push(...startsFrom(pairs, draw(random.integer, all.length, Math.min(all.length, 12)), all));
    starts.push(...planarStarts(pairs, draw(random.integer, all.length, Math.min(all.length, 6))));
  }
  return starts;
}

function draw(integer: (below: number) => number, n: number, count: number): Int32Array {
  const chosen = new Set<number>();
  while (chosen.size < count) chosen.add(integer(n));
  return Int32Array.from(chosen);
}

function alike(a: Pose, b: Pose): boolean {
  const cosine =
    a.translation[0] * b.translation[0] + a.translation[1] * b.translation[1] + a.translation[2] * b.translation[2];
  return angleBetween(a.rotation, b.rotation) < SAME_TURN_RAD && Math.acos(Math.min(1, cosine)) < SAME_DIRECTION_RAD;
}

/** Signed first-order distances (Sampson) of all pairs, normalised image units. */
function distancesInto(out: Float64Array, pose: Pose, pairs: RayPairs): void {
  const e = essentialOfPose(pose);
  for (let i = 0; i < out.length; i++) {
    const [x1, y1, x2, y2] = [pairs[4 * i], pairs[4 * i + 1], pairs[4 * i + 2], pairs[4 * i + 3]];
    const l0 = e[0] * x1 + e[1] * y1 + e[2];
    const l1 = e[3] * x1 + e[4] * y1 + e[5];
    const l2 = e[6] * x1 + e[7] * y1 + e[8];
    const m0 = e[0] * x2 + e[3] * y2 + e[6];
    const m1 = e[1] * x2 + e[4] * y2 + e[7];
    out[i] = (x2 * l0 + y2 * l1 + l2) / Math.sqrt(l0 * l0 + l1 * l1 + m0 * m0 + m1 * m1);
  }
}

function medianDistance(pose: Pose, pairs: RayPairs): number {
  const d = new Float64Array(pairs.length / 4);
  distancesInto(d, pose, pairs);
  for (let i = 0; i < d.length; i++) d[i] = Math.abs(d[i]);
  return median(d);
}

function huberCost(pose: Pose, pairs: RayPairs, sd: number): number {
  const d = new Float64Array(pairs.length / 4);
  distancesInto(d, pose, pairs);
  let sum = 0;
  for (const one of d) {
    const s = Math.abs(one) / sd;
    sum += s <= HUBER ? s * s : 2 * HUBER * s - HUBER * HUBER;
  }
  return sum;
}

/** Iteratively reweighted: weights of Huber's loss from the robust scatter, five parameters (turn, two of direction). */
function refine(start: Pose, pairs: RayPairs): { pose: Pose; sd: number; inliers: Int32Array } | null {
  const n = pairs.length / 4;
  const d = new Float64Array(n);
  const weight = new Float64Array(n);
  let pose = start;
  let sd = 0;
  for (let round = 0; round < 5; round++) {
    distancesInto(d, pose, pairs);
    sd = Math.max(SD_PER_MEDIAN_ABSOLUTE_DEVIATION * median(d.map(Math.abs)), 1e-12);
    // Beyond four deviations nothing: the basin is known well enough by now to call such a pair wrong.
    for (let i = 0; i < n; i++) {
      const s = Math.abs(d[i]) / sd;
      weight[i] = s > 4 && round > 0 ? 0 : Math.sqrt(Math.min(1, HUBER / s));
    }
    const from = pose;
    const found = leastSquares(
      {
        residualCount: n,
        parameterCount: 5,
        residualsInto(out, p) {
          distancesInto(out, moved(from, p), pairs);
          for (let i = 0; i < n; i++) out[i] *= weight[i] / sd;
        },
      },
      new Float64Array(5),
      { typicalSizes: [0.05, 0.05, 0.05, 0.05, 0.05], maxIterations: round === 0 ? 12 : 20, tolerance: 1e-6 },
    );
    const next = moved(from, found.parameters);
    if (!next.rotation.every(Number.isFinite)) return null;
    const still = round > 0 && angleBetween(next.rotation, pose.rotation) < 1e-6;
    pose = next;
    if (still) break;
  }
  distancesInto(d, pose, pairs);
  sd = Math.max(SD_PER_MEDIAN_ABSOLUTE_DEVIATION * median(d.map(Math.abs)), 1e-12);
  const inliers = Int32Array.from({ length: n }, (_, i) => i).filter((i) => Math.abs(d[i]) <= 3 * sd);
  return { pose, sd, inliers };
}

/** exp(p0…2) R; the direction of t turned within its tangent plane by p3, p4. */
function moved(pose: Pose, p: ArrayLike<number>): Pose {
  const rotation = multiply3(rotationFromVector([p[0], p[1], p[2]]), pose.rotation);
  const t = pose.translation;
  const pivot = Math.abs(t[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  const a = unit([
    t[1] * pivot[2] - t[2] * pivot[1],
    t[2] * pivot[0] - t[0] * pivot[2],
    t[0] * pivot[1] - t[1] * pivot[0],
  ]);
  const b = [t[1] * a[2] - t[2] * a[1], t[2] * a[0] - t[0] * a[2], t[0] * a[1] - t[1] * a[0]];
  const turn = rotationFromVector([0, 1, 2].map((k) => p[3] * a[k] + p[4] * b[k]));
  return { rotation, translation: turned(turn, t) };
}

function unit(v: readonly number[]): number[] {
  const length = Math.hypot(...v);
  return v.map((x) => x / length);
}
