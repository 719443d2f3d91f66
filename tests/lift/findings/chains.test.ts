import { describe, expect, test } from '@jest/globals';
import fc from 'fast-check';
import { CHAINS, type ChainRule, chainsOf } from '../../../src/lift/findings/chains.ts';
import { BUILT_IN_RULES } from '../../../src/lift/findings/rules/index.ts';
import { makeFinding, makeRule } from './make-findings.ts';

const chain = (...names: string[]): ChainRule => ({
  name: names.join('-'),
  links: names.map((name) => ({ rules: [name], seen: `seen ${name}`, tie: `tie ${name}.` })),
});
const found = (name: string, probability = 0.99) => makeFinding({ rule: makeRule({ name }), probability });
const linksOf = (chains: ReturnType<typeof chainsOf>) =>
  chains.map(({ links }) => links.map(({ rule }) => rule.name).join(''));

describe('chains', () => {
  test('a link that is not shown breaks the chain; runs of two or more remain', () => {
    const all = chain('a', 'b', 'c', 'd', 'e');
    expect(
      linksOf(
        chainsOf(
          ['a', 'b', 'c', 'd', 'e'].map((name) => found(name)),
          [all],
        ),
      ),
    ).toEqual(['abcde']);
    const weak = [found('a'), found('b'), found('c', 0.9), found('d'), found('e')];
    expect(linksOf(chainsOf(weak, [all]))).toEqual(['ab', 'de']);
    expect(chainsOf([found('a'), found('c')], [all])).toEqual([]);
  });

  test('only findings of the set count, not those of one repetition', () => {
    const inOne = ['a', 'b'].map((name) => ({ ...found(name), repetition: 2 }));
    expect(chainsOf(inOne, [chain('a', 'b')])).toEqual([]);
  });

  test('a run that stands inside a longer one, or twice, is told once', () => {
    const findings = ['a', 'b', 'c'].map((name) => found(name));
    expect(linksOf(chainsOf(findings, [chain('b', 'c'), chain('a', 'b', 'c'), chain('b', 'c')]))).toEqual(['abc']);
    expect(linksOf(chainsOf(findings.slice(0, 2), [chain('a', 'b'), chain('a', 'b')]))).toEqual(['ab']);
  });

  test('the sentence names what was seen, ties only neighbours that were both seen, and claims no cause', () => {
    const [one] = chainsOf([found('b'), found('c')], [chain('a', 'b', 'c')]);
    expect(one.sentence).toContain('seen b and seen c');
    expect(one.sentence).toContain('tie c.');
    expect(one.sentence).not.toContain('tie b.');
    expect(one.sentence).toMatch(/does not show that one causes the other/);
  });

  test('for every pattern of shown links: each link is shown, neighbours in the rule, and no run is missed', () => {
    const rule = chain('a', 'b', 'c', 'd', 'e', 'f');
    const probabilities = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 6, maxLength: 6 });
    fc.assert(
      fc.property(probabilities, (values) => {
        const findings = rule.links.map(({ rules: [name] }, i) => found(name, values[i]));
        const pattern = values.map((p, i) => (p >= 0.95 ? 'abcdef'[i] : ' ')).join('');
        expect(linksOf(chainsOf(findings, [rule]))).toEqual(pattern.match(/\S{2,}/g) ?? []);
      }),
      { numRuns: 500, seed: 3 },
    );
  });

  test('built-in chains name rules that exist, each at most once, and two or more links', () => {
    const names = new Set(BUILT_IN_RULES.map(({ name }) => name));
    for (const { links } of CHAINS) {
      expect(links.length).toBeGreaterThan(1);
      const own = links.flatMap(({ rules }) => rules);
      expect(own.filter((name) => !names.has(name))).toEqual([]);
      expect(new Set(own).size).toBe(own.length);
      expect(links.map(({ tie }) => tie === '')).toEqual(links.map((_, i) => i === 0));
    }
  });

  test('the chain of the design: leaning back, hips first, weight to the heels, hips before shoulders', () => {
    const names = ['leans_back_at_start', 'hips_first_start', 'weight_shifts_back', 'hips_rise_first'];
    const [one, ...others] = chainsOf(names.map((name) => found(name)));
    expect(one.links.map(({ rule }) => rule.name)).toEqual(names);
    expect(others).toEqual([]);
  });
});
