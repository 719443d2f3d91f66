import { CAUSE_GROUPS } from '../../src/uncertainty/causes/cause.ts';
import { sharedCoverage } from './leg-sharing-runs.ts';
import type { Validation, ValidationRow } from './result.ts';

/** Coverage of intervals of numbers of one leg: 95 % within 2.5 standard deviations of 40 independent films, 3.4 %. */
const COVERED = [0.86, 1] as const;
const COVERED_ALONE = [0.92, 0.98] as const;

/** Lifters alike on both sides, filmed with all errors drawn, who press unlike: is the truth of each leg in its interval? */
export const validation: Validation = {
  name: 'leg-sharing',
  title: 'Loads of each leg without force plates: coverage of their intervals',
  async run(scale, progress) {
    const worlds = Math.max(1, Math.round(40 * scale));
    const alone = sharedCoverage(
      {
        worlds: Math.max(1, Math.round(10 * scale)),
        pressings: 200,
        groups: ['leg sharing'],
        noiseDraws: 0,
        exact: true,
      },
      () => {},
    );
    const all = sharedCoverage({ worlds, pressings: 3, groups: CAUSE_GROUPS, noiseDraws: 12 }, progress);
    const rows = (what: string, found: typeof all, [from, to]: readonly [number, number]): ValidationRow[] =>
      found.flatMap(({ name, runs, covered, sdZ, meanHalfWidth, unknown }) => [
        { what: `${what}: ${name}: intervals that hold the truth`, runs, value: covered, unit: '1', from, to },
        {
          what: `${what}: ${name}: standard deviation of standardised errors`,
          runs,
          value: sdZ,
          unit: '1',
          from: null,
          to: null,
        },
        {
          what: `${what}: ${name}: half width of the interval`,
          runs,
          value: meanHalfWidth,
          unit: name.startsWith('vertical') ? '1' : 'N·m',
          from: null,
          to: null,
        },
        { what: `${what}: ${name}: unknown`, runs: runs + unknown, value: unknown, unit: 'runs', from: 0, to: 0 },
      ]);
    return {
      seed: 1,
      setting: `${worlds} invented lifters alike on both sides, filmed with every error drawn from the sizes the analyser states, each with three drawn ways of pressing (places, twist, centre of mass to one side); alone: ${Math.max(1, Math.round(10 * scale))} lifters, exact pixels, 200 ways of pressing each`,
      rows: [...rows('sharing alone', alone, COVERED_ALONE), ...rows('all causes', all, COVERED)],
    };
  },
};
