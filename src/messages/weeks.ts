import { DataError } from '../errors.ts';

/** A date that is no day. */
export const weekDateUnreadable = (recording: string, date: string) =>
  new DataError(
    'weeks-date',
    `${recording}: the date "${date}" is not a day written as 2026-03-14. Weeks are counted from dates; correct it in the recording file.`,
    { recording, date },
  );

export const weekLoadUnreadable = (recording: string, loadKg: number) =>
  new DataError(
    'weeks-load',
    `${recording}: a load of ${loadKg} kg. Sessions are compared at the same load, so it must be a number from 0 on.`,
    { recording, loadKg: String(loadKg) },
  );

export const weekOptionOutside = (option: string, value: number, least: number, most: number) =>
  new DataError('weeks-option', `${option} is ${value}; it must lie from ${least} to ${most}.`, {
    option,
    value,
    least,
    most,
  });

const kg = (load: number) => String(Number(load.toPrecision(6)));

/** Why a row of weeks.csv or week-changes.csv has no verdict, or how to come to one. */
export const weekReasons = {
  noDate: () => 'no date stated: which week it belongs to is not known',
  oneSession: () => 'one session only',
  otherLoads: (loadKg: number, others: readonly number[], share: number) =>
    `left out: no other session within ${Number((100 * share).toPrecision(3))} % of ${kg(loadKg)} kg (others at ${others.map(kg).join(', ')} kg)`,
  measureElsewhere: () => 'only one session knows the measure',
  notPositive: () => 'a ratio of 0 or below has no logarithm',
  dayUnknown: () =>
    'how the lifter varies from day to day is not known: no lifter of the study has three sessions with this measure, and none is stated',
  withinDays: () =>
    'more than the doubt of the measurement, but no more than days differ anyway: more sessions would tell',
  scatterUnknown: () =>
    'how repetitions scatter is not known, since every set is a single repetition: sets of two or more would tell',
  scatterInDays: () => 'sets of single repetitions: only what sessions differ is known; more sessions would tell',
  wouldTell: (repetitions: number) =>
    `about ${repetitions} more repetitions would tell, if the change is as large as it looks`,
  sharedDoubt: () =>
    'more repetitions would not tell: what is wrong alike in all repetitions of a session is larger than the change',
  dayToDay: () => 'more repetitions would not tell: days differ too much; more sessions would',
  earlierSessions: () =>
    'more repetitions would not tell: the earlier sessions are not known well enough; later ones can be',
  tooMany: (most: number) => `more repetitions would not tell: more than ${most} would be needed`,
};
