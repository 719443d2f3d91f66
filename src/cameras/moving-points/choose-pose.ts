import { rigAmbiguous } from '../../messages/moving-points.ts';
import { angleBetween, type Pose } from '../pose.ts';
import { type Moments, thinned } from './image-tracks.ts';
import {
  fitJointly,
  type JointFit,
  type JointFitSettings,
  type MovingLens,
  noiseOf,
  type PointNoise,
} from './joint-fit.ts';
import type { RigStart } from './metric-start.ts';

/**
 * A rival is told apart when the pictures are this much less likely under it: likelihood ratio 1 : 1000, deviance 2 ln 1000 =
 * 13.8 (as χ² with one degree of freedom: 3.7 standard deviations). Common practice, no source.
 */
export const DEVIANCE_LIMIT = 2 * Math.log(1000);
/** Rigs whose cameras differ by less than this are one rig, as far as a start is concerned: 1°. */
const SAME_RIG_RAD = Math.PI / 180;

export interface ChosenRig {
  readonly fit: JointFit;
  readonly noise: PointNoise;
  /** Deviance of the next rig that also fits, above the chosen one; Infinity without a rival. */
  readonly rivalDeviance: number;
}

/**
 * The start that fits best after the joint refinement, unless another fits nearly as well.
 *
 * Every start is refined with the same noise (that of the best one after a first round), widened for correlation: the
 * difference of two deviances is then twice the logarithm of their likelihood ratio. Throws `rig-ambiguous` below
 * DEVIANCE_LIMIT: a plane seen by two cameras has two such rigs, and the ends of a bar that goes straight up and down lie in
 * a plane.
 */
export function chooseRig(
  moments: Moments,
  lenses: readonly MovingLens[],
  starts: readonly RigStart[],
  settings: Omit<JointFitSettings, 'noise'>,
): ChosenRig {
  const first = starts.slice(0, MOST_STARTS);
  const sdPx = Math.max(0.05, Math.min(...first.map((start) => start.sdPx)));
  const names = moments.points.length;
  const rough: PointNoise = { sdPx: new Float64Array(names).fill(sdPx), correlation: new Float64Array(names).fill(1) };
  // Lenses are held in this round: a wrong root must not buy its fit with another lens.
  const held = { ...settings, lensesFree: false, clockSdS: null };
  const few = thinned(moments, ROUGH_MOMENTS);
  const fits = first.map(({ poses }) => fitJointly(few, lenses, poses, { ...held, noise: rough }));
  const ranked = byDeviance(fits);
  const noise = trustingRods(noiseOf(ranked[0], few, settings.rods), settings.rods);
  const refined = distinct(ranked).map((fit) =>
    fitJointly(moments, lenses, fit.solution.cameras, { ...settings, noise }),
  );
  const rivals = distinct(byDeviance(refined));
  const rivalDeviance =
    rivals.length > 1 ? perMost(rivals[1], rivals) - perMost(rivals[0], rivals) : Number.POSITIVE_INFINITY;
  if (rivalDeviance < DEVIANCE_LIMIT) {
    const turn = largestTurn(rivals[0].solution.cameras, rivals[1].solution.cameras);
    const onlyRods = settings.rods.length * 2 === moments.points.length;
    throw rigAmbiguous((turn * 180) / Math.PI, rivalDeviance, DEVIANCE_LIMIT, onlyRods);
  }
  const better = noiseOf(rivals[0], moments, settings.rods);
  const fit = fitJointly(moments, lenses, rivals[0].solution.cameras, { ...settings, noise: better });
  return { fit, noise: better, rivalDeviance };
}

/**
 * The ends of a rod are taken as free of lasting error to begin with. Joints that are off for good pull the first fit, and the
 * rod's residuals then look lasting, too; given the first word, the rod either fits, or shows in the next round that it does
 * not.
 */
function trustingRods(noise: PointNoise, rods: JointFitSettings['rods']): PointNoise {
  const ends = new Set(rods.flatMap((rod) => rod.ends));
  const least = Math.min(...noise.sdPx);
  return {
    sdPx: noise.sdPx.map((sd, p) => (ends.has(p) ? least : sd)),
    correlation: noise.correlation.map((tau, p) => (ends.has(p) ? 1 : tau)),
  };
}

const MOST_STARTS = 4;
/** Moments of the first round, which only finds the valley and the size of the noise. */
const ROUGH_MOMENTS = 40;

/** A rig that leaves out more than a tenth of the points (they would lie behind a camera) is no rival. Common practice, no source. */
const LEAST_POINTS = 0.9;

function byDeviance(fits: readonly JointFit[]): JointFit[] {
  const most = mostObservations(fits);
  const complete = fits.filter(({ problem }) => problem.observations.camera.length >= LEAST_POINTS * most);
  return complete.sort((a, b) => perMost(a, complete) - perMost(b, complete));
}

/** Deviance, brought to the number of observations of the fullest fit. */
function perMost({ deviance, problem }: JointFit, fits: readonly JointFit[]): number {
  return (deviance * mostObservations(fits)) / problem.observations.camera.length;
}

const mostObservations = (fits: readonly JointFit[]): number =>
  Math.max(...fits.map(({ problem }) => problem.observations.camera.length));

function distinct(fits: readonly JointFit[]): JointFit[] {
  const kept: JointFit[] = [];
  for (const fit of fits) {
    if (!kept.some((other) => largestTurn(other.solution.cameras, fit.solution.cameras) < SAME_RIG_RAD)) kept.push(fit);
  }
  return kept;
}

function largestTurn(a: readonly Pose[], b: readonly Pose[]): number {
  return Math.max(...a.map((pose, c) => angleBetween(pose.rotation, b[c].rotation)));
}
