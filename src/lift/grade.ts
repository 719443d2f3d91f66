import type { AcceptanceLimit, QualityName } from './acceptance.ts';
import type { LiftRecord } from './lift-record.ts';

export type Grade = 'good' | 'usable' | 'poor';

export interface GradeReason {
  readonly limit: QualityName;
  readonly value: number;
  readonly unit: string;
  readonly grade: Grade;
}

export interface GradedQuality {
  /** The worst of the reasons; null where nothing could be judged. */
  readonly grade: Grade | null;
  readonly reasons: readonly GradeReason[];
  /** Limits for which the recording holds no number, such as force_mismatch without force plates. */
  readonly notJudged: readonly QualityName[];
}

/** Grades a recording by the limits of an acceptance file; the worst limit decides. */
export function gradeLift(record: LiftRecord, limits: readonly AcceptanceLimit[]): GradedQuality {
  const measured = qualityNumbers(record);
  const reasons = limits.flatMap((limit): GradeReason[] => {
    const value = measured[limit.name];
    return value === null ? [] : [{ limit: limit.name, value, unit: limit.unit, grade: gradeOf(value, limit) }];
  });
  const worst = (['poor', 'usable', 'good'] as const).find((grade) => reasons.some((reason) => reason.grade === grade));
  return {
    grade: worst ?? null,
    reasons,
    notJudged: limits.filter(({ name }) => measured[name] === null).map(({ name }) => name),
  };
}

function gradeOf(value: number, { direction, good, usable }: AcceptanceLimit): Grade {
  const keeps = (limit: number) => (direction === 'at most' ? value <= limit : value >= limit);
  return keeps(good) ? 'good' : keeps(usable) ? 'usable' : 'poor';
}

/** The quality numbers of a record in the units of QUALITY_NAMES; null where the recording holds none. */
export function qualityNumbers(record: LiftRecord): Readonly<Record<QualityName, number | null>> {
  const { motion, quality: mechanics } = record.loads;
  const { quality: points } = motion.trajectories;
  const variation = (part: string) =>
    largest(
      motion.segments
        .filter(({ name, placedBy }) => name.endsWith(part) && placedBy === null)
        .map(({ lengthVariation }) => 100 * lengthVariation),
    );
  const { repetitionsFound, repetitionsPlanned } = record.quality;
  return {
    missing_share: points.missingShare,
    reprojection_rms: points.reprojectionRmsPx,
    point_sd: largest(
      points.perLandmark.filter(({ landmark }) => /_(hip|knee|ankle|shoulder)$/.test(landmark)).map(({ sdM }) => sdM),
    ),
    thigh_length_variation: variation('_thigh'),
    shank_length_variation: variation('_shank'),
    frame_rate: record.loads.frameRateHz,
    repetitions_off_plan: repetitionsPlanned === null ? null : Math.abs(repetitionsFound - repetitionsPlanned),
    vertical_force_balance:
      mechanics.meanVerticalShare === null ? null : 100 * Math.abs(mechanics.meanVerticalShare - 1),
    force_mismatch: mechanics.mismatch?.verticalRmsPctBodyWeight ?? null,
    pressure_mismatch: mechanics.mismatch?.copForwardRmsM ?? null,
  };
}

function largest(values: readonly (number | null)[]): number | null {
  const known = values.filter((value): value is number => value !== null && Number.isFinite(value));
  return known.length > 0 ? Math.max(...known) : null;
}
