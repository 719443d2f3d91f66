import { z } from 'zod';
import { acceptanceInvalid, acceptanceUnknownLimit } from '../messages.ts';

/** What can be measured of a recording's quality; calibration/acceptance.json sets limits on any of them. */
export const QUALITY_NAMES = [
  'missing_share',
  'reprojection_rms',
  'point_sd',
  'thigh_length_variation',
  'shank_length_variation',
  'frame_rate',
  'repetitions_off_plan',
  'vertical_force_balance',
  'force_mismatch',
  'pressure_mismatch',
] as const;

export type QualityName = (typeof QUALITY_NAMES)[number];

export interface AcceptanceLimit {
  readonly name: QualityName;
  /** In plain words. */
  readonly means: string;
  readonly direction: 'at most' | 'at least';
  readonly good: number;
  readonly usable: number;
  readonly unit: string;
  /** Citation, or 'common practice, no source'. */
  readonly source: string;
}

const LIMIT = z.strictObject({
  name: z.string().min(1),
  means: z.string().min(1),
  direction: z.enum(['at most', 'at least']),
  good: z.number(),
  usable: z.number(),
  unit: z.string().min(1),
  source: z.string().min(3),
});

const FILE = z.strictObject({
  kneeward: z.literal(1),
  kind: z.literal('acceptance limits'),
  limits: z.array(LIMIT).min(1),
  // Limits of rigs stand in the same file and are read by src/cameras/acceptance.ts.
  rig_limits: z.unknown().optional(),
});

/**
 * Checks the parsed contents of an acceptance file (calibration/acceptance.json).
 * @param json parsed JSON
 * @param file its path, for messages
 * @throws DataError 'acceptance-limits-invalid', 'acceptance-limit-unknown'
 */
export function acceptanceLimits(json: unknown, file: string): readonly AcceptanceLimit[] {
  const parsed = FILE.safeParse(json);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    throw acceptanceInvalid(file, issue.path.join('.') || 'top level', issue.message);
  }
  return parsed.data.limits.map((limit) => {
    const name = QUALITY_NAMES.find((known) => known === limit.name);
    if (!name) throw acceptanceUnknownLimit(file, limit.name, QUALITY_NAMES);
    const ordered = limit.direction === 'at most' ? limit.good <= limit.usable : limit.good >= limit.usable;
    if (!ordered) {
      throw acceptanceInvalid(file, name, `good ${limit.good} and usable ${limit.usable} are the wrong way round`);
    }
    return { ...limit, name };
  });
}
