import type { Landmark } from '../capture/landmarks.ts';

/** Points of the body whose keypoints are not the joint centres (or sole points) they stand for. */
export const OFFSET_POINTS = ['shoulder', 'elbow', 'wrist', 'hip', 'knee', 'ankle', 'heel', 'big_toe', 'ear'] as const;
export type OffsetPoint = (typeof OFFSET_POINTS)[number];

/** Keypoint minus joint centre in the lifter's axes, metres: forward, up, outward (away from the midline). */
export interface KeypointOffset {
  readonly meanM: readonly [forward: number, up: number, outward: number];
  readonly sdM: readonly [forward: number, up: number, outward: number];
}

/** What a detector, or a way of marking, is known to do. */
export interface OffsetTable {
  readonly detector: string;
  readonly source: string;
  readonly offsets: Readonly<Record<OffsetPoint, KeypointOffset>>;
}

/** Share of an offset's variance that left and right have in common; the rest is each side's own. Common practice, no source. */
export const COMMON_TO_BOTH_SIDES = 0.8;

/** The offset point of a landmark and its side; null where no offset is stated (bar ends, nose, eyes …). */
export function offsetPointOf(
  landmark: Landmark,
): { readonly point: OffsetPoint; readonly side: 'left' | 'right' } | null {
  const found = /^(left|right)_(.+)$/.exec(landmark);
  if (!found || !(OFFSET_POINTS as readonly string[]).includes(found[2])) return null;
  return { point: found[2] as OffsetPoint, side: found[1] as 'left' | 'right' };
}

/** First values, to be replaced by sourced ones: sizes by common practice, no source. */
const POSE_NETWORK: OffsetTable = {
  detector: 'pose network',
  source: 'common practice, no source',
  offsets: {
    shoulder: { meanM: [0, 0, 0], sdM: [0.012, 0.012, 0.012] },
    elbow: { meanM: [0, 0, 0], sdM: [0.01, 0.01, 0.01] },
    wrist: { meanM: [0, 0, 0], sdM: [0.01, 0.01, 0.01] },
    hip: { meanM: [0, 0, 0], sdM: [0.015, 0.015, 0.015] },
    knee: { meanM: [0, 0, 0], sdM: [0.01, 0.01, 0.01] },
    ankle: { meanM: [0, 0, 0], sdM: [0.01, 0.01, 0.008] },
    heel: { meanM: [0, 0, 0], sdM: [0.01, 0.008, 0.008] },
    big_toe: { meanM: [0, 0, 0], sdM: [0.01, 0.008, 0.008] },
    ear: { meanM: [0, 0, 0], sdM: [0.01, 0.01, 0.01] },
  },
};

/** The table for a recording's detector; the one of pose networks where none is stated or known. */
export function offsetTable(_detector: string | null | undefined, _kind: 'views' | 'landmarks_3d'): OffsetTable {
  return POSE_NETWORK;
}
