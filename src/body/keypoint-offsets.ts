import type { Landmark } from '../capture/landmarks.ts';
import { detectorUnknown } from '../messages/skeleton.ts';

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
  /** What the user should know of the choice of the table; empty where it is the one that was asked for. */
  readonly notes: readonly string[];
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

type Triple = readonly [forward: number, up: number, outward: number];
const NONE: Triple = [0, 0, 0];
const about = (sdM: Triple, meanM: Triple = NONE): KeypointOffset => ({ meanM, sdM });
const even = (sdM: number): KeypointOffset => about([sdM, sdM, sdM]);

/**
 * Joint centres of pose networks against joint centres from markers: 30–50 mm apart at hip and knee, 1–15 mm at the ankle
 * (Needham et al. 2021, Sci Rep 11:20673, walking, running, jumping); r.m.s. below 25 mm, at the hip 36 mm (Kanko et al.
 * 2021, J Biomech 127:110665, walking). Part of that is the markers': a hip centre by regression is itself 12 ± 6 to 25 ± 7
 * mm off (Mantovani et al. 2016, Gait Posture 44:48–54, against computed tomography). √(36² − 20²) / √3 ≈ 18 mm an axis is
 * left to the hip, likewise 13 to the knee, 9 to the ankle, 12 to the shoulder; elbow, wrist, foot and ear: common practice,
 * no source. No mean is stated: these studies disagree in direction, and none filmed squats.
 */
const POSE_NETWORK: OffsetTable = {
  detector: 'pose network',
  source:
    'Needham et al. (2021) Sci Rep 11:20673 and Kanko et al. (2021) J Biomech 127:110665, less the error of the marker-based ' +
    'centres (Mantovani et al. 2016, Gait Posture 44:48); elbow, wrist, foot, ear: common practice, no source',
  offsets: {
    shoulder: even(0.012),
    elbow: even(0.01),
    wrist: even(0.01),
    hip: even(0.018),
    knee: even(0.013),
    ankle: even(0.009),
    heel: about([0.01, 0.008, 0.008]),
    big_toe: about([0.01, 0.008, 0.008]),
    ear: even(0.01),
  },
  notes: [],
};

/**
 * Skin markers at the joints, hip centres by regression from pelvis markers: within 26 mm for 95 % (Bell et al. 1989, Hum Mov
 * Sci 8:3–16), which is 26 / 2.8 ≈ 9 mm an axis. Markers slide on the skin by up to 18 mm at thigh and shank (PMC8631460,
 * fluoroscopy of six people); the others: common practice, no source.
 */
const JOINT_MARKERS: OffsetTable = {
  detector: 'joint markers',
  source:
    'hip: Bell et al. (1989) Hum Mov Sci 8:3–16; others: common practice, no source (skin against bone at thigh and shank: up to 18 mm, PMC8631460)',
  offsets: {
    shoulder: even(0.012),
    elbow: even(0.008),
    wrist: even(0.006),
    hip: even(0.009),
    knee: even(0.009),
    ankle: even(0.006),
    heel: even(0.006),
    big_toe: even(0.006),
    ear: even(0.01),
  },
  notes: [],
};

/**
 * Hip markers on the skin over the greater trochanter, some 0.37 m apart where the centres are 0.17–0.18 m apart: 0.095 m
 * outward, of which bone is 47 ± 5 mm (97 people on radiographs, Ann Palliat Med 2021;10:11524–8) and the rest soft tissue.
 * Height: the tip of the trochanter lies 3 mm above the centre, between 10 below and 20 above (225 radiographs, Theivendran &
 * Hart 2009, Acta Orthop Belg 75); a marker is put on its broad side, so 15 mm is left to chance. Fore–aft: from memory the
 * trochanter lies a little behind the centre; 15 mm.
 */
const TROCHANTER_MARKERS: OffsetTable = {
  ...JOINT_MARKERS,
  detector: 'trochanter markers',
  source:
    'hip: half of the distance between trochanter markers less that of the centres; Theivendran & Hart (2009) Acta Orthop Belg 75; ' +
    'Ann Palliat Med 2021;10:11524–8; others: as joint markers',
  offsets: { ...JOINT_MARKERS.offsets, hip: about([0.015, 0.015, 0.012], [0, 0, 0.095]) },
};

/** Points marked by hand in pictures: hips are hidden under cloth and flesh, ankles and wrists are plain. */
const HAND_DIGITISED: OffsetTable = {
  detector: 'hand digitised',
  source: 'common practice, no source',
  offsets: {
    shoulder: even(0.012),
    elbow: even(0.01),
    wrist: even(0.008),
    hip: even(0.018),
    knee: even(0.01),
    ankle: even(0.008),
    heel: even(0.008),
    big_toe: even(0.008),
    ear: even(0.008),
  },
  notes: [],
};

const TABLES: readonly OffsetTable[] = [POSE_NETWORK, JOINT_MARKERS, TROCHANTER_MARKERS, HAND_DIGITISED];

/** Names a recording may give as its detector. */
export const KNOWN_DETECTORS: readonly string[] = TABLES.map(({ detector }) => detector);

/**
 * The table for a recording's detector; where none is stated, that of pose networks for views and of joint markers for 3D
 * points. A name that is not known gets the table of pose networks, the widest, with a note.
 *
 * `meanM` is never taken off the points by itself: it says where the points are known to lie. Only the trochanter's sideways
 * mean is not 0, and that has no part in moments about the medio-lateral axis.
 */
export function offsetTable(detector: string | null | undefined, kind: 'views' | 'landmarks_3d'): OffsetTable {
  if (detector === null || detector === undefined) return kind === 'views' ? POSE_NETWORK : JOINT_MARKERS;
  const name = detector
    .trim()
    .toLowerCase()
    .replace(/[\s_-]+/g, ' ');
  const found = TABLES.find((table) => table.detector === name);
  return found ?? { ...POSE_NETWORK, notes: [detectorUnknown(detector, POSE_NETWORK.detector, KNOWN_DETECTORS)] };
}
