import type { CurvePlace } from '../statistics/curves/athlete-curves.ts';
import { type AthleteEffects, effectsOfMean } from '../statistics/curves/shared-doubt.ts';
import type { KeptCurve } from './kept-curves.ts';

export type Effects = ReadonlyMap<string, Float64Array>;

/** Effects of the unknowns on the mean curve of each athlete, at the places of a test; null where a recording has none. */
export function athleteEffects(
  recordings: readonly { readonly athlete: string; readonly curve: KeptCurve }[],
  places: readonly CurvePlace[],
): ReadonlyMap<string, Effects> | null {
  const own = new Map<string, Effects[]>();
  for (const { athlete, curve } of recordings) {
    if (curve.effects === null) return null;
    const at = new Map(curve.places.map((place, p) => [keyOf(place), p]));
    const effects = new Map(
      [...curve.effects].map(([key, of]) => [
        key,
        Float64Array.from(places, (place) => of[at.get(keyOf(place)) ?? -1] ?? Number.NaN),
      ]),
    );
    own.set(athlete, [...(own.get(athlete) ?? []), effects]);
  }
  return new Map([...own].map(([athlete, effects]) => [athlete, effectsOfMean(effects)]));
}

/**
 * Unknowns that at least two athletes have. One athlete's own unknown adds nothing to what athletes share, it is in the spread between
 * them already; without it there is less to draw.
 */
export function sharedEffects(of: ReadonlyMap<string, Effects>): AthleteEffects[] {
  const holders = new Map<string, number>();
  for (const effects of of.values()) for (const key of effects.keys()) holders.set(key, (holders.get(key) ?? 0) + 1);
  return [...of].map(([athlete, effects]) => ({
    athlete,
    effects: new Map([...effects].filter(([key]) => holders.get(key)! > 1)),
  }));
}

const keyOf = ({ phase, depth }: CurvePlace): string => `${phase} ${depth}`;
