import { z } from 'zod';
import * as say from '../messages/acceptance.ts';
import type { CameraQuality, CameraRig, MeasuredQuality } from './rig.ts';

/** What can be measured of a rig, with its unit; calibration/acceptance.json sets limits on any of them. */
const UNITS = {
  reprojection_rms: 'px',
  held_out_length_share: '1',
  focal_sd_share: '1',
  place_sd: 'm',
  direction_sd: 'deg',
  vertical_half_width: 'deg',
  scale_sd_share: '1',
  coverage: '1',
  tilt_range: 'deg',
  clock_half_width: 's',
  volume_covered: '1',
} as const;

export type RigQualityName = keyof typeof UNITS;
export const RIG_QUALITY_NAMES = Object.keys(UNITS) as RigQualityName[];

/**
 * Space a lifter fills, metres: along the bar, up, and fore and aft. Bar: International Weightlifting Federation, Technical
 * and Competition Rules and Regulations (men, 2.2 m). Height and depth: common practice, no source.
 */
export const LIFTER_SPACE_M = { along: 2.2, up: 2.0, depth: 1.0 } as const;

export interface RigLimit {
  readonly name: RigQualityName;
  /** In plain words. */
  readonly means: string;
  readonly direction: 'at most' | 'at least';
  readonly good: number;
  readonly usable: number;
  readonly unit: string;
  /** true: a rig of which this is not known cannot be called good or usable. */
  readonly needed: boolean;
  /** Citation, or 'common practice, no source'. */
  readonly source: string;
  /** What to do where the limit is not met. */
  readonly remedy: string;
}

export type RigGrade = 'good' | 'usable' | 'poor' | 'unknown';

export interface RigGradeRow {
  readonly name: RigQualityName;
  /** null where it is not known. */
  readonly value: number | null;
  readonly unit: string;
  readonly limit: RigLimit;
  readonly grade: RigGrade;
  /** The camera that decides, where each camera has its own number. */
  readonly camera: string | null;
  /** Why the value is not known; null where it is. */
  readonly why: string | null;
  /** What to do; null where the grade is good. */
  readonly remedy: string | null;
}

export interface GradedRig {
  /**
   * The worst known row, but 'unknown' where a needed number is not known (unless something known is poor already).
   */
  readonly grade: RigGrade;
  /** In the order of the limits. */
  readonly rows: readonly RigGradeRow[];
}

const LIMIT = z.strictObject({
  name: z.string().min(1),
  means: z.string().min(1),
  direction: z.enum(['at most', 'at least']),
  good: z.number(),
  usable: z.number(),
  unit: z.string().min(1),
  needed: z.boolean(),
  source: z.string().min(3),
  remedy: z.string().min(3),
});

const FILE = z.object({
  kneeward: z.literal(1),
  kind: z.literal('acceptance limits'),
  rig_limits: z.array(LIMIT).min(1),
});

/**
 * The limits of rigs in the parsed contents of an acceptance file (`rig_limits` of calibration/acceptance.json).
 * Throws DataError 'rig-limits-invalid', 'rig-limit-unknown'.
 */
export function rigLimits(json: unknown, file: string): readonly RigLimit[] {
  const parsed = FILE.safeParse(json);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    throw say.rigLimitsInvalid(file, issue.path.join('.') || 'top level', issue.message);
  }
  return parsed.data.rig_limits.map((limit) => {
    const name = RIG_QUALITY_NAMES.find((known) => known === limit.name);
    if (!name) throw say.rigLimitUnknown(file, limit.name, RIG_QUALITY_NAMES);
    if (limit.unit !== UNITS[name])
      throw say.rigLimitsInvalid(file, name, say.rigLimitUnit(name, limit.unit, UNITS[name]));
    const ordered = limit.direction === 'at most' ? limit.good <= limit.usable : limit.good >= limit.usable;
    if (!ordered) throw say.rigLimitsInvalid(file, name, say.limitsReversed(limit.good, limit.usable));
    return { ...limit, name };
  });
}

/** Grades a rig by its quality record. What is not known stays unknown, with the reason. */
export function gradeRig(rig: Pick<CameraRig, 'cameras' | 'quality'>, limits: readonly RigLimit[]): GradedRig {
  const numbers = rigQualityNumbers(rig);
  const rows = limits.map((limit): RigGradeRow => {
    const found = numbers[limit.name];
    const grade = found.value === null ? 'unknown' : gradeOf(found.value, limit);
    return {
      name: limit.name,
      value: found.value,
      unit: limit.unit,
      limit,
      grade,
      camera: found.camera,
      why: found.why,
      remedy: grade === 'good' ? null : limit.remedy,
    };
  });
  return { grade: overall(rows), rows };
}

function overall(rows: readonly RigGradeRow[]): RigGrade {
  const has = (grade: RigGrade) => rows.some((row) => row.grade === grade);
  if (has('poor')) return 'poor';
  if (rows.some((row) => row.grade === 'unknown' && row.limit.needed)) return 'unknown';
  return has('usable') ? 'usable' : has('good') ? 'good' : 'unknown';
}

function gradeOf(value: number, { direction, good, usable }: RigLimit): RigGrade {
  const keeps = (limit: number) => (direction === 'at most' ? value <= limit : value >= limit);
  return keeps(good) ? 'good' : keeps(usable) ? 'usable' : 'poor';
}

/** A number, or why there is none. */
export interface Found {
  readonly value: number | null;
  readonly camera: string | null;
  readonly why: string | null;
}

const known = (value: number, camera: string | null = null): Found => ({ value, camera, why: null });
const unknown = (why: string): Found => ({ value: null, camera: null, why });

/** Methods that never fit a lens from nothing: how much of the picture their points cover says nothing of the lens. */
const LENS_FROM_ELSEWHERE: readonly string[] = ['stick', 'barbell and joints'];

/** Every number that a limit can be set on, in the units of the limits. */
export function rigQualityNumbers({
  cameras,
  quality,
}: Pick<CameraRig, 'cameras' | 'quality'>): Readonly<Record<RigQualityName, Found>> {
  const focalPx = new Map(cameras.map(({ name, fx, fy }) => [name, 0.5 * (fx + fy)]));
  const { measured } = quality;
  const of = (read: (measured: MeasuredQuality) => Found): Found =>
    measured === undefined ? unknown(say.qualityNotMeasured()) : read(measured);
  const worstOf = (direction: 'most' | 'least', read: (one: CameraQuality) => number | null, why: string) =>
    of((found) => worst(found.cameras, direction, read) ?? unknown(why));
  const rms = quality.reprojectionRmsPx;
  return {
    reprojection_rms: rms === null ? unknown(say.residualNotStated()) : known(rms),
    held_out_length_share: of(({ heldOutLength }) =>
      heldOutLength === null ? unknown(say.noLengthLeftOut()) : known(heldOutLength.share),
    ),
    focal_sd_share: worstOf('most', (one) => share(one.focalSdPx, focalPx.get(one.camera)), say.lensHeld()),
    place_sd: worstOf('most', (one) => one.placeSdM, say.poseHeld()),
    direction_sd: worstOf('most', (one) => one.directionSdDeg, say.poseHeld()),
    vertical_half_width: of(({ vertical }) =>
      vertical === null ? unknown(say.verticalNotKnown()) : known(vertical.halfWidth95Deg),
    ),
    scale_sd_share: of(({ scale }) => (scale === null ? unknown(say.scaleNotKnown()) : known(scale.sdShare))),
    coverage: LENS_FROM_ELSEWHERE.includes(quality.method)
      ? unknown(say.lensFromElsewhere())
      : worstOf('least', (one) => one.coverage, say.noCoverage()),
    tilt_range: worstOf('least', (one) => one.tiltRangeDeg, say.noBoard()),
    clock_half_width: worstOf('most', (one) => one.clock?.halfWidth95S ?? null, say.noClock()),
    volume_covered: of(({ volumeM, vertical }) =>
      volumeM === null ? unknown(say.noVolume()) : known(volumeCovered(volumeM, vertical !== null)),
    ),
  };
}

function share(sd: number | null, focal: number | undefined): number | null {
  return sd === null || focal === undefined ? null : sd / focal;
}

function worst(
  cameras: readonly CameraQuality[],
  direction: 'most' | 'least',
  read: (one: CameraQuality) => number | null,
): Found | null {
  const sign = direction === 'most' ? 1 : -1;
  let found: Found | null = null;
  let greatest = Number.NEGATIVE_INFINITY;
  for (const one of cameras) {
    const value = read(one);
    if (value === null || !Number.isFinite(value) || sign * value <= greatest) continue;
    greatest = sign * value;
    found = known(value, one.camera);
  }
  return found;
}

/**
 * Part of LIFTER_SPACE_M over which the points spread, 0–1: the product over width, height and depth of extent / needed
 * extent, each at most 1. The rig's heading is free, so its larger horizontal extent counts as the one along the bar;
 * where even the vertical is not known, extents are matched by size. The points' bounding box says nothing of holes
 * inside it, nor where the lifter will stand.
 */
export function volumeCovered(volumeM: readonly number[], verticalKnown: boolean): number {
  const extent = [0, 1, 2].map((k) => volumeM[k + 3] - volumeM[k]);
  const { along, up, depth } = LIFTER_SPACE_M;
  const descending = (values: number[]) => values.sort((a, b) => b - a);
  const found = verticalKnown ? [...descending([extent[0], extent[2]]), extent[1]] : descending(extent);
  const needed: readonly number[] = verticalKnown ? [along, depth, up] : [along, up, depth];
  return needed.reduce((product, one, k) => product * Math.min(1, found[k] / one), 1);
}
