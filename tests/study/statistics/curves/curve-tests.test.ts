import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../../../src/numerics/random.ts';
import { covariateCurves } from '../../../../src/study/statistics/curves/covariate-curves.ts';
import type { CurveTest } from '../../../../src/study/statistics/curves/curve-test-result.ts';
import { curveTestLines, curveTestTable } from '../../../../src/study/statistics/curves/curve-test-table.ts';
import { groupCurves } from '../../../../src/study/statistics/curves/group-curves.ts';
import { pairedCurves } from '../../../../src/study/statistics/curves/paired-curves.ts';
import { expectClose } from '../../../expect-close.ts';
import { reference } from '../../../reference.ts';
import { curvesOf, onePlace } from './made-curves.ts';

interface ScipyCase {
  readonly design: 'paired' | 'groups' | 'covariate' | 'partial';
  readonly x: number[];
  readonly y: number[];
  readonly z: number[];
  readonly a: number[];
  readonly b: number[];
  readonly p: number;
  readonly t: number;
  readonly lower: number;
  readonly upper: number;
}

const zeros = (n: number) => new Array<number>(n).fill(0);
const NA = Number.NaN;

function testOf({ design, x, y, z, a, b }: ScipyCase): CurveTest {
  if (design === 'paired') return pairedCurves(onePlace(zeros(x.length)), onePlace(x));
  if (design === 'groups') return groupCurves(onePlace(a, 'A'), onePlace(b, 'B'));
  const curves = onePlace(y);
  const of = (values: number[]) => new Map(curves.athletes.map((athlete, i) => [athlete, values[i]]));
  return covariateCurves(curves, { name: 'x', of: of(x) }, design === 'partial' ? [{ name: 'z', of: of(z) }] : []);
}

describe('at one depth, against SciPy', () => {
  const scipy = reference<ScipyCase>('study-curve-permutation');
  test.each(scipy.cases.map((one, k) => [`${one.design} ${k}`, one] as const))('%s', (name, one) => {
    const { points, arrangements } = testOf(one);
    expect(arrangements.exact).toBe(true);
    const [point] = points;
    expectClose(point.adjustedP, one.p, scipy.tolerance, `${name}: p`);
    expectClose(point.t, one.t, scipy.tolerance, `${name}: t`);
    expectClose(point.lower, one.lower, scipy.tolerance, `${name}: lower`);
    expectClose(point.upper, one.upper, scipy.tolerance, `${name}: upper`);
  });
});

test("Fisher's randomisation test of Darwin's maize: 1726 of 32768", () => {
  const fisher = reference('study-fisher-maize');
  const differences = fisher.differences as number[];
  const { points, arrangements } = pairedCurves(onePlace(zeros(15)), onePlace(differences));
  expect(arrangements.all).toBe(fisher.ways);
  expectClose(points[0].adjustedP * arrangements.all, 2 * (fisher.atLeastAsLarge as number), 1e-9, 'ways');
  expectClose(points[0].t, fisher.t as number, fisher.tolerance, 't');
});

/** Smooth invented curves: athletes differ, and B is larger by `effect` at the last three of six depths. */
function invented(n: number, effect: number, seed: number) {
  const random = seededRandom(seed);
  const rows = Array.from({ length: n }, () => {
    const [level, slope] = [random.normal(), random.normal()];
    return [0, 1, 2, 3, 4, 5].map((p) => level + (slope * p) / 5 + 0.2 * random.normal());
  });
  const moved = rows.map((row) => row.map((value, p) => value + (p >= 3 ? effect : 0) + 0.4 * random.normal()));
  return { a: rows, b: moved };
}

describe('whole curves', () => {
  const { a, b } = invented(10, 1.5, 3);
  const found = pairedCurves(curvesOf(a), curvesOf(b));

  test('the depths that differ are one range, and the band leaves out 0 nowhere else', () => {
    expect(found.ranges.map(({ from, to, sign, depths }) => [from, to, sign, depths])).toEqual([[-15, -25, 1, 3]]);
    for (const { bandLower, bandUpper, adjustedP } of found.points)
      if (bandLower > 0 || bandUpper < 0) expect(adjustedP).toBeLessThanOrEqual(0.05);
    expect(found.points[3].bandLower).toBeGreaterThan(0);
    expect(found.canBeSignificant).toBe(true);
  });

  test('the family costs: adjusted p is above that of the depth alone, the band wider than the interval', () => {
    const alone = pairedCurves(curvesOf(a.map((row) => row.slice(3, 4))), curvesOf(b.map((row) => row.slice(3, 4))));
    expect(alone.points[0].adjustedP).toBeLessThanOrEqual(found.points[3].adjustedP);
    for (const { bandLower, lower } of found.points) expect(bandLower).toBeLessThan(lower);
  });

  test('A and B exchanged turn the signs and nothing else', () => {
    const turned = pairedCurves(curvesOf(b), curvesOf(a));
    found.points.forEach((point, p) => {
      expectClose(turned.points[p].estimate, -point.estimate, 1e-15, 'estimate');
      expectClose(turned.points[p].adjustedP, point.adjustedP, 0, 'p');
      expectClose(turned.points[p].bandLower, -point.bandUpper, 1e-12, 'band');
    });
  });

  test('a unit of another size changes no p: a millionfold larger, a millionfold smaller', () => {
    for (const factor of [1e6, 1e-6]) {
      const scaled = (rows: number[][]) => curvesOf(rows.map((row) => row.map((value) => factor * value)));
      const again = pairedCurves(scaled(a), scaled(b));
      again.points.forEach((point, p) => {
        expectClose(point.adjustedP, found.points[p].adjustedP, 0, 'p');
      });
    }
  });

  test('random flips agree with all of them', () => {
    const drawn = pairedCurves(curvesOf(a), curvesOf(b), { exactUpTo: 1, draws: 9999, seed: 5 });
    expect(drawn.arrangements).toMatchObject({ exact: false, used: 10000 });
    // Four standard deviations of a share of 10,000.
    drawn.points.forEach(({ adjustedP }, p) => {
      const p0 = found.points[p].adjustedP;
      expectClose(adjustedP, p0, 4 * Math.sqrt((p0 * (1 - p0)) / 10000) + 1e-4, `p at ${p}`);
    });
    expect(pairedCurves(curvesOf(a), curvesOf(b), { exactUpTo: 1, draws: 9999, seed: 5 })).toEqual(drawn);
  });

  test('two groups and a covariate of 0 and 1 are one test', () => {
    const groups = groupCurves(curvesOf(a.slice(0, 5), 'A'), curvesOf(b.slice(5), 'B'));
    const all = curvesOf([...a.slice(0, 5), ...b.slice(5)]);
    const of = new Map(all.athletes.map((athlete, i) => [athlete, i < 5 ? 0 : 1]));
    const slope = covariateCurves(all, { name: 'group', of });
    groups.points.forEach((point, p) => {
      expectClose(slope.points[p].estimate, point.estimate, 1e-12, 'difference');
      expectClose(slope.points[p].t, point.t, 1e-9, 't');
      expectClose(slope.points[p].adjustedP, point.adjustedP, 1e-12, 'p');
      expectClose(slope.points[p].bandLower, point.bandLower, 1e-9, 'band');
    });
  });

  test('the table has a row a depth; a ratio is told as a factor', () => {
    const logs = { quantity: 'hip_knee_ratio', scale: 'logarithm' as const };
    const ratio = pairedCurves(curvesOf(a, 'A', logs), curvesOf(b, 'A', logs));
    const table = curveTestTable('raised less flat', ratio);
    expect(table.numRows()).toBe(6);
    expect(table.get('scale', 0)).toBe('factor');
    expectClose(Number(table.get('estimate', 4)), Math.exp(ratio.points[4].estimate), 1e-12, 'factor');
  });
});

describe('few athletes', () => {
  test('5 in pairs cannot reach 0.05: said, with the number that can; there is no band', () => {
    const { a, b } = invented(5, 9, 1);
    const found = pairedCurves(curvesOf(a), curvesOf(b));
    expect(found).toMatchObject({ canBeSignificant: false, athletesNeeded: 6, smallestP: 1 / 16, ranges: [] });
    expect(found.points[4].bandLower).toBeNaN();
    expect(found.points[4].lower).toBeGreaterThan(0);
    expect(curveTestLines(found)).toHaveLength(1);
    expect(curveTestLines(found)[0]).toContain('cannot be significant with 5 athletes; at least 6 needed');
  });

  test('6 can, at 3.1 % and not 5 %', () => {
    const { a, b } = invented(6, 9, 1);
    const found = pairedCurves(curvesOf(a), curvesOf(b));
    expectClose(found.attainableLevel, 1 / 32, 1e-15, 'level');
    expectClose(found.p, 1 / 32, 1e-15, 'p');
    expect(found.ranges).toHaveLength(1);
  });

  test('one athlete, one in both groups, too few draws: refused', () => {
    const code = (wanted: string) => expect.objectContaining({ code: wanted });
    expect(() => pairedCurves(onePlace([1]), onePlace([2]))).toThrow(code('curve-test-too-few-athletes'));
    expect(() => groupCurves(onePlace([1, 2]), onePlace([2, 3]))).toThrow(code('curve-test-athlete-in-both'));
    expect(() => pairedCurves(onePlace([1, 2]), onePlace([2, 4]), { draws: 10 })).toThrow(
      code('curve-test-too-few-arrangements'),
    );
  });
});

describe('what is missing or does not vary', () => {
  const { a, b } = invented(8, 2, 4);

  test('each depth has its own n; too few are not tested and say so; missing ones are counted', () => {
    const cut = b.map((row, i) => row.map((value, p) => (p >= 4 && i >= (p === 4 ? 6 : 3) ? NA : value)));
    const { points, leastAthletes } = pairedCurves(curvesOf(a), curvesOf(cut));
    expect(leastAthletes).toBe(6);
    expect(points.map(({ n, missing }) => [n, missing])).toEqual([
      [8, 0],
      [8, 0],
      [8, 0],
      [8, 0],
      [6, 2],
      [3, 5],
    ]);
    expect(points[4]).toMatchObject({ freedom: 5, smallestP: 1 / 32 });
    expect(points[5]).toMatchObject({ verdict: 'not tested', adjustedP: NA });
    expect(points[5].reason).not.toBe('');
    expect(points[5].estimate).not.toBeNaN();
    // t of the six athletes is farther out for the same probability.
    expect(points[4].criticalT).toBeGreaterThan(points[3].criticalT);
  });

  test('an athlete with one curve only is left out by name', () => {
    const { athletes, leftOut } = pairedCurves(curvesOf(a), curvesOf(b.slice(0, 7)));
    expect(athletes).toHaveLength(7);
    expect(leftOut.map(({ athlete }) => athlete)).toEqual(['A08']);
  });

  test('no difference at all: not tested; the same difference in all: p but no t, no band', () => {
    const constant = a.map((row, i) => [row[0], row[1] + 0.1, b[i][2]]);
    const { points } = pairedCurves(curvesOf(a.map((row) => row.slice(0, 3))), curvesOf(constant));
    expect(points[0]).toMatchObject({ verdict: 'not tested', t: NA, adjustedP: NA });
    expectClose(points[1].adjustedP, 2 / 256, 1e-15, 'p');
    expect(points[1]).toMatchObject({ t: NA, bandLower: NA });
    expect(points[1].reason).not.toBe('');
  });

  test('beside another covariate only depths that all athletes reach', () => {
    const cut = a.map((row, i) => row.map((value, p) => (p === 5 && i === 0 ? NA : value)));
    const curves = curvesOf(cut);
    const of = (f: (i: number) => number) => new Map(curves.athletes.map((athlete, i) => [athlete, f(i)]));
    const x = { name: 'x', of: of((i) => i * i) };
    const { points } = covariateCurves(curves, x, [{ name: 'z', of: of((i) => Math.cos(i)) }], {
      exactUpTo: 10,
      draws: 99,
    });
    expect(points.map(({ verdict }) => verdict === 'not tested')).toEqual([false, false, false, false, false, true]);
    expect(covariateCurves(curves, x, [], { exactUpTo: 10, draws: 99 }).points[5].n).toBe(7);
    expect(() => covariateCurves(curves, x, [{ name: 'twice', of: of((i) => 2 * i * i + 1) }])).toThrow(
      expect.objectContaining({ code: 'curve-test-covariate-explained' }),
    );
    expect(() => covariateCurves(curves, { name: 'one', of: of(() => 1) })).toThrow(
      expect.objectContaining({ code: 'curve-test-covariate-constant' }),
    );
  });
});
