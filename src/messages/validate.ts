import { DataError } from '../errors.ts';

/** A and B are one and the same file. */
export const sameFileTwice = (file: string) =>
  new DataError(
    'validate-same-file',
    `${file}: named twice. validate compares the same lift measured by two means: name the recording (or study) of each.`,
    { file },
  );

/** Two recordings that were to be one lift are not of one lifter, one kind of lift or one load. */
export const notTheSameLift = (a: string, b: string, what: string, ofA: string | number, ofB: string | number) =>
  new DataError(
    'validate-not-the-same-lift',
    `${a} and ${b}: ${what} is ${ofA} in the first and ${ofB} in the second, so they are not the same lift. ` +
      'Correct the recording file that is wrong, or pair the recordings by a table with --pairs.',
    { a, b, what, ofA, ofB },
  );

/** A recording of one study that no recording of the other goes with. */
export const recordingsUnpaired = (ofA: readonly string[], ofB: readonly string[]) =>
  new DataError(
    'validate-recordings-unpaired',
    `These recordings have no partner: ${list('A', ofA)}${ofA.length > 0 && ofB.length > 0 ? '; ' : ''}${list('B', ofB)}. Recordings go together by equal ids, ` +
      'else by lifter, kind of lift, set and load where that is unique. Name the pairs in a table a,b with --pairs, or add --leave-out-unpaired.',
    { ofA: ofA.join(' '), ofB: ofB.join(' ') },
  );

const list = (name: string, ids: readonly string[]) => (ids.length > 0 ? `of ${name} ${ids.join(', ')}` : '');

/** Nothing in A goes with anything in B. */
export const noPairs = (a: string, b: string) =>
  new DataError(
    'validate-no-pairs',
    `${a} and ${b}: no recording of the first goes with one of the second. Name the pairs in a table a,b with --pairs.`,
    { a, b },
  );

/** A row of the table of pairs names what is not there, or names it twice. */
export const pairsRowWrong = (file: string, line: number, column: 'a' | 'b', id: string, why: 'not there' | 'twice') =>
  new DataError(
    'validate-pairs-row',
    why === 'twice'
      ? `${file}:${line}: ${column} "${id}" stands in two rows. Each recording goes with one other.`
      : `${file}:${line}: ${column} names "${id}", which is no recording of ${column.toUpperCase()}. Write the id that its recording file states.`,
    { file, line, column, id, why },
  );

/** Repetitions of one recording that the other does not have. */
export const repetitionsUnpaired = (a: string, b: string, ofA: readonly number[], ofB: readonly number[]) =>
  new DataError(
    'validate-repetitions-unpaired',
    `${a} and ${b}: ${numbers('the first', ofA)}${ofA.length > 0 && ofB.length > 0 ? ', ' : ''}${numbers('the second', ofB)} without a partner in time. ` +
      'One means may have seen more of the set, or missed one. See repetitions.csv of each (kneeward analyse); add --leave-out-unpaired to compare the others, or --match order where their clocks cannot be matched.',
    { ofA: ofA.join(' '), ofB: ofB.join(' ') },
  );

const numbers = (whose: string, of: readonly number[]) =>
  of.length === 0 ? '' : `${whose} has repetition${of.length > 1 ? 's' : ''} ${of.join(', ')}`;

/** Which repetition is which cannot be told. */
export const repetitionsAmbiguous = (a: string, b: string, countA: number, countB: number) =>
  new DataError(
    'validate-repetitions-ambiguous',
    `${a} and ${b}: ${countA} repetitions against ${countB}, so evenly done that more than one shift in time makes them agree. ` +
      'Add --match order where both begin with the same repetition, or cut the recordings to the same repetitions.',
    { countA, countB },
  );

/** No repetition found by one of the means. */
export const noRepetitionToCompare = (recording: string) =>
  new DataError(
    'validate-no-repetitions',
    `${recording}: no repetition was found, so there is nothing to compare. See its report (kneeward analyse).`,
    { recording },
  );

/** Nothing both know. */
export const nothingInCommon = () =>
  new DataError(
    'validate-nothing-in-common',
    'The two means know no number in common: every measure is unknown in one of them. The reasons stand in measures.csv of each (kneeward analyse).',
    {},
  );

export const validatedInto = (folder: string, pairs: number, repetitions: number, seconds: number) =>
  `${pairs} recording${pairs === 1 ? '' : 's'}, ${repetitions} repetition${repetitions === 1 ? '' : 's'} measured by both. Written to ${folder} in ${seconds.toFixed(1)} s: open ${folder}/agreement.svg`;

export const leftOut = (what: string) => `Left out: ${what}`;
export const pairNotAnalysed = (message: string) => `Not compared: ${message}`;

export const massesDiffer = (a: string, b: string, kgA: number, kgB: number) =>
  `${a} and ${b}: body mass is stated as ${kgA} and ${kgB} kg; moments follow it, so part of their difference is this.`;

export const oneLifterOnly = (repetitions: number) =>
  `One lifter (${repetitions} repetition${repetitions === 1 ? '' : 's'}): the limits say how repetitions of this lifter differ, not what another lifter may expect.`;

export const agreementNotes = {
  direction: () => 'Every difference is A less B.',
  limits: () =>
    '95 % limits of agreement: 19 of 20 differences are expected between them (bias ± 1.96 standard deviations). Several repetitions of several lifters: variance within and between lifters added (Bland & Altman 2007).',
  covered: () =>
    'covered_share: how many differences the stated 95 % intervals of A and B allow, what both share (lifter, segment table, load) counted once; near 0.95 where the intervals are honest.',
  reference: () => 'B is taken as it is: where B errs too, the limits hold the errors of both.',
} as const;
