const spaced = (landmark: string) => landmark.replaceAll('_', ' ');
const mm = (metres: number) => (1000 * metres).toFixed(1);

/** What the fit of a skeleton did to the points, in plain words. */
export const skeletonNotes = {
  noLimbs: 'No limb has both its ends tracked: the points stay as they were smoothed.',
  fitted: (lengths: number, movedRmsM: number) =>
    `Skeleton: ${lengths} distances keep one length in all frames; the points moved by ${mm(movedRmsM)} mm (r.m.s.). ` +
    'The length of the trunk and the width of the shoulders are free; rounding and shortening of the back are read from free points.',
  noCovariance: 'No uncertainty of the points is known: the skeleton weighs all of them alike.',
  largeMisfit: (times: number) =>
    `Limb lengths of the measured points vary ${times.toFixed(1)} times as much as their noise explains: keypoints that are not ` +
    'joint centres, points that slide along the limb, or errors that last. Constant lengths share this out between the points.',
  rests: (landmark: string, rests: readonly { fromS: number; toS: number }[], limitM: number) =>
    `The ${spaced(landmark)} stands on one spot ${rests.map(({ fromS, toS }) => `from ${fromS.toFixed(1)} to ${toS.toFixed(1)} s`).join(', ')} ` +
    `(it moves by less than ${mm(limitM)} mm).`,
  neverRests: (landmark: string, limitM: number) =>
    `The ${spaced(landmark)} never rests: it moves by more than ${mm(limitM)} mm within any 0.6 s, or drifts.`,
  smallLifts:
    'Lifts and slides of a foot smaller than these limits are not seen on fitted points; free points show them.',
  sidesDiffer: (segment: string, lengthM: number, otherM: number) =>
    `The ${segment} measures ${lengthM.toFixed(3)} m, the right one ${otherM.toFixed(3)} m: more than legs and arms differ; ` +
    'are left and right points placed alike, and is the rig calibrated on both sides?',
} as const;

/** A detector whose offsets from joint centres are not known here. */
export const detectorUnknown = (detector: string, taken: string, known: readonly string[]) =>
  `Nothing is known of how far the points of "${detector}" lie from the joint centres: the offsets of a ${taken} are taken. ` +
  `Known names: ${known.join(', ')}.`;
