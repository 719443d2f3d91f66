import type { KeypointTrack } from '../../capture/recording.ts';
import {
  lensesExchanged,
  movingPointsFewCameras,
  movingPointsFewMoments,
  noteNoise,
  rigUndetermined,
  rodEndsMissing,
  trackWithoutLens,
} from '../../messages/moving-points.ts';
import type { BundleSolution } from '../bundle-problem.ts';
import type { Calibration } from '../calibration.ts';
import { pointFromViews } from '../point-from-views.ts';
import { IDENTITY_POSE, type Pose } from '../pose.ts';
import type { Camera } from '../rig.ts';
import { placeRig } from '../vertical/place-rig.ts';
import { type VerticalEvidence, verticalFrom } from '../vertical/vertical-evidence.ts';
import { chooseRig, DEVIANCE_LIMIT } from './choose-pose.ts';
import { refuseExchangedSides, refuseOutside } from './exchanged.ts';
import { finished, meanSd, outlierNotes, sideNotes, verticalNotes, viewOf, viewsOf } from './finished-rig.ts';
import {
  type ImageTrack,
  imageTrackOf,
  MOMENTS,
  type MomentOptions,
  type Moments,
  momentsOf,
  thinned,
} from './image-tracks.ts';
import { fitJointly, type JointFit, type MovingLens, noiseOf, type RodInMoments } from './joint-fit.ts';
import { metricStarts } from './metric-start.ts';
import { type RodRule, scaleBudget } from './scale-budget.ts';
import { scaleSd } from './scale-sd.ts';

export interface MovingPointsOptions {
  /** The rod, or several (two sticks). At least one. */
  readonly rods: readonly RodRule[];
  /** Free points that join the rod; absent = every other point that two cameras track. Empty = the rod alone. */
  readonly points?: readonly string[];
  /** 'refined' (default): lens parameters move within their covariance. 'held': lenses count as exact. */
  readonly lenses?: 'refined' | 'held';
  /** Prior standard deviation of each camera's clock against the first, seconds; absent or null = clocks as given. */
  readonly clockSdS?: number | null;
  /** Where the vertical is from; none = the first camera is taken to be level, and the rig says so. */
  readonly vertical?: readonly VerticalEvidence[];
  /** Points that stay on the floor, and their height above it. Absent: heels at 0.03 m where tracked, else no floor. */
  readonly floor?: { readonly points: readonly string[]; readonly heightM: number } | null;
  readonly seed: number;
  readonly moments?: MomentOptions;
  readonly synthetic?: boolean;
}

/** Moments below which nothing is fitted. Common practice, no source. */
const FEWEST_MOMENTS = 10;
/** Standard deviations above which the rig is refused: a camera's direction, degrees, and scale. Common practice, no source. */
export const DIRECTION_LIMIT_DEG = 0.3;
export const SCALE_LIMIT = 0.01;
/** Height of the heel keypoint above the floor. Common practice, no source. */
const HEEL_HEIGHT_M = 0.03;
const HEELS = { points: ['left_heel', 'right_heel'], heightM: HEEL_HEIGHT_M } as const;

/** A rig from the ends of a barbell together with the lifter's joints, out of a recording's keypoints. */
export function rigFromBarbell(
  tracks: readonly KeypointTrack[],
  lenses: readonly MovingLens[],
  options: MovingPointsOptions,
): Calibration {
  const images = tracks.map((track) => {
    const lens = lenses.find(({ camera }) => camera.name === track.camera);
    if (lens === undefined)
      throw trackWithoutLens(
        track.camera,
        lenses.map(({ camera }) => camera.name),
      );
    return imageTrackOf(track, lens.camera.imageHeight);
  });
  return rigFromMovingPoints(images, lenses, options, 'barbell and joints');
}

/** A rig from a stick of known length that was waved through the volume. */
export function rigFromRods(
  tracks: readonly ImageTrack[],
  lenses: readonly MovingLens[],
  options: MovingPointsOptions,
): Calibration {
  return rigFromMovingPoints(tracks, lenses, options, 'stick');
}

/**
 * Relative pose and scale of all cameras from moving points of which two keep a known distance, lenses known: common moments,
 * refusal of exchanged sides, starts by essential matrix and homography, joint refinement of every start, refusal of what
 * stays ambiguous; then the vertical from other sources. docs/method/moving-points.md.
 */
export function rigFromMovingPoints(
  tracks: readonly ImageTrack[],
  lenses: readonly MovingLens[],
  options: MovingPointsOptions,
  method: string,
): Calibration {
  const { rods, seed, clockSdS = null } = options;
  const own = lensesOf(tracks, lenses);
  const cameras = own.map(({ camera }): Camera => ({ ...camera, ...IDENTITY_POSE }));
  const names = namesUsed(tracks, options);
  const moments = momentsOf(tracks, names, options.moments ?? MOMENTS);
  if (moments.timeS.length < FEWEST_MOMENTS) throw movingPointsFewMoments(moments.timeS.length, FEWEST_MOMENTS);
  refuseOutside(moments, cameras);
  const rodsIn = rods.map(
    (rod): RodInMoments => ({
      ends: [names.indexOf(rod.ends[0]), names.indexOf(rod.ends[1])],
      lengthM: rod.lengthM - rod.whipM,
      scatterM: rod.scatterM,
    }),
  );
  refuseExchangedSides(moments, cameras, rodsIn, seed);
  const starts = metricStarts(moments, cameras, rodsIn, seed);
  const settings = { rods: rodsIn, clockSdS, lensesFree: options.lenses !== 'held' };
  const { fit, noise } = chooseRig(moments, own, starts, settings);
  refuseExchangedLenses(moments, own, fit, rodsIn);

  const statistical = scaleSd(fit.solution, viewsOf(moments));
  const worst = largestDirectionSd(fit.solution);
  if (!(worst <= DIRECTION_LIMIT_DEG && statistical <= SCALE_LIMIT)) {
    const onlyRods = names.length === 2 * rods.length;
    throw rigUndetermined(worst, DIRECTION_LIMIT_DEG, statistical, SCALE_LIMIT, onlyRods);
  }
  const vertical = verticalFrom(fit.solution.cameras, moments, options.vertical ?? [], worst);
  const placed = placeRig(
    fit.solution.cameras,
    vertical?.up ?? levelFirstCamera(fit.solution.cameras[0]),
    floorPoints(fit, moments, options),
  );
  return finished(fit, moments, rodsIn, placed.world, {
    method,
    vertical,
    scale: scaleBudget(rods[0], statistical),
    notes: [
      noteNoise(meanSd(noise.sdPx), noise.correlation[0], Math.max(...noise.correlation), moments.timeS.length),
      ...outlierNotes(fit),
      ...verticalNotes(vertical),
      ...sideNotes(fit, moments),
    ],
    synthetic: options.synthetic ?? false,
  });
}

function lensesOf(tracks: readonly ImageTrack[], lenses: readonly MovingLens[]): MovingLens[] {
  if (tracks.length < 2) throw movingPointsFewCameras(tracks.length);
  return tracks.map((track) => {
    const lens = lenses.find(({ camera }) => camera.name === track.camera);
    if (lens === undefined)
      throw trackWithoutLens(
        track.camera,
        lenses.map(({ camera }) => camera.name),
      );
    return lens;
  });
}

function namesUsed(tracks: readonly ImageTrack[], { rods, points }: MovingPointsOptions): string[] {
  const ends = rods.flatMap((rod) => rod.ends);
  for (const end of ends) {
    const without = tracks.filter((track) => !track.points.includes(end)).map(({ camera }) => camera);
    if (tracks.length - without.length < 2) throw rodEndsMissing(end, without);
  }
  const tracked = [...new Set(tracks.flatMap((track) => track.points))].filter(
    (name) => tracks.filter((track) => track.points.includes(name)).length >= 2,
  );
  const free = points === undefined ? tracked : points.filter((name) => tracked.includes(name));
  return [...ends, ...free.filter((name) => !ends.includes(name))];
}

function largestDirectionSd({ parameters, covariance }: BundleSolution): number {
  const n = parameters.length;
  let largest = 0;
  parameters.forEach((name, i) => {
    // NaN where not determined: stays the largest.
    if (/\.turn_[xyz]$/.test(name)) largest = Math.max(largest, Math.sqrt(covariance[i * n + i]));
  });
  return (largest * 180) / Math.PI;
}

const LENS_CHECK_MOMENTS = 30;

/**
 * Tracks under exchanged camera names get each other's lens: where lenses differ, the exchange then fits clearly better.
 * (With equal lenses the exchange does no harm: the rig is right for these names.)
 */
function refuseExchangedLenses(
  all: Moments,
  lenses: readonly MovingLens[],
  fit: JointFit,
  rods: readonly RodInMoments[],
): void {
  const moments = thinned(all, LENS_CHECK_MOMENTS);
  // Thinned moments are nearly independent.
  const noise = { sdPx: noiseOf(fit, all, rods).sdPx, correlation: new Float64Array(all.points.length).fill(1) };
  const settings = { rods, noise, clockSdS: null, lensesFree: false };
  const poses: readonly Pose[] = fit.solution.cameras;
  let asNamed: number | undefined;
  for (let a = 0; a < lenses.length; a++) {
    for (let b = a + 1; b < lenses.length; b++) {
      const [x, y] = [lenses[a].camera, lenses[b].camera];
      const same = x.imageWidth === y.imageWidth && x.imageHeight === y.imageHeight;
      if (!same || Math.abs(x.fx / y.fx - 1) < 0.005) continue;
      asNamed ??= fitJointly(moments, lenses, poses, settings).deviance;
      const exchanged = lenses.map((lens, c) => {
        const other = c === a ? lenses[b] : c === b ? lenses[a] : lens;
        return { ...other, camera: { ...other.camera, name: lens.camera.name } };
      });
      const difference = asNamed - fitJointly(moments, exchanged, poses, settings).deviance;
      if (difference > DEVIANCE_LIMIT) throw lensesExchanged([x.name, y.name], difference, DEVIANCE_LIMIT);
    }
  }
}

const levelFirstCamera = ({ rotation: r }: Camera): number[] => [-r[3], -r[4], -r[5]];

function floorPoints(fit: JointFit, moments: Moments, { floor }: MovingPointsOptions) {
  const known = floor === undefined ? HEELS : floor;
  if (known === null) return null;
  const at = known.points.map((name) => moments.points.indexOf(name)).filter((p) => p >= 0);
  const points =
    moments.timeS.length === 0 ? [] : Array.from(moments.timeS, (_, k) => at.map((p) => viewOf(moments, k, p)));
  const places = points.flat().flatMap((view) => [...(pointFromViews(fit.solution.cameras, view) ?? [])]);
  return places.length === 0 ? null : { points: Float64Array.from(places), heightM: known.heightM };
}
