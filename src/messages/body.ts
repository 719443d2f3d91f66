import { DataError } from '../errors.ts';

/** A trunk, thigh or shank longer than any human's. */
export const segmentTooLong = (file: string, segment: string, lengthM: number, limitM: number) =>
  new DataError(
    'segment-too-long',
    `${file}: the ${segment} measures ${lengthM.toFixed(2)} m, longer than any lifter's (at most ${limitM.toFixed(2)} m). ` +
      'Are the coordinates in millimetres or centimetres? Then state "unit: mm" or "unit: cm" under landmarks_3d. ' +
      'With camera views: is the rig scaled in metres, and does it belong to this recording?',
    { segment, lengthM, limitM },
  );

/** A trunk, thigh or shank shorter than any human's. */
export const segmentTooShort = (file: string, segment: string, lengthM: number, limitM: number) =>
  new DataError(
    'segment-too-short',
    `${file}: the ${segment} measures ${lengthM.toPrecision(2)} m, shorter than any lifter's (at least ${limitM.toFixed(2)} m). ` +
      'Are the coordinates in metres where the file states mm or cm? Then state "unit: m" under landmarks_3d. ' +
      'With camera views: is the rig scaled in metres, and does it belong to this recording?',
    { segment, lengthM, limitM },
  );

/** A load that nothing says where to put. */
export const loadWithoutPlace = (file: string, totalKg: number) =>
  new DataError(
    'load-without-place',
    `${file}: load.total_kg is ${totalKg}, but load.bar.position is "none" and no bar ends are tracked, so the load cannot be placed. ` +
      'State the position (front rack, high back, low back, overhead or hands), or track bar_left_end and bar_right_end.',
    { totalKg },
  );

export const shouldersOnAcromion = (ratio: number, byM: number) =>
  `The upper arms measure ${ratio.toFixed(2)} times the forearms, so the shoulder points lie on the acromion: the joints are taken ` +
  `${(1000 * byM).toFixed(0)} mm below them, down the trunk.`;
