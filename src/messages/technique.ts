/** Texts of technique measures: why one is unknown. */

export const firstRepetition = () => 'the first repetition has none before it';
export const notHeld = (seconds: number) => `no stretch of ${seconds} s to read it from`;
export const notFailed = () => 'not a failed repetition';
export const needsFullRepetitions = (least: number, found: number) => `needs ${least} full repetitions, ${found} found`;
export const sexNotStated = () => 'the survey is of women and of men apart: needs the athlete’s sex';
