import { movingPointsNoCommon, movingPointsNoPose, rodNeverSeen } from '../../messages/moving-points.ts';
import { hashSeed } from '../../numerics/random.ts';
import { median } from '../../numerics/statistics.ts';
import { undistortInto } from '../camera-model.ts';
import { composePoses, IDENTITY_POSE, type Pose, turned } from '../pose.ts';
import type { Camera } from '../rig.ts';
import { depthsInto, FEWEST_PAIRS, type RayPairs } from './essential.ts';
import type { Moments } from './image-tracks.ts';
import { relativePoseCandidates } from './relative-pose.ts';

/** Where all cameras are to begin with, metres, in the frame of the first; one of perhaps several that fit. */
export interface RigStart {
  /** cameraFromFirst, in the order of the moments' cameras. */
  readonly poses: readonly Pose[];
  /** Σ of the epipolar costs of the pairs used. */
  readonly cost: number;
  /** Robust scatter of the distances to the epipolar lines, px (mean over the links). */
  readonly sdPx: number;
}

/** Pairs used per link of two cameras; more bring nothing to a start. */
const MOST_PAIRS = 240;
/** Candidates per link that go into the joint refinement. */
const MOST_CANDIDATES = 3;
/** A candidate that costs more than this many times the best is no rival. Common practice, no source. */
const RIVAL_COST = 6;

/** Normalised image coordinates of all moments, same layout as `moments.pixel`; NaN where not seen. */
export function raysOf(moments: Moments, cameras: readonly Camera[]): Float64Array {
  const rays = new Float64Array(moments.pixel.length).fill(Number.NaN);
  const { points, timeS } = moments;
  for (let k = 0; k < timeS.length; k++) {
    cameras.forEach((camera, c) => {
      for (let p = 0; p < points.length; p++) {
        const o = 2 * ((k * cameras.length + c) * points.length + p);
        if (Number.isFinite(moments.pixel[o])) undistortInto(rays, o, camera, moments.pixel[o], moments.pixel[o + 1]);
      }
    });
  }
  return rays;
}

/**
 * Starts for the joint refinement: cameras hang on the first through the links that share most points; each link has its own
 * candidates of relative pose and takes its scale from the rod. All combinations, cheapest first.
 */
export function metricStarts(
  moments: Moments,
  cameras: readonly Camera[],
  rods: readonly { readonly ends: readonly [number, number]; readonly lengthM: number }[],
  seed: number,
): RigStart[] {
  const rays = raysOf(moments, cameras);
  const placed = new Set([0]);
  let starts: { poses: (Pose | undefined)[]; cost: number; sdPx: number }[] = [
    { poses: cameras.map((_, c) => (c === 0 ? IDENTITY_POSE : undefined)), cost: 0, sdPx: 0 },
  ];
  while (placed.size < cameras.length) {
    const link = strongestLink(moments, rays, placed);
    if (link === null) {
      const alone = cameras.filter((_, c) => !placed.has(c)).map(({ name }) => name);
      throw movingPointsNoCommon(cameras[0].name, alone);
    }
    const { from, to } = link;
    const candidates = linkCandidates(moments, rays, cameras, rods, from, to, seed);
    starts = starts.flatMap((start) =>
      candidates.map(({ pose, cost, sd }) => ({
        poses: start.poses.map((old, c) => (c === to ? composePoses(pose, start.poses[from]!) : old)),
        cost: start.cost + cost,
        sdPx: start.sdPx + (sd * (cameras[from].fx + cameras[to].fx)) / 2 / (cameras.length - 1),
      })),
    );
    placed.add(to);
  }
  starts.sort((a, b) => a.cost - b.cost);
  return starts.map(({ poses, cost, sdPx }) => ({ poses: poses as Pose[], cost, sdPx }));
}

function linkCandidates(
  moments: Moments,
  rays: Float64Array,
  cameras: readonly Camera[],
  rods: readonly { readonly ends: readonly [number, number]; readonly lengthM: number }[],
  from: number,
  to: number,
  seed: number,
) {
  const names: [string, string] = [cameras[from].name, cameras[to].name];
  const pairs = pairsOf(moments, rays, from, to, MOST_PAIRS);
  const found = relativePoseCandidates(pairs, { seed: hashSeed(seed, ...names) });
  if (found.length === 0) throw movingPointsNoPose(names[0], names[1], pairs.length / 4, FEWEST_PAIRS);
  return found
    .filter(({ cost }) => cost <= RIVAL_COST * Math.max(found[0].cost, 1))
    .slice(0, MOST_CANDIDATES)
    .map(({ pose, cost, sd }) => {
      const scale = rodScale(moments, rays, pose, from, to, rods);
      if (scale === null) throw rodNeverSeen(names[0], names[1]);
      return { cost, sd, pose: { rotation: pose.rotation, translation: pose.translation.map((t) => t * scale) } };
    });
}

/** Points seen by both cameras, thinned evenly to `most`; `exchange` renames points in the second camera. */
export function pairsOf(
  moments: Moments,
  rays: Float64Array,
  from: number,
  to: number,
  most: number,
  exchange: (point: number) => number = (p) => p,
): RayPairs {
  const { cameras, points, timeS } = moments;
  const all: number[] = [];
  for (let k = 0; k < timeS.length; k++) {
    for (let p = 0; p < points.length; p++) {
      const a = 2 * ((k * cameras.length + from) * points.length + p);
      const b = 2 * ((k * cameras.length + to) * points.length + exchange(p));
      if (Number.isFinite(rays[a]) && Number.isFinite(rays[b])) all.push(a, b);
    }
  }
  const count = Math.min(most, all.length / 2);
  const pairs = new Float64Array(4 * count);
  for (let i = 0; i < count; i++) {
    const j = Math.floor((i * (all.length / 2)) / count);
    pairs.set([rays[all[2 * j]], rays[all[2 * j] + 1], rays[all[2 * j + 1]], rays[all[2 * j + 1] + 1]], 4 * i);
  }
  return pairs;
}

/** Rod length over the median distance of its triangulated ends at unit baseline; null where the two never see both ends. */
function rodScale(
  moments: Moments,
  rays: Float64Array,
  pose: Pose,
  from: number,
  to: number,
  rods: readonly { readonly ends: readonly [number, number]; readonly lengthM: number }[],
): number | null {
  const { cameras, points, timeS } = moments;
  const depth = new Float64Array(2);
  const placeOf = (k: number, p: number): Float64Array => {
    const a = 2 * ((k * cameras.length + from) * points.length + p);
    const b = 2 * ((k * cameras.length + to) * points.length + p);
    depthsInto(depth, pose, rays[a], rays[a + 1], rays[b], rays[b + 1]);
    // Midpoint of the two rays' nearest points, in the second camera.
    const first = turned(pose.rotation, [depth[0] * rays[a], depth[0] * rays[a + 1], depth[0]]);
    return Float64Array.from(
      [0, 1, 2],
      (i) => (first[i] + pose.translation[i] + depth[1] * [rays[b], rays[b + 1], 1][i]) / 2,
    );
  };
  const scales: number[] = [];
  for (const { ends, lengthM } of rods) {
    for (let k = 0; k < timeS.length; k++) {
      const [x, y] = ends.map((p) => placeOf(k, p));
      const length = Math.hypot(x[0] - y[0], x[1] - y[1], x[2] - y[2]);
      if (length > 0 && Number.isFinite(length)) scales.push(lengthM / length);
    }
  }
  return scales.length === 0 ? null : median(scales);
}

function strongestLink(moments: Moments, rays: Float64Array, placed: ReadonlySet<number>) {
  const { cameras, points, timeS } = moments;
  let best: { from: number; to: number; shared: number } | null = null;
  for (const from of placed) {
    for (let to = 0; to < cameras.length; to++) {
      if (placed.has(to)) continue;
      let shared = 0;
      for (let k = 0; k < timeS.length; k++) {
        for (let p = 0; p < points.length; p++) {
          const a = 2 * ((k * cameras.length + from) * points.length + p);
          const b = 2 * ((k * cameras.length + to) * points.length + p);
          if (Number.isFinite(rays[a]) && Number.isFinite(rays[b])) shared++;
        }
      }
      if (shared >= FEWEST_PAIRS && shared > (best?.shared ?? 0)) best = { from, to, shared };
    }
  }
  return best;
}
