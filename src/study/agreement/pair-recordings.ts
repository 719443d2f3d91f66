import type { Recording } from '../../capture/recording.ts';
import { noPairs, notTheSameLift, recordingsUnpaired } from '../../messages/validate.ts';

/** Recordings of A and of B that are the same lift, and those without a partner. */
export interface PairedRecordings<T> {
  readonly pairs: readonly (readonly [a: T, b: T])[];
  readonly unpairedA: readonly T[];
  readonly unpairedB: readonly T[];
}

interface Named {
  readonly recording: Recording;
}

/**
 * Pairs the recordings of two studies: one against one always; else by equal ids; else those whose lifter, kind of lift, set
 * and load no other recording of their study has. Throws 'validate-no-pairs'; with a recording left over and `leaveOut`
 * false, 'validate-recordings-unpaired'.
 */
export function pairRecordings<T extends Named>(
  ofA: readonly T[],
  ofB: readonly T[],
  leaveOut: boolean,
  names: { readonly a: string; readonly b: string },
): PairedRecordings<T> {
  const pairs: [T, T][] = [];
  if (ofA.length === 1 && ofB.length === 1) pairs.push([ofA[0], ofB[0]]);
  else {
    pairBy(({ recording }) => recording.id);
    pairBy(({ recording: { athlete, lift, load } }) => JSON.stringify([athlete.id, lift.kind, lift.set, load.totalKg]));
  }
  if (pairs.length === 0) throw noPairs(names.a, names.b);
  const used = new Set(pairs.flat());
  const [unpairedA, unpairedB] = [ofA, ofB].map((all) => all.filter((one) => !used.has(one)));
  if (!leaveOut && unpairedA.length + unpairedB.length > 0)
    throw recordingsUnpaired(idsOf(unpairedA), idsOf(unpairedB));
  return { pairs, unpairedA, unpairedB };

  function pairBy(keyOf: (one: T) => string): void {
    const taken = new Set(pairs.flat());
    const [left, right] = [ofA, ofB].map((all) =>
      uniqueBy(
        all.filter((one) => !taken.has(one)),
        keyOf,
      ),
    );
    for (const [key, a] of left) {
      const b = right.get(key);
      if (b !== undefined) pairs.push([a, b]);
    }
  }
}

const idsOf = (all: readonly Named[]) => all.map(({ recording }) => recording.id);

/** The ones whose key no other has. */
function uniqueBy<T>(all: readonly T[], keyOf: (one: T) => string): Map<string, T> {
  const found = new Map<string, T | null>();
  for (const one of all) found.set(keyOf(one), found.has(keyOf(one)) ? null : one);
  return new Map([...found].filter((entry): entry is [string, T] => entry[1] !== null));
}

/** How far two statements of one load may differ, kg: collars forgotten (common practice, no source). */
const SAME_LOAD_KG = 1;

/** Refuses a pair that states two lifters, two kinds of lift or two loads ('validate-not-the-same-lift'). */
export function checkSameLift(a: Recording, b: Recording): void {
  const refuse = (what: string, ofA: string | number, ofB: string | number) =>
    notTheSameLift(a.id, b.id, what, ofA, ofB);
  if (a.athlete.id !== b.athlete.id) throw refuse('the lifter', a.athlete.id, b.athlete.id);
  if (a.lift.kind !== b.lift.kind) throw refuse('the kind of lift', a.lift.kind, b.lift.kind);
  if (a.lift.set !== null && b.lift.set !== null && a.lift.set !== b.lift.set)
    throw refuse('the set', a.lift.set, b.lift.set);
  if (Math.abs(a.load.totalKg - b.load.totalKg) > SAME_LOAD_KG)
    throw refuse('the load in kg', a.load.totalKg, b.load.totalKg);
}
