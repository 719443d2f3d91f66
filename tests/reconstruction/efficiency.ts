import type { Camera } from '../../src/cameras/rig.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { pointsFromViews } from '../../src/reconstruction/measured-points.ts';
import { pointProblem, triangulatePoint } from '../../src/reconstruction/triangulate-point.ts';
import { landmarkShare, noisyFilm, type ViewNoise } from './noisy-film.ts';
import { BODY, cameraAt, lifterAt, project, rigOf, type Vector } from './scene.ts';

/** A set-up: where the cameras stand about the lifter (degrees from ahead, metres) and what noise each has. */
export interface SetUp {
  readonly what: string;
  readonly views: readonly (ViewNoise & { readonly angleDeg: number; readonly distanceM: number })[];
}

const view = (angleDeg: number, distanceM: number, whitePx: number, slowPx = 0) => ({
  angleDeg,
  distanceM,
  whitePx,
  slowPx,
});

export const SET_UPS: readonly SetUp[] = [
  { what: '2 views, equal noise', views: [view(40, 4, 1), view(-40, 4, 1)] },
  { what: '2 views 25° apart, equal noise', views: [view(50, 4, 1), view(75, 4, 1)] },
  { what: '2 views, noise 1 and 3 px', views: [view(40, 4, 1), view(-40, 4, 3)] },
  { what: '2 views at 3 and 6 m, noise 0.5 and 2 px', views: [view(35, 3, 2), view(-45, 6, 0.5)] },
  {
    what: '2 views, white 0.8 and 1.6 px, slow 0.6 px in both',
    views: [view(40, 4, 0.8, 0.6), view(-40, 4, 1.6, 0.6)],
  },
  { what: '3 views, equal noise', views: [view(40, 4, 1), view(-40, 4, 1), view(100, 4, 1)] },
  { what: '3 views, noise 1, 1 and 4 px', views: [view(40, 4, 1), view(-40, 4, 1), view(100, 4, 4)] },
  {
    what: '3 views at 3, 5 and 7 m, white 0.8 px, slow 0.3, 0.6 and 1.5 px',
    views: [view(40, 3, 0.8, 0.3), view(-40, 5, 0.8, 0.6), view(100, 7, 0.8, 1.5)],
  },
  { what: '4 views, equal noise', views: [view(40, 4, 1), view(-40, 4, 1), view(100, 4, 1), view(-100, 4, 1)] },
  {
    what: '4 views at 3, 4, 5 and 6 m, noise 0.6, 1, 2 and 4 px',
    views: [view(40, 3, 2), view(-40, 4, 0.6), view(100, 5, 4), view(-100, 6, 1)],
  },
];

/** Sums over draws, per axis and of the generalised kind. */
export interface Efficiency {
  readonly draws: number;
  /** Squared errors with the true weights over those with weights estimated from the recording itself: X, Y, Z, trace. */
  readonly ofWeights: readonly number[];
  /** The Cramér–Rao bound over the squared errors: X, Y, Z, trace. */
  readonly ofBound: readonly number[];
  /** 3 / mean of eᵀ bound⁻¹ e. */
  readonly generalised: number;
  /** Mean squared error over the variance that the reconstruction says: X, Y, Z. */
  readonly covarianceRatio: readonly number[];
}

/**
 * Errors of points triangulated with weights that the recording's own data gave, against the Cramér–Rao bound
 * (Σ Jᵥᵀ Jᵥ / σᵥ²)⁻¹ at the true point (J by central differences of the printed camera equations) and against the same
 * solver with the true weights.
 */
export function efficiencyOf({ views }: SetUp, recordings: number, frames: number, seed: number): Efficiency {
  const rateHz = 60;
  const cameras = views.map(({ angleDeg, distanceM }, v) => {
    const angle = (angleDeg * Math.PI) / 180;
    const place: Vector = [distanceM * Math.cos(angle), 1.1 + 0.1 * v, distanceM * Math.sin(angle)];
    return cameraAt(`view ${v}`, place, [0, 0.9, 0]);
  });
  const random = seededRandom(seed);
  const sums = { found: [0, 0, 0, 0], best: [0, 0, 0, 0], bound: [0, 0, 0, 0], ratio: [0, 0, 0], generalised: 0 };
  let draws = 0;
  for (let r = 0; r < recordings; r++) {
    const tracks = cameras.map((camera, v) => noisyFilm(camera, lifterAt, frames, rateHz, views[v], random));
    const points = pointsFromViews('recording.yaml', tracks, rigOf(...cameras), []);
    const problem = pointProblem(cameras);
    const truth = points.landmarks.map((landmark) => BODY.indexOf(landmark));
    for (let s = 0; s < points.status.length; s++) {
      if (points.status[s] !== SampleStatus.seen) continue;
      const frame = Math.floor(s / truth.length);
      const column = truth[s % truth.length];
      const place = lifterAt(frame / rateHz, BODY[column]);
      const share = landmarkShare(column);
      tracks.forEach((track, v) => {
        const at = 2 * (frame * BODY.length + column);
        problem.pixel[2 * v] = track.pixel[at];
        problem.pixel[2 * v + 1] = track.pixel[at + 1];
        problem.weight[v] = 1 / ((views[v].whitePx ** 2 + views[v].slowPx ** 2) * share ** 2);
      });
      triangulatePoint(problem);
      const fisher = information(cameras, place, problem.weight);
      const bound = crossInverse(fisher);
      const error = [0, 1, 2].map((axis) => points.position[3 * s + axis] - place[axis]);
      const best = [0, 1, 2].map((axis) => problem.position[axis] - place[axis]);
      for (let axis = 0; axis < 3; axis++) {
        add(sums.found, axis, error[axis] ** 2);
        add(sums.best, axis, best[axis] ** 2);
        add(sums.bound, axis, bound[axis][axis]);
        sums.ratio[axis] += error[axis] ** 2 / points.covariance[6 * s + [0, 3, 5][axis]];
      }
      for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) sums.generalised += error[i] * fisher[i][j] * error[j];
      draws++;
    }
  }
  return {
    draws,
    ofWeights: sums.found.map((sum, i) => sums.best[i] / sum),
    ofBound: sums.found.map((sum, i) => sums.bound[i] / sum),
    generalised: (3 * draws) / sums.generalised,
    covarianceRatio: sums.ratio.map((sum) => sum / draws),
  };
}

/** Adds to one axis and to the trace. */
function add(sums: number[], axis: number, value: number): void {
  sums[axis] += value;
  sums[3] += value;
}

function information(cameras: readonly Camera[], place: Vector, weight: Float64Array): number[][] {
  const step = 1e-5;
  const fisher = [0, 1, 2].map(() => [0, 0, 0]);
  cameras.forEach((camera, v) => {
    const slopes = [0, 1, 2].map((axis) => {
      const moved = (by: number) =>
        project(camera, place.map((x, i) => (i === axis ? x + by : x)) as unknown as Vector);
      const [a, b] = [moved(step), moved(-step)];
      return [(a[0] - b[0]) / (2 * step), (a[1] - b[1]) / (2 * step)];
    });
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) {
        fisher[i][j] += weight[v] * (slopes[i][0] * slopes[j][0] + slopes[i][1] * slopes[j][1]);
      }
    }
  });
  return fisher;
}

/** Inverse of a symmetric 3 × 3 by cross products of its rows. */
function crossInverse(m: readonly (readonly number[])[]): number[][] {
  const cross = (a: readonly number[], b: readonly number[]) => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  ];
  const rows = [cross(m[1], m[2]), cross(m[2], m[0]), cross(m[0], m[1])];
  const determinant = m[0][0] * rows[0][0] + m[0][1] * rows[0][1] + m[0][2] * rows[0][2];
  return rows.map((row) => row.map((value) => value / determinant));
}
