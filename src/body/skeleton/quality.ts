import type { Landmark } from '../../capture/landmarks.ts';
import { skeletonNotes } from '../../messages/skeleton.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';
import { type Misfit, projectFramesInto } from './project-frames.ts';
import type { Rest } from './resting-points.ts';
import { standInto } from './spots.ts';
import { type Structure, settle } from './structure.ts';

/** A limb whose length the fit keeps constant. */
export interface FittedLength {
  readonly segment: string;
  readonly lengthM: number;
  /** From the noise of the points as their covariance states it, and the prior; lasting offsets of keypoints are not in it. */
  readonly sdM: number;
}

/** How far the fit moved a landmark from where the smoother left it. */
export interface FittedPoint {
  readonly landmark: Landmark;
  readonly movedRmsM: number;
  /** The same in standard deviations of the smoothed point's white noise; null where no covariance is known. */
  readonly movedRmsSd: number | null;
}

/** A stretch in which a point of a foot is one spot. */
export interface FittedRest {
  readonly landmark: Landmark;
  /** On the recording's common clock, seconds. */
  readonly fromS: number;
  readonly toS: number;
  /** Root mean square distance of the smoothed point from the spot, metres. */
  readonly scatterM: number;
}

export interface SkeletonQuality {
  readonly lengths: readonly FittedLength[];
  readonly points: readonly FittedPoint[];
  readonly rests: readonly FittedRest[];
  /** Per foot point: movements smaller than this are taken for noise while it rests, metres. */
  readonly restLimits: readonly { readonly landmark: Landmark; readonly limitM: number }[];
  /**
   * Square misfit of the constant lengths per length and frame, in variances of the points' white noise: about 1 where noise
   * is all there is, more where points are no joint centres, slide along the limb, or err slowly. null: no covariance known.
   */
  readonly misfit: number | null;
  readonly notes: readonly string[];
}

/** A misfit above this many variances says more than noise is wrong; limbs of one kind that differ by this share are told. Common practice, no source. */
const LARGE_MISFIT = 4;
const LARGE_SIDE_DIFFERENCE = 0.05;

/** What the fit found and how far it had to move the points. Reads the lengths and spots left by the fit of `smoothed`. */
export function assessFit(structure: Structure, smoothed: Trajectories, fitted: Float64Array): SkeletonQuality {
  const { system, lengths, lengthWeights, variances, rests, restLimits } = structure;
  const fittedLengths = system.rods.map(
    ({ segment }, i): FittedLength => ({ segment, lengthM: lengths[i], sdM: lengthWeights.sdM[i] }),
  );
  const points = smoothed.landmarks.flatMap((_, l) => movedPoint(structure, smoothed, fitted, l) ?? []);
  const found = rests.map((rest, r) => fittedRest(rest, r, structure, smoothed));
  const misfit = variances.known ? misfitOf(structure, smoothed) : null;
  return {
    lengths: fittedLengths,
    points,
    rests: found,
    restLimits,
    misfit,
    notes: notesOf(structure, fittedLengths, points, found, misfit),
  };
}

function movedPoint(
  { frames, count, system, variances, rests }: Structure,
  { landmarks, position }: Trajectories,
  fitted: Float64Array,
  l: number,
): FittedPoint | null {
  if (!system.from.includes(l) && !system.to.includes(l) && !rests.some(({ column }) => column === l)) return null;
  let square = 0;
  let variance = 0;
  let known = 0;
  for (let k = 0; k < frames; k++) {
    const s = k * count + l;
    const way = squaredWay(fitted, position, 3 * s);
    if (Number.isNaN(way)) continue;
    square += way;
    variance += variances.smoothed[6 * s] + variances.smoothed[6 * s + 3] + variances.smoothed[6 * s + 5];
    known++;
  }
  if (known === 0) return null;
  return {
    landmark: landmarks[l],
    movedRmsM: Math.sqrt(square / known),
    movedRmsSd: variances.known ? Math.sqrt(square / variance) : null,
  };
}

function fittedRest(rest: Rest, r: number, { spots, count }: Structure, smoothed: Trajectories): FittedRest {
  const { column, first, end, landmark } = rest;
  let square = 0;
  let known = 0;
  for (let k = first; k < end; k++) {
    const at = 3 * (k * count + column);
    const x = smoothed.position[at] - spots[3 * r];
    const y = smoothed.position[at + 1] - spots[3 * r + 1];
    const z = smoothed.position[at + 2] - spots[3 * r + 2];
    const way = x * x + y * y + z * z;
    if (Number.isNaN(way)) continue;
    square += way;
    known++;
  }
  const { startS, frameRateHz } = smoothed;
  return {
    landmark,
    fromS: startS + first / frameRateHz,
    toS: startS + (end - 1) / frameRateHz,
    scatterM: Math.sqrt(square / known),
  };
}

function squaredWay(a: Float64Array, b: Float64Array, at: number): number {
  return (a[at] - b[at]) ** 2 + (a[at + 1] - b[at + 1]) ** 2 + (a[at + 2] - b[at + 2]) ** 2;
}

/** cᵀ (J C Jᵀ)⁻¹ c per rod and frame, C the white noise of the smoothed points, feet on their spots. */
function misfitOf(structure: Structure, smoothed: Trajectories): number {
  const { frames, count, lengths, system, room, rests, spots, variances } = structure;
  const standing = smoothed.position.slice();
  standInto(standing, smoothed.position, rests, spots, count);
  const noise = variances.smoothed.slice();
  settle(noise, rests, count);
  const misfit: Misfit = { square: 0, rods: 0 };
  projectFramesInto(standing, noise, frames, count, lengths, system, 1, room, misfit);
  return misfit.square / misfit.rods;
}

function notesOf(
  { rests, restLimits, variances, system, offsets }: Structure,
  lengths: readonly FittedLength[],
  points: readonly FittedPoint[],
  found: readonly FittedRest[],
  misfit: number | null,
): readonly string[] {
  if (system.rods.length === 0) return [skeletonNotes.noLimbs];
  const notes = [skeletonNotes.fitted(lengths.length, rmsOf(points))];
  notes.push(...offsets.notes);
  if (!variances.known) notes.push(skeletonNotes.noCovariance);
  if (misfit !== null && misfit > LARGE_MISFIT) notes.push(skeletonNotes.largeMisfit(Math.sqrt(misfit)));
  for (const { landmark, limitM } of restLimits) {
    const own = found.filter((rest) => rest.landmark === landmark);
    notes.push(
      own.length === 0 ? skeletonNotes.neverRests(landmark, limitM) : skeletonNotes.rests(landmark, own, limitM),
    );
  }
  if (rests.length > 0) notes.push(skeletonNotes.smallLifts);
  for (const { segment, lengthM } of lengths) {
    if (!segment.startsWith('left ')) continue;
    const other = lengths.find((each) => each.segment === segment.replace('left ', 'right '));
    if (!other || segment.includes(' to ')) continue;
    const share = lengthM / other.lengthM - 1;
    if (Math.abs(share) > LARGE_SIDE_DIFFERENCE) notes.push(skeletonNotes.sidesDiffer(segment, lengthM, other.lengthM));
  }
  return notes;
}

function rmsOf(points: readonly FittedPoint[]): number {
  return Math.sqrt(points.reduce((sum, { movedRmsM }) => sum + movedRmsM ** 2, 0) / points.length);
}
