import { expect, test } from '@jest/globals';
import { cohortComparison } from '../../../src/study/cohort/cohort-comparison.ts';
import { expectClose } from '../../expect-close.ts';
import { madeComparison, madeStudy, type Truth } from './made-study.ts';

const RUNS = 200;
/** Three standard deviations of a count that is 95 % of 200 runs. */
const CHANCE = 3 * Math.sqrt((0.95 * 0.05) / RUNS);

const truth: Truth = {
  athletes: 8,
  heelsMm: [0, 10, 20, 30],
  repetitions: 4,
  heel: -0.3,
  athleteSd: 3,
  slopeSd: 0,
  recordingSd: 1.5,
  repetitionSd: 1,
};

function covered(change: Partial<Truth>, more: { slopes?: string[]; rows?: 'recordings' | 'repetitions' } = {}) {
  const study = madeComparison({
    outcomes: [{ measure: 'trunk_lean', at: 'parallel' }],
    predictors: ['heel_height_mm'],
    centre: { heel_height_mm: 0 },
    ...more,
  });
  const all = { ...truth, ...change };
  const found = { plain: 0, shared: 0, level: 0, mean: 0 };
  for (let run = 0; run < RUNS; run++) {
    const { effects } = cohortComparison(study, madeStudy(all, 1000 + run))!;
    const [level, heel] = effects.objects() as Readonly<Record<string, number>>[];
    const holds = (row: Readonly<Record<string, number>>, what: string, value: number) =>
      row[`lower${what}`] <= value && value <= row[`upper${what}`] ? 1 / RUNS : 0;
    found.plain += holds(heel, '', all.heel);
    found.shared += holds(heel, '_with_shared', all.heel);
    found.level += holds(level, '_with_shared', 40);
    found.mean += heel.estimate / RUNS;
  }
  return found;
}

test('the effect of the heel is found, and its interval holds it in 95 %, sets of an athlete differing', () => {
  const { plain, shared, mean } = covered({});
  expectClose(plain, 0.95, CHANCE);
  expect(shared).toBe(plain);
  // √(1.5² + 1/4) / √(8 · 500 mm²) a run.
  expectClose(mean, truth.heel, 3 * (1.58 / Math.sqrt(4000) / Math.sqrt(RUNS)));
});

test('repetitions as rows take sets for nothing: the interval is far too short', () => {
  expect(covered({}, { rows: 'repetitions' }).plain).toBeLessThan(0.85);
});

test('athletes who differ in the effect need the slope', () => {
  expectClose(covered({ slopeSd: 0.2 }, { slopes: ['heel_height_mm'] }).plain, 0.95, CHANCE);
});

test('a rig that errs in all recordings alike: only the interval with the shared part holds', () => {
  const { plain, shared } = covered({ rigSd: 0.1 });
  expect(plain).toBeLessThan(0.75);
  expectClose(shared, 0.95, CHANCE);
});

test("errors of each athlete's own are in the spread between athletes: counted once", () => {
  expectClose(covered({ athleteSd: 1, bodySd: 3 }).level, 0.95, CHANCE);
});
