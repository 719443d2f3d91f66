import type { Finding } from '../../../src/lift/findings/findings.ts';
import { findingWord } from '../../../src/lift/findings/probability.ts';
import type { FindingRule } from '../../../src/lift/findings/rule.ts';
import type { LiftRecord, MeasureValue, Repetition } from '../../../src/lift/lift-record.ts';

/** A rule about the largest lean, with changes. */
export function makeRule(changes: Partial<FindingRule> = {}): FindingRule {
  return {
    name: 'leans',
    title: 'Leans',
    measure: 'trunk_lean',
    at: 'largest',
    sides: [''],
    comparison: 'above',
    threshold: 40,
    basis: { kind: 'common practice, no source', text: '' },
    sentence: 'Leans by {value}, more than {threshold}.',
    why: 'Why.',
    cue: 'Try this.',
    caution: '',
    priority: 3,
    ...changes,
  };
}

export function makeFinding(changes: Partial<Finding> = {}): Finding {
  const probability = changes.probability ?? 0.99;
  return {
    rule: makeRule(),
    repetition: 0,
    side: '',
    value: 45,
    lower: 43,
    upper: 47,
    unit: 'deg',
    probability,
    word: findingWord(probability),
    reason: '',
    frameFirst: -1,
    frameLast: -1,
    ...changes,
  };
}

export function makeRepetition(number: number, changes: Partial<Repetition> = {}): Repetition {
  return {
    number,
    order: 'descent first',
    completeness: 'full',
    reason: '',
    descent: null,
    ascent: null,
    bottomFrame: 100 * number,
    topFrame: 100 * number - 50,
    hipDropM: 0.5,
    bottomThighElevationDeg: -10,
    parallelDescentFrame: -1,
    parallelAscentFrame: -1,
    stickingFrame: -1,
    ...changes,
  };
}

export function makeReading(repetition: number, value: number, changes: Partial<MeasureValue> = {}): MeasureValue {
  return {
    repetition,
    measure: 'trunk_lean',
    side: '',
    at: 'largest',
    value,
    lower: value - 2,
    upper: value + 2,
    unit: 'deg',
    frameFirst: 100 * repetition,
    frameLast: 100 * repetition,
    reason: '',
    ...changes,
  };
}

export type FoundIn = Pick<LiftRecord, 'repetitions' | 'measures'>;
