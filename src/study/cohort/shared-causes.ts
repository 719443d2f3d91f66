import type { MixedFit } from '../statistics/mixed-model/mixed-fit.ts';
import type { SharedCause } from '../statistics/mixed-model/shared-errors.ts';

/** A row of the model with what the causes do to it. */
export interface RowEffects {
  readonly athleteId: string;
  readonly recordingId: string;
  /** Effect of 1 SD of each cause on the response, by key; the same for all rows of a recording. */
  readonly effects: ReadonlyMap<string, number>;
}

type Owner = 'study' | 'athlete' | 'recording';

/**
 * The causes of measurement error that the rows of a fit share, for `withSharedErrors`.
 *
 * A key that names a recording is that recording's own unknown, one that names an athlete the athlete's, any other is one for the whole
 * study. Unknowns of their own in each athlete make athletes differ, and the estimated spread between athletes holds that already; so it
 * does with recordings where these are the rows, and the residual. They are added only so far as they would bring more than the spread
 * found: the spread counts as what is estimated or what the measurement alone brings, whichever is larger. What an athlete's unknown does
 * unlike to the athlete's rows no level of the athlete holds; it is added whole.
 */
export function sharedCauses(
  rows: readonly RowEffects[],
  { residualSd, randomSds }: Pick<MixedFit, 'residualSd' | 'randomSds'>,
  unit: 'recordings' | 'repetitions',
): SharedCause[] {
  const owners = ownersOf(rows);
  const left = unit === 'recordings' ? residualSd ** 2 : 0;
  const means = athleteMeans(rows, owners);
  const levels = new Map([...means].map(([id, of]) => [id, beyond(randomSds[0].sd ** 2, [...of.values()])] as const));
  const bundles = new Map<string, { keys: string[]; effects: Float64Array }>();
  rows.forEach(({ athleteId, recordingId, effects }, row) => {
    const own = [...effects].filter(([key]) => owners.get(key) === 'recording');
    const ofRecording = beyond(
      left,
      own.map(([, effect]) => effect),
    );
    for (const [key, effect] of effects) {
      const owner = owners.get(key)!;
      let kept = effect;
      if (owner === 'recording') kept = ofRecording * effect;
      if (owner === 'athlete') {
        const alike = means.get(athleteId)!.get(key)!;
        kept = effect - alike + levels.get(athleteId)! * alike;
      }
      put(bundles, nameOf(key, owner, athleteId, recordingId), key, row, kept, rows.length);
    }
  });
  return [...bundles].map(([name, { keys, effects }]) => ({ name, sharedBy: keys, effects }));
}

/** Part of effects of this summed variance that an estimated variance does not hold, as a factor of each. */
function beyond(held: number, effects: readonly number[]): number {
  const variance = effects.reduce((sum, effect) => sum + effect * effect, 0);
  return variance > held ? Math.sqrt(1 - held / variance) : 0;
}

/** Whose unknown a key is: the names stand between slashes, and only rows of that athlete or recording have it. */
function ownersOf(rows: readonly RowEffects[]): ReadonlyMap<string, Owner> {
  const owners = new Map<string, Owner>();
  const first = new Map<string, RowEffects>();
  for (const row of rows) {
    for (const key of row.effects.keys()) {
      const seen = first.get(key);
      if (seen === undefined) {
        const words = key.split('/');
        first.set(key, row);
        owners.set(
          key,
          words.includes(row.recordingId) ? 'recording' : words.includes(row.athleteId) ? 'athlete' : 'study',
        );
        continue;
      }
      const owner = owners.get(key)!;
      const same = owner === 'recording' ? seen.recordingId === row.recordingId : seen.athleteId === row.athleteId;
      if (owner !== 'study' && !same) owners.set(key, 'study');
    }
  }
  return owners;
}

/** Mean of each of an athlete's own causes over the athlete's rows: 0 in a row without it. */
function athleteMeans(rows: readonly RowEffects[], owners: ReadonlyMap<string, Owner>) {
  const sums = new Map<string, Map<string, number>>();
  const counts = new Map<string, number>();
  for (const { athleteId, effects } of rows) {
    counts.set(athleteId, (counts.get(athleteId) ?? 0) + 1);
    const own = sums.get(athleteId) ?? new Map<string, number>();
    sums.set(athleteId, own);
    for (const [key, effect] of effects) if (owners.get(key) === 'athlete') own.set(key, (own.get(key) ?? 0) + effect);
  }
  for (const [id, own] of sums) for (const [key, sum] of own) own.set(key, sum / counts.get(id)!);
  return sums;
}

/** Like causes of all athletes or recordings go by one name: fewer passes over the rows. */
function nameOf(key: string, owner: Owner, athleteId: string, recordingId: string): string {
  if (owner === 'study') return key;
  const id = owner === 'athlete' ? athleteId : recordingId;
  return key
    .split('/')
    .map((word) => (word === id ? `<${owner}>` : word))
    .join('/');
}

function put(
  bundles: Map<string, { keys: string[]; effects: Float64Array }>,
  name: string,
  key: string,
  row: number,
  effect: number,
  rows: number,
): void {
  let bundle = bundles.get(name);
  if (bundle === undefined) {
    bundle = { keys: new Array(rows).fill(''), effects: new Float64Array(rows) };
    bundles.set(name, bundle);
  }
  // Two keys of one row never go by one name: each would need a place of its own.
  if (bundle.keys[row] !== '') {
    put(bundles, `${name} (${key})`, key, row, effect, rows);
    return;
  }
  bundle.keys[row] = key;
  bundle.effects[row] = effect;
}
