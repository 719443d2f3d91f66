import { blend, hold, makeRecording, move, type Posture, STANDING } from '../make-loads.ts';

/** Where a pull from the floor starts. */
export const FLOOR: Posture = { shank: 12, thigh: 30, trunk: 70 };

/** One pull from the floor: the ascent comes first. Lowest just before the bar leaves the floor. */
export const PULL: readonly Posture[] = [
  ...hold(blend(FLOOR, STANDING, 0.002), 70),
  ...hold(FLOOR, 10),
  ...move(FLOOR, STANDING, 120),
  ...hold(STANDING, 60),
  ...move(STANDING, FLOOR, 120),
  ...hold(FLOOR, 60),
];

export const deadlift = () => makeRecording({ kind: 'deadlift', bar: 'hands' });
