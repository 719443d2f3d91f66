import { type Course, depthAt, smoothStep } from '../course.ts';

/** How much of a fault there is at a time, 0 to 1, smooth. */
export type When = (t: number) => number;

/** All the time. */
export const always: When = () => 1;

/** Grows and shrinks with the depth. */
export const withDepth =
  (course: Course): When =>
  (t) =>
    depthAt(course, t);

/** Grows in the descent and stays until the lifter stands between repetitions. */
export const fromDescent =
  (course: Course): When =>
  (t) =>
    course.repetitions.reduce((sum, { startS, descentS, pauseS, ascentS }) => {
      const endS = startS + descentS + pauseS + ascentS;
      return sum + smoothStep((t - startS) / descentS) - smoothStep((t - endS - 0.05) / 0.4);
    }, 0);

/** Comes in the first third of the way up and goes again. */
export const inDrive =
  (course: Course): When =>
  (t) =>
    course.repetitions.reduce((sum, { startS, descentS, pauseS, ascentS }) => {
      const u = (t - startS - descentS - pauseS) / ascentS;
      return sum + smoothStep(u / 0.42) - smoothStep((u - 0.42) / 0.45);
    }, 0);

/** Nothing up to the end of the first repetition; one more after each. */
export const betweenRepetitions =
  (course: Course): When =>
  (t) =>
    course.repetitions.slice(0, -1).reduce((sum, { startS, descentS, pauseS, ascentS }) => {
      const endS = startS + descentS + pauseS + ascentS;
      return sum + smoothStep((t - endS - 0.05) / 0.3);
    }, 0);
