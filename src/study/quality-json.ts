import type { SkeletonFit, SkeletonQuality } from '../body/skeleton/skeleton-fit.ts';
import type { RigQuality } from '../cameras/rig.ts';
import type { AcceptanceLimit } from '../lift/acceptance.ts';
import type { GradedQuality } from '../lift/grade.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import type { ResidualAnalysis } from '../mechanics/residual/residual-analysis.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';

/** `quality.json` of a recording: the grade with its limits, then what every stage says of its own result. */
export interface QualityRecord {
  readonly recording_id: string;
  readonly grade: GradedQuality['grade'];
  readonly limits: readonly {
    readonly name: string;
    readonly means: string;
    readonly direction: string;
    readonly good: number;
    readonly usable: number;
    readonly unit: string;
    readonly source: string;
    /** null where the recording holds no number for this limit. */
    readonly value: number | null;
    readonly grade: string | null;
  }[];
  readonly cameras: RigQuality | null;
  readonly reconstruction: LiftRecord['loads']['motion']['trajectories']['quality'];
  readonly body: LiftRecord['loads']['motion']['quality'];
  readonly mechanics: LiftRecord['loads']['quality'];
  /** Loads of each leg by assumption, and how they compare with force plates; null where nothing is shared. */
  readonly leg_sharing: NonNullable<LiftRecord['legSharing']>['quality'] | null;
  readonly lift: LiftRecord['quality'];
  /** null where the points were left free. */
  readonly skeleton: SkeletonQuality | null;
  /** Movement against force plates; null without force plates under both feet. */
  readonly residual: Pick<ResidualAnalysis, 'overall' | 'recommended' | 'estimate' | 'notes'> | null;
  /** What the intervals hold and what they do not; null where they were switched off. */
  readonly intervals: {
    readonly causes: readonly { readonly cause: string; readonly unknowns: number; readonly not_included: string }[];
  } | null;
}

/**
 * @param graded result of `gradeLift` with the same `limits`
 * @param rig quality of the cameras; null for 3D points
 */
export function qualityRecord(
  record: LiftRecord,
  graded: GradedQuality,
  limits: readonly AcceptanceLimit[],
  rig: RigQuality | null,
  uncertainty: LiftUncertainty | null = null,
  skeleton: SkeletonFit | null = null,
  residual: ResidualAnalysis | null = null,
): QualityRecord {
  return {
    recording_id: record.recordingId,
    grade: graded.grade,
    limits: limits.map((limit) => {
      const reason = graded.reasons.find((found) => found.limit === limit.name);
      return { ...limit, value: reason?.value ?? null, grade: reason?.grade ?? null };
    }),
    cameras: rig,
    reconstruction: record.loads.motion.trajectories.quality,
    body: record.loads.motion.quality,
    mechanics: record.loads.quality,
    leg_sharing: record.legSharing?.quality ?? null,
    lift: record.quality,
    skeleton: skeleton?.quality ?? null,
    residual: residual && {
      overall: residual.overall,
      recommended: residual.recommended,
      estimate: residual.estimate,
      notes: residual.notes,
    },
    intervals: uncertainty && {
      causes: uncertainty.groups.map(({ group, causes, notIncluded }) => ({
        cause: group,
        unknowns: group === 'noise' ? uncertainty.noiseDraws : causes.length,
        not_included: notIncluded,
      })),
    },
  };
}
