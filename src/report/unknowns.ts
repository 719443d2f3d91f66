import type { LiftRecord } from '../lift/lift-record.ts';
import { MEASURES } from '../lift/measures/index.ts';
import { barIsTracked, noStickingPoint } from '../messages.ts';

/** Reasons that are no lack: the value stands elsewhere, or there is nothing to have a value. */
const NO_LACK: readonly string[] = [barIsTracked(), noStickingPoint()];

/** Measures that are unknown for one and the same kind of reason. */
export interface Unknown {
  readonly reason: string;
  /** True where other repetitions give the same reason with other numbers. */
  readonly alike: boolean;
  /** Titles of the measures, each once, in the order of the registry. */
  readonly titles: readonly string[];
  /** Repetitions concerned, ascending; empty where all are (or the set). */
  readonly repetitions: readonly number[];
}

/**
 * What the recording could not give, by kind of reason (reasons that differ in their numbers only are of one kind) and
 * repetitions. Sides of one measure are said once, and so are the three readings at parallel; a measure that is known at
 * one place and unknown at another names the place.
 */
export function unknownMeasures(record: LiftRecord): readonly Unknown[] {
  const title = new Map<string, string>(MEASURES.map((measure) => [measure.name, measure.title]));
  const knownSomewhere = new Set(record.measures.filter(({ value }) => Number.isFinite(value)).map((m) => m.measure));
  const lacks = new Map<string, { kind: string; title: string; reasons: Set<string>; repetitions: Set<number> }>();
  for (const { measure, at, value, reason, repetition } of record.measures) {
    if (Number.isFinite(value) || NO_LACK.includes(reason)) continue;
    const name = title.get(measure) ?? measure;
    const place = at.startsWith('parallel') ? 'parallel' : at;
    const what = knownSomewhere.has(measure) && place !== 'set' ? `${name} (${place})` : name;
    const kind = reason.replace(/\d+(\.\d+)?/g, '#');
    const key = JSON.stringify([kind, what]);
    const lack = lacks.get(key) ?? { kind, title: what, reasons: new Set(), repetitions: new Set() };
    lack.reasons.add(reason);
    lack.repetitions.add(repetition);
    lacks.set(key, lack);
  }
  const groups = new Map<string, { reasons: Set<string>; titles: string[]; repetitions: number[] }>();
  for (const { kind, title: what, reasons, repetitions } of lacks.values()) {
    const numbers = [...repetitions].filter((number) => number > 0).sort((a, b) => a - b);
    const some = numbers.length === record.repetitions.length ? [] : numbers;
    const key = JSON.stringify([kind, some]);
    const group = groups.get(key) ?? { reasons: new Set<string>(), titles: [], repetitions: some };
    for (const reason of reasons) group.reasons.add(reason);
    group.titles.push(what);
    groups.set(key, group);
  }
  return [...groups.values()].map(({ reasons, titles, repetitions }) => ({
    reason: [...reasons][0],
    alike: reasons.size > 1,
    titles,
    repetitions,
  }));
}

/** Numbers of the repetitions with an ascent and without a sticking point. */
export function withoutStickingPoint({ repetitions }: LiftRecord): number[] {
  return repetitions
    .filter(({ ascent, stickingFrame }) => ascent !== null && stickingFrame < 0)
    .map(({ number }) => number);
}
