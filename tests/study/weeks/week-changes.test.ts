import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../../src/numerics/random.ts';
import { nameOfMeasure, type SessionMeasure } from '../../../src/study/weeks/session-measure.ts';
import { weeksTable } from '../../../src/study/weeks/tables.ts';
import { type WeekOptions, weekChanges } from '../../../src/study/weeks/week-changes.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';
import { dayAfter, type MadeLifter, madeLifter, madeSession } from './made-sessions.ts';

const weekly = (values: readonly number[], change: Partial<SessionMeasure> = {}) =>
  values.map((value, s) => madeSession({ date: dayAfter(s), value, ...change }));

const noDays = (row: SessionMeasure, sd = 0): WeekOptions => ({
  dayToDay: new Map([[nameOfMeasure(row), { sd, freedom: Number.POSITIVE_INFINITY }]]),
});

const only = (rows: readonly SessionMeasure[], options: WeekOptions = {}) => {
  const { series } = weekChanges(rows, options);
  expect(series).toHaveLength(1);
  return series[0];
};

describe('against the regression of SciPy', () => {
  const line = reference<number>('study-scipy-linregress');
  const found = only(weekly(line.cases, { noiseVariance: 0, unit: 'deg' }));
  const slope = found.comparisons.find(({ kind }) => kind === 'per week')!;

  test('sessions without noise: slope, standard error, probability, interval with 2 degrees of freedom', () => {
    expectClose(slope.value, line.slope as number, line.tolerance, 'slope');
    expectClose(slope.sd, line.standardError as number, line.tolerance, 'standard error');
    expectClose(slope.probability, line.probability as number, line.tolerance, 'probability');
    expectClose(slope.detectable, (line.quantile as number) * slope.sd, line.tolerance, 'half of the interval');
    expectClose(slope.freedom, 2, 1e-9, 'freedom');
  });

  test('last less first has the variance of two sessions, mean square 1.35 each', () => {
    const [first, previous] = found.comparisons;
    expectClose(first.value, 4, 1e-12);
    expectClose(first.sd, Math.sqrt(2 * 1.35), 1e-9);
    expect([previous.kind, previous.against]).toEqual(['last less previous', 2]);
    expectClose(previous.value, 3, 1e-12);
  });
});

describe('two sessions, all doubt known, by hand', () => {
  const two = (value: number, effects: [string, number][][]) =>
    weekly([0.6, value], { noiseFreedom: 1e9 }).map((row, s) => ({ ...row, effects: new Map(effects[s]) }));
  const rigs = [
    [
      ['athlete', 0.2],
      ['rig/1', 0.02],
    ],
    [
      ['athlete', 0.2],
      ['rig/2', 0.02],
    ],
  ] as [string, number][][];

  test('the minimal detectable change is 1.96 · √2 · SEM, the cause of the athlete cancelled', () => {
    const rows = two(0.65, rigs);
    const [first] = only(rows, noDays(rows[0])).comparisons;
    const sem = Math.sqrt(0.01 ** 2 + 0.02 ** 2);
    // Freedom is cut at a million: (z³ + z) / (4 · 10⁶) more than the normal quantile z, 1.2e-6 of it.
    expectClose(first.detectable, 1.959963984540054 * Math.SQRT2 * sem, 1e-7);
    expectClose(first.doubt.shared, 2 * 0.02 ** 2, 1e-12);
    expect(first.verdict).toBe('cannot tell yet');
  });

  test('beyond it: changed; without any knowledge of days: different, and why', () => {
    const rows = two(0.69, rigs);
    expect(only(rows, noDays(rows[0])).comparisons[0].verdict).toBe('changed');
    const [unknown] = only(rows).comparisons;
    expect([unknown.verdict, unknown.probability]).toEqual(['different', Number.NaN]);
    expect(unknown.reason).toMatch(/day to day/);
    // Days of 0.05 drown it.
    const [within] = only(rows, noDays(rows[0], 0.05)).comparisons;
    expect(within.verdict).toBe('different');
  });

  test('more repetitions: so many that it then stands out, fewer do not; not where the rig alone is larger', () => {
    const rows = two(0.625, [[], []]).map((row, s) =>
      s === 0 ? { ...row, noiseVariance: 1e-8 } : { ...row, noiseVariance: 4e-4 },
    );
    const [found] = only(rows, noDays(rows[0])).comparisons;
    expect(found.verdict).toBe('cannot tell yet');
    // 0.025 against 1.96 · 0.02 · √(3 / (3 + N)): N ≥ 3 (1.96 · 0.02 / 0.025)² − 3 = 4.4.
    expect(found.moreRepetitions).toBe(5);
    const verdictWith = (repetitions: number) =>
      only(
        rows.map((row, s) => (s === 0 ? row : { ...row, repetitions, noiseVariance: (4e-4 * 3) / repetitions })),
        noDays(rows[0]),
      ).comparisons[0].verdict;
    expect([verdictWith(7), verdictWith(8)]).toEqual(['cannot tell yet', 'changed']);
    const [shared] = only(two(0.65, rigs), noDays(rows[0])).comparisons;
    expect(shared.moreRepetitions).toBeNull();
    expect(shared.reason).toMatch(/wrong alike/);
    const far = two(0.63, [[], []]);
    const [days] = only(far, noDays(far[0], 0.03)).comparisons;
    expect(days.reason).toMatch(/days differ/);
  });
});

describe('sessions', () => {
  test('one session only; no date; a session at another load is left out and said', () => {
    expect(only([madeSession()]).reason).toBe('one session only');
    const undated = weekChanges([madeSession({ date: null })]);
    expect([undated.series.length, undated.leftOut.length]).toEqual([0, 1]);
    const { series } = weekChanges([...weekly([0.6, 0.61]), madeSession({ date: dayAfter(2), loadKg: 103 })]);
    expect(series.map(({ series: { sessions } }) => sessions.length)).toEqual([2, 1]);
    expect(series[1].comparisons).toEqual([]);
    expect(series[1].reason).toMatch(/103 kg.*100 kg/);
  });

  test('two sets of one day are one session; another condition is another lift; a measure may miss a day', () => {
    const rows = [
      ...weekly([0.6, 0.61]),
      madeSession({ date: dayAfter(1), recordingId: 'second set', value: 0.65, repetitions: 1 }),
      madeSession({ date: dayAfter(2), condition: 'heel raised' }),
      madeSession({ date: dayAfter(1), measure: 'trunk_lean' }),
    ];
    const [share, lean, raised] = weekChanges(rows).series;
    expectClose(share.series.sessions[1].mean.value, (3 * 0.61 + 0.65) / 4, 1e-12);
    expect(share.series.sessions[1].recordings).toEqual(['anna-2026-01-12', 'second set']);
    expect([lean.sessionsMissing, lean.reason]).toEqual([1, 'only one session knows the measure']);
    expect(raised.reason).toBe('one session only');
  });

  test('a baseline of two sessions is their mean', () => {
    const found = only(weekly([0.5, 0.6, 0.7]), { baselineSessions: 2 });
    const [first] = found.comparisons;
    expect(first.kind).toBe('last less baseline');
    expectClose(first.value, 0.7 - 0.55, 1e-12);
  });

  test('a ratio is compared by its logarithm: doubling and halving are alike', () => {
    const ratio = (values: number[]) =>
      only(
        weekly(values, { measure: 'hip_knee_ratio', noiseVariance: 0 }).map((row) => ({
          ...row,
          noiseVariance: (0.05 * row.value) ** 2,
        })),
      );
    const [up, down] = [ratio([1.5, 3]).comparisons[0], ratio([3, 1.5]).comparisons[0]];
    expectClose(up.value, Math.LN2, 1e-12);
    expectClose(down.value, -up.value, 1e-12);
    expectClose(up.sd, 0.05 * Math.SQRT2, 1e-12, 'relative noise of 5 % each');
    expect(weekChanges(weekly([0, 1], { measure: 'hip_knee_ratio' })).leftOut).toHaveLength(1);
  });

  test('a session without an interval: the difference, no verdict, its reason', () => {
    const rows = weekly([0.6, 0.7]).map((row, s) =>
      s === 1 ? { ...row, reason: 'intervals were switched off' } : row,
    );
    const [first] = only(rows).comparisons;
    expect([first.verdict, first.reason, first.lower]).toEqual(['', 'intervals were switched off', Number.NaN]);
    expectClose(first.value, 0.1, 1e-12);
  });

  test('refused: a date that is no day, a load that is none, options out of range', () => {
    const refused = (code: string, rows: SessionMeasure[], options: WeekOptions = {}) =>
      expect(() => weekChanges(rows, options)).toThrow(expect.objectContaining({ code }));
    refused('weeks-date', [madeSession({ date: '5 Jan' })]);
    refused('weeks-date', [madeSession({ date: '2026-13-05' })]);
    refused('weeks-load', [madeSession({ loadKg: Number.NaN })]);
    refused('weeks-option', [madeSession()], { sameLoadShare: 2 });
    refused('weeks-option', [madeSession()], { baselineSessions: 0 });
  });
});

describe('how often (made lifters)', () => {
  const lifter: MadeLifter = {
    athleteId: 'a',
    sessions: 4,
    measures: 3,
    repetitions: [3, 5, 2, 6],
    days: 1,
    scatter: 1,
    noise: 0.5,
    shared: 0.3,
    slope: 0,
  };
  const judge = (runs: number, change: Partial<MadeLifter>, lifters: number) => {
    const random = seededRandom(210 + lifters);
    let [families, called, differences, found, held] = [0, 0, 0, 0, 0];
    for (let run = 0; run < runs; run++) {
      const all = Array.from({ length: lifters }, (_, i) => ({ ...lifter, ...change, athleteId: `lifter ${i}` }));
      const { series } = weekChanges(all.flatMap((one) => madeLifter(random, one)));
      for (const { athleteId, slope, sessions } of all) {
        const own = series.filter(({ card }) => card.athleteId === athleteId).flatMap(({ comparisons }) => comparisons);
        families++;
        if (own.some(({ verdict }) => verdict === 'changed')) called++;
        for (const { lower, upper, verdict } of own.filter(({ kind }) => kind === 'last less first')) {
          const truth = slope * (sessions - 1);
          differences++;
          if (verdict === 'changed') found++;
          if (lower <= truth && truth <= upper) held++;
        }
      }
    }
    return { families, called: called / families, found: found / differences, held: held / differences, differences };
  };
  /** Four standard errors of a share of 5 % above it. */
  const most = (n: number) => 0.05 + 4 * Math.sqrt((0.05 * 0.95) / n);

  test.each([
    ['one lifter, 3 sessions', 60, { sessions: 3 }, 1],
    ['one lifter, 6 sessions', 25, { sessions: 6 }, 1],
    ['six lifters, 4 sessions', 15, {}, 6],
    ['six lifters, days all alike', 10, { days: 0 }, 6],
  ])('%s, nothing changes: a lifter has a `changed` in no more than 5 %', (_, runs, change, lifters) => {
    const { called, families, held, differences } = judge(runs, change, lifters);
    expect(called).toBeLessThan(most(families));
    // Intervals hold the truth at least as often as they say.
    expect(1 - held).toBeLessThan(most(differences));
  });

  test('six lifters, 3 a week over 3 weeks against days of 1: found nearly always', () => {
    expect(judge(8, { slope: 3 }, 6).found).toBeGreaterThan(0.9);
  });
});

describe('sets of single repetitions, whose scatter no session tells', () => {
  const singles = (values: readonly number[], athleteId = 'anna') =>
    weekly(values, { athleteId, repetitions: 1, scatterFreedom: 0, noiseVariance: 1e-6 });

  test('two of them: however far apart, nothing is called changed or different, and the reason is said', () => {
    const rows = singles([0.5, 0.7]);
    for (const options of [{}, noDays(rows[0], 0.001)]) {
      const [first] = only(rows, options).comparisons;
      expect([first.verdict, first.moreRepetitions]).toEqual(['cannot tell yet', null]);
      expect(first.reason).toMatch(/single repetition: sets of two or more would tell/);
      for (const unknown of [first.probability, first.lower, first.detectable]) expect(unknown).toBeNaN();
      const [, last] = weeksTable(weekChanges(rows, options)).objects() as Record<string, unknown>[];
      expect([last.mdc_lower, last.mdc_basis, last.reason]).toEqual([Number.NaN, '', first.reason]);
    }
  });

  test('beside lifters whose sets tell it: theirs is not taken for this one', () => {
    const others = ['bea', 'cem'].flatMap((athleteId) => weekly([0.6, 0.61, 0.6, 0.61], { athleteId }));
    const { series } = weekChanges([...singles([0.5, 0.51, 0.5, 0.7]), ...others]);
    const own = series.find(({ card }) => card.athleteId === 'anna')!;
    expect(own.comparisons.map(({ verdict }) => verdict)).not.toContain('changed');
    expect(own.comparisons.map(({ verdict }) => verdict)).not.toContain('different');
  });

  test('many sessions tell it together with the days: a lasting change is found, and what is none in no more than 5 % of lifters', () => {
    const drift = only(singles([0.5, 0.521, 0.539, 0.562, 0.58, 0.599, 0.621, 0.64]), { dayToDay: 'own' });
    expect(drift.comparisons.find(({ kind }) => kind === 'per week')!.verdict).toBe('changed');
    const random = seededRandom(5);
    const lifters = 400;
    let changed = 0;
    for (let lifter = 0; lifter < lifters; lifter++) {
      const found = only(singles(Array.from({ length: 6 }, () => 0.6 + 0.02 * random.normal())), { dayToDay: 'own' });
      if (found.comparisons.some(({ verdict }) => verdict === 'changed')) changed++;
      expect(found.comparisons.map(({ verdict }) => verdict)).not.toContain('different');
    }
    expect(changed).toBeLessThan(lifters * 0.05 + 3 * Math.sqrt(lifters * 0.05 * 0.95));
  });
});
