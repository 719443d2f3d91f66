import type { VirtualLift } from '../lift.ts';
import type { DrawnPressing } from '../shared-truth.ts';
import { FORCES, pressingTruths } from './forces.ts';
import { LEGS_AND_FEET } from './legs-and-feet.ts';
import { RACK_AND_BAR } from './rack-and-bar.ts';
import type { RepetitionTruth, TrueReading } from './reading.ts';
import { setInTime } from './repetition-in-time.ts';
import { TEMPO } from './tempo.ts';
import { TRUNK_AND_HEAD } from './trunk-and-head.ts';
import { WHOLE_SET } from './whole-set.ts';

/** The true value of one measure; repetition 1, 2 … or 0 for the set. */
export interface TrueValue extends TrueReading {
  readonly measure: string;
  readonly repetition: number;
}

const OF_REPETITION: Readonly<Record<string, RepetitionTruth>> = {
  ...LEGS_AND_FEET,
  ...TRUNK_AND_HEAD,
  ...RACK_AND_BAR,
  ...TEMPO,
  ...FORCES,
};

/** Measures whose truth the synthetic world knows besides those of pressing. */
export const TRUE_MEASURES: readonly string[] = [...Object.keys(OF_REPETITION), ...Object.keys(WHOLE_SET)];

/**
 * True values of measures from the exact places of the virtual lifter in continuous time: no frame, no filter, nothing of the
 * analyser. `only`: these measures; all where left out. `pressing`: how the lifter presses, for the load on each foot.
 */
export function trueMeasureValues(
  lift: VirtualLift,
  { only, pressing }: { readonly only?: readonly string[]; readonly pressing?: DrawnPressing } = {},
): TrueValue[] {
  const set = setInTime(lift);
  const wanted = (name: string) => !only || only.includes(name);
  const truths = { ...OF_REPETITION, ...(pressing ? pressingTruths(pressing) : {}) };
  const ofSet = Object.entries(WHOLE_SET).flatMap(([measure, of]) =>
    wanted(measure) ? of(set).map((reading) => ({ ...reading, measure, repetition: 0 })) : [],
  );
  const ofRepetitions = set.repetitions.flatMap((repetition) =>
    Object.entries(truths).flatMap(([measure, of]) =>
      wanted(measure)
        ? of(repetition).map((reading) => ({ ...reading, measure, repetition: repetition.index + 1 }))
        : [],
    ),
  );
  return [...ofSet, ...ofRepetitions];
}

/** What is sought. */
export interface Sought {
  readonly measure: string;
  readonly at: string;
  readonly side: string;
  /** Default 1. */
  readonly repetition?: number;
}

/** One true value; NaN where it does not apply. */
export function trueValue(lift: VirtualLift, { measure, at, side, repetition }: Sought): number {
  const number = repetition ?? (measure in WHOLE_SET ? 0 : 1);
  const of = trueMeasureValues(lift, { only: [measure] });
  return of.find((one) => one.at === at && one.side === side && one.repetition === number)?.value ?? Number.NaN;
}
