import { DataError } from '../errors.ts';

/** A force with no place where it acts. */
export const forceWithoutCentre = (file: string, timeS: number, forceN: number, loadedN: number) =>
  new DataError(
    'force-without-centre',
    `${file}: at ${timeS.toFixed(4)} s the vertical force is ${forceN.toFixed(1)} N but no centre of pressure is given. ` +
      `Every sample of ${loadedN} N or more needs copx, copy and copz: fill them in, or cut the recording there.`,
    { timeS, forceN, loadedN },
  );

/** Force plate and points share no moment. */
export const forcePlateApart = (
  file: string,
  firstS: number,
  lastS: number,
  framesFirstS: number,
  framesLastS: number,
) =>
  new DataError(
    'force-plate-apart',
    `${file}: the force plate covers ${firstS.toFixed(2)}–${lastS.toFixed(2)} s, the lift ${framesFirstS.toFixed(2)}–${framesLastS.toFixed(2)} s: ` +
      'they share no moment. Correct offset_s of this force plate, or leave it out.',
    { firstS, lastS, framesFirstS, framesLastS },
  );

/** A force plate sampled too slowly for the filter. */
export const forcePlateTooSlow = (file: string, rateHz: number, cutoffHz: number, leastHz: number) =>
  new DataError(
    'force-plate-too-slow',
    `${file}: frame_rate_hz is ${rateHz}, too slow for a filter at ${cutoffHz.toFixed(2)} Hz (more than ${leastHz.toFixed(1)} Hz needed). ` +
      'Check frame_rate_hz of this force plate, or lower trunk_hz under settings.',
    { rateHz, cutoffHz, leastHz },
  );

/** The left foot's force plate lies under the right foot, and the other way round. */
export const forcePlatesExchanged = (leftFile: string, rightFile: string, leftZM: number, rightZM: number) =>
  new DataError(
    'force-plates-exchanged',
    `${leftFile}: this force plate is called left, but its centre of pressure (${leftZM.toFixed(2)} m to the right) lies under the right foot, ` +
      `and that of ${rightFile} (${rightZM.toFixed(2)} m) under the left one. Exchange foot: left and foot: right in the recording file.`,
    { leftFile, rightFile, leftZM, rightZM },
  );

// Why the load of an arm is unknown.
export const barBetweenHandsAndShoulders = () =>
  'the bar rests on shoulders and hands: how much the hands take is not known';
export const armsNotPlaced = () => 'needs shoulder, elbow and wrist of both arms';
export const handsNotApart = () => 'hands too close together to share the bar between them';

// Why the axes of a joint are unknown.
export const axesNeedHips = () => 'needs left_hip, right_hip';
export const axesNeedPart = (part: string) => `the axes of the ${part.replaceAll('_', ' ')} are not known`;
