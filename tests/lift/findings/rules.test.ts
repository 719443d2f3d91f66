import { describe, expect, test } from '@jest/globals';
import { MEASURE_PLACES } from '../../../src/lift/findings/measure-places.ts';
import { BASIS_KINDS, PRIORITIES } from '../../../src/lift/findings/rule.ts';
import { BUILT_IN_RULES } from '../../../src/lift/findings/rules/index.ts';
import { PLACEHOLDERS } from '../../../src/lift/findings/rules-from-file.ts';
import { MEASURES } from '../../../src/lift/measures/index.ts';
import { makeRecord } from '../../study/make-record.ts';

const record = makeRecord({ withBar: true });

describe('where measures are read', () => {
  test('every measure of the registry has its places, and no other name has', () => {
    expect(Object.keys(MEASURE_PLACES).sort()).toEqual(MEASURES.map(({ name }) => name).sort());
  });

  test('sides and places are those that the measures give for a lift', () => {
    const given = new Map<string, { sides: Set<string>; at: Set<string> }>();
    for (const { measure, side, at } of record.measures) {
      const own = given.get(measure) ?? { sides: new Set(), at: new Set() };
      own.sides.add(side);
      own.at.add(at);
      given.set(measure, own);
    }
    const sorted = (names: Iterable<string>) => [...names].sort();
    const differing = [...given].flatMap(([measure, { sides, at }]) => {
      const places = MEASURE_PLACES[measure];
      const same =
        places !== undefined &&
        JSON.stringify([sorted(places.sides), sorted(places.at)]) === JSON.stringify([sorted(sides), sorted(at)]);
      return same ? [] : [{ measure, sides: sorted(sides), at: sorted(at) }];
    });
    expect(differing).toEqual([]);
  });
});

describe('the built-in rules', () => {
  test('have names of their own, in snake_case', () => {
    const names = BUILT_IN_RULES.map(({ name }) => name);
    expect(new Set(names).size).toBe(names.length);
    expect(names.filter((name) => !/^[a-z][a-z0-9_]*$/.test(name))).toEqual([]);
    expect(names.length).toBeGreaterThan(45);
  });

  test.each(BUILT_IN_RULES)('$name: its measure, place and sides exist', ({ measure, at, sides }) => {
    expect(MEASURES.map(({ name }) => name)).toContain(measure);
    expect(MEASURE_PLACES[measure].at).toContain(at);
    expect(sides.filter((side) => !MEASURE_PLACES[measure].sides.includes(side))).toEqual([]);
    expect(sides.length).toBeGreaterThan(0);
  });

  test.each(BUILT_IN_RULES)('$name: says where its threshold comes from', ({ basis, threshold, priority }) => {
    expect(BASIS_KINDS).toContain(basis.kind);
    if (basis.kind !== 'common practice, no source') expect(basis.text.length).toBeGreaterThan(30);
    expect(Number.isFinite(threshold)).toBe(true);
    expect(PRIORITIES).toContain(priority);
  });

  test('citations say who, when and whether they were read', () => {
    for (const { basis } of BUILT_IN_RULES) {
      for (const [sentence] of basis.text.matchAll(/[^.]*\b(19|20)\d\d\b[^.]*\./g))
        expect(sentence).toMatch(/read\)|from memory/);
    }
  });

  // Words for scientists, and words that blame, frighten or diagnose.
  const NOT_FOR_COACHES =
    /sagittal|frontal plane|residual|covariance|dorsiflex|plantar|valgus|varus|anterior|posterior|lumbar|thorac|flexion|kinematic|moment arm|deviation/i;
  const NO_BLAME =
    /\b(bad|wrong form|poor|fault|mistake|error|dangerous|injured?|diagnos\w*|weak(ness)?|dysfunction\w*|patholog\w*|syndrome|you fail)\b/i;

  test.each(BUILT_IN_RULES)(
    '$name: plain words, no blame, no diagnosis',
    ({ title, sentence, why, cue, caution, basis }) => {
      const told = [title, sentence, why, cue].join(' ');
      expect(`${told} ${caution} ${basis.text}`).not.toMatch(NOT_FOR_COACHES);
      expect(told).not.toMatch(NO_BLAME);
      expect(title.length).toBeLessThanOrEqual(60);
      expect(title).not.toMatch(/\.$/);
      for (const text of [sentence, why, cue, caution].filter((one) => one !== ''))
        expect(text).toMatch(/^[A-Z].*[.”]$/);
    },
  );

  test.each(BUILT_IN_RULES)('$name: its sentence is filled by what a finding has', ({ sentence, sides }) => {
    const held = [...sentence.matchAll(/\{[^}]*\}/g)].map(([text]) => text);
    expect(held.filter((one) => !PLACEHOLDERS.some((known) => known === one))).toEqual([]);
    expect(held).toContain('{value}');
    expect(held.includes('{side}')).toBe(sides.includes('left') || sides.includes('right'));
  });

  test('what asks for more depth, ankle, knee travel or fewer fingers carries a caution', () => {
    for (const { name, cue, caution } of BUILT_IN_RULES) {
      if (/deeper|fingers|knees (go )?(a little )?(further )?forward/i.test(cue))
        expect([name, caution]).not.toEqual([name, '']);
    }
  });

  test('what can hurt comes with something to try and a caution', () => {
    for (const { priority, cue, caution } of BUILT_IN_RULES) {
      if (priority === 1) expect([cue, caution].every((text) => text !== '')).toBe(true);
    }
  });

  test('two rules on one reading never both hold: their limits leave room between them', () => {
    for (const a of BUILT_IN_RULES) {
      for (const b of BUILT_IN_RULES) {
        const same = a.measure === b.measure && a.at === b.at;
        if (!same || a.comparison !== 'above' || b.comparison !== 'below') continue;
        expect([a.name, b.name, a.threshold > b.threshold]).toEqual([a.name, b.name, true]);
      }
    }
  });
});
