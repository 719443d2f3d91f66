import { DataError, UsageError } from '../errors.ts';

/** Why two sides of a comparison do not have a number in common. */
export const compareReasons = {
  inA: (why: string) => `A: ${why}`,
  inB: (why: string) => `B: ${why}`,
  inBoth: (ofA: string, ofB: string) => `A: ${ofA}; B: ${ofB}`,
  notThere: () => 'not part of this recording',
  notEveryRepetition: (known: number, of: number, why: string) =>
    `known in ${known} of ${of} repetitions only${why === '' ? '' : ` (${why})`}`,
};

const found = (numbers: readonly number[]) =>
  numbers.length === 0 ? 'none was found' : `found: ${numbers.join(', ')}`;

/** A repetition that the recording does not have. */
export const repetitionNotThere = (
  file: string,
  recording: string,
  repetition: number,
  numbers: readonly number[],
  side: 'a' | 'b',
) =>
  new DataError(
    'compare-no-such-repetition',
    `${file}: ${recording} has no repetition ${repetition} (${found(numbers)}). Name one of them with --repetition-${side}.`,
    { file, recording, repetition, found: numbers.join(' ') },
  );

/** A mean over the full repetitions was wanted, and there is none. */
export const noFullRepetitionToCompare = (
  file: string,
  recording: string,
  numbers: readonly number[],
  side: 'a' | 'b',
) =>
  new DataError(
    'compare-no-full-repetition',
    numbers.length === 0
      ? `${file}: no repetition was found in ${recording}, so there is nothing to compare. See its report (kneeward analyse).`
      : `${file}: ${recording} has no full repetition, and a comparison is of the mean over the full ones. Name one (${numbers.join(', ')}) with --repetition-${side}; see its report (kneeward analyse) for why none is full.`,
    { file, recording, found: numbers.join(' ') },
  );

/** A and B are one and the same lift. */
export const comparedWithItself = (what: string) =>
  new DataError(
    'compare-with-itself',
    `${what}: A and B are one and the same. Name two recordings, or two repetitions of one with --repetition-a and --repetition-b.`,
    { what },
  );

/** One recording was named, and not which of its repetitions. */
export const secondLiftMissing = () =>
  new UsageError(
    'compare-second-missing',
    'One recording was named. Name a second one, or two repetitions of this one with --repetition-a and --repetition-b.',
  );

/** A study file stands where a recording must be. */
export const studyIsNoLift = (file: string) =>
  new DataError(
    'compare-study-is-no-lift',
    `${file}: this is a study, and a comparison needs two of its recordings: kneeward compare --study ${file} ID ID.`,
    { file },
  );

/** An id that the study does not have. */
export const notInStudy = (file: string, id: string, ids: readonly string[], meant: string | null) =>
  new DataError(
    'compare-not-in-study',
    `${file}: no recording "${id}" in this study.${meant === null ? '' : ` Did you mean "${meant}"?`} Its recordings: ${ids.join(', ')}.`,
    { file, id, meant: meant ?? '' },
  );

export const comparedInto = (folder: string, seconds: number) =>
  `Compared in ${seconds.toFixed(1)} s. Open ${folder}/compare.html in a browser.`;

/** What a reader must know before the numbers: said on stderr and at the top of the page. */
export const compareCautions = {
  otherLifter: (a: string, b: string) =>
    `Two lifters (A: ${a}, B: ${b}): their bodies differ and little cancels. What a joint must give depends on size and mass; compare shares and angles rather than N·m.`,
  otherKind: (a: string, b: string) =>
    `Two kinds of lift (A: ${a}, B: ${b}): equal depth is equal thigh angle, not the same task.`,
  otherOrder: () =>
    'One begins with the way down, the other with the way up: what belongs to the start of the movement is not comparable.',
  otherLoad: (a: number, b: number) =>
    `The loads differ: A ${a} kg, B ${b} kg. Efforts in N·m follow the load; part of their difference is the bar.`,
  otherMass: (a: number, b: number) =>
    `The body mass is stated as ${a} kg in A and ${b} kg in B; efforts in N·m follow it.`,
  otherMethod: (what: string) =>
    `A and B were not analysed alike (${what}): part of any difference may come from that and not from the lifter. Set both files alike.`,
  otherRig: () =>
    'A and B were filmed with two calibrations: errors of cameras, scale and upright do not cancel between them.',
  otherDescription: (athlete: string) =>
    `Both files name the lifter ${athlete}, but describe another sex or height. Is it one person? What cancels rests on it.`,
  notFull: (side: 'A' | 'B', repetition: number, completeness: string, reason: string) =>
    `${side}: repetition ${repetition} is ${completeness} (${reason}).`,
  notCounted: (side: 'A' | 'B', what: string) => `${side}: not counted in the intervals: ${what}.`,
  nothingJudged: () => 'Intervals were switched off: nothing is judged different or not.',
  synthetic: () => 'SYNTHETIC data: invented lifters, no one was measured.',
};
