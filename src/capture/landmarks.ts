/**
 * Names of every point Kneeward knows, in the order used by all arrays.
 *
 * The first 23 are the body and feet of COCO-WholeBody, in that standard's order (indices 0–22); the next seven are our
 * own and optional. `neck_base` (about C7) and `mid_back` (about T8) are skin points, not joints. `left_hand` and
 * `right_hand` are the third knuckles.
 *
 * The rest are optional markers of a marker system: the inner (`medial`) and outer (`lateral`) side of knee (epicondyles),
 * ankle (malleoli) and elbow (epicondyles), the front (`asis`) and back (`psis`) upper spines of the hip bones, the notch of
 * the breastbone and its lower tip.
 */
export const LANDMARKS = [
  'nose',
  'left_eye',
  'right_eye',
  'left_ear',
  'right_ear',
  'left_shoulder',
  'right_shoulder',
  'left_elbow',
  'right_elbow',
  'left_wrist',
  'right_wrist',
  'left_hip',
  'right_hip',
  'left_knee',
  'right_knee',
  'left_ankle',
  'right_ankle',
  'left_big_toe',
  'left_small_toe',
  'left_heel',
  'right_big_toe',
  'right_small_toe',
  'right_heel',
  'bar_left_end',
  'bar_right_end',
  'head',
  'neck_base',
  'mid_back',
  'left_hand',
  'right_hand',
  'left_knee_medial',
  'right_knee_medial',
  'left_knee_lateral',
  'right_knee_lateral',
  'left_ankle_medial',
  'right_ankle_medial',
  'left_ankle_lateral',
  'right_ankle_lateral',
  'left_elbow_medial',
  'right_elbow_medial',
  'left_elbow_lateral',
  'right_elbow_lateral',
  'left_asis',
  'right_asis',
  'left_psis',
  'right_psis',
  'sternum_notch',
  'xiphoid',
] as const;

export type Landmark = (typeof LANDMARKS)[number];

/** Without these no moment of hips, knees and ankles can be summed from above. */
export const MOMENT_LANDMARKS: readonly Landmark[] = [
  'left_shoulder',
  'right_shoulder',
  'left_hip',
  'right_hip',
  'left_knee',
  'right_knee',
  'left_ankle',
  'right_ankle',
];

/** The first 17 landmarks: the COCO person keypoints, in order. */
export const COCO_COUNT = 17;
/** The first 23: COCO-WholeBody body and feet, in order. */
export const COCO_BODY_AND_FEET_COUNT = 23;
/** All 133 of COCO-WholeBody. */
export const COCO_WHOLEBODY_COUNT = 133;

const NAMES: ReadonlySet<string> = new Set(LANDMARKS);

export function isLandmark(name: string): name is Landmark {
  return NAMES.has(name);
}
