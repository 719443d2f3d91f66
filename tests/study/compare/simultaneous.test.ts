import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../../src/numerics/random.ts';
import { normalQuantile } from '../../../src/numerics/student.ts';
import { differencesOf } from '../../../src/study/compare/differences.ts';
import { simultaneousBand } from '../../../src/study/compare/simultaneous.ts';
import { expectClose } from '../../expect-close.ts';
import { madeSide, normalRows } from './made-sides.ts';

const DEPTHS = 12;
const zeros = new Array<number>(DEPTHS).fill(0);
const all = zeros.map((_, i) => i);
/** 2,000 draws know the 95 % of the largest within 0.5 %, so the quantile of about 2.9 within 0.04: two and a half of those. */
const DRAWN = 0.1;

/** Half width over standard deviation, per depth. */
function critical(effects: Readonly<Record<string, readonly number[]>>, members = all): number[] {
  const differences = differencesOf(
    madeSide({ source: 'a', values: zeros }),
    madeSide({ source: 'b', values: zeros, effects }),
  );
  const { lower, upper } = simultaneousBand(differences, members);
  return members.map((i, m) => (upper[m] - lower[m]) / 2 / differences.sd[i]);
}

describe('the half width of the band against the exact one', () => {
  test('errors independent from depth to depth: Šidák 1967, (1 + 0.95^(1/n)) / 2', () => {
    const effects = Object.fromEntries(all.map((k) => [`own ${k}`, all.map((i) => (i === k ? 1 + k : 0))]));
    const exact = normalQuantile((1 + 0.95 ** (1 / DEPTHS)) / 2);
    for (const c of critical(effects)) expectClose(c, exact, DRAWN, `of ${DEPTHS} independent depths`);
  });

  test('one error throughout: many depths are one look, 1.96', () => {
    for (const c of critical({ one: all.map((i) => 1 + i) })) expectClose(c, 1.96, DRAWN, 'one error');
  });

  test('a single depth: as the interval by itself', () => {
    expectClose(critical({ one: all.map(() => 2) }, [3])[0], 1.96, DRAWN, 'one depth');
  });
});

test('between: the band holds the whole of a smooth wandering error 19 times out of 20, single intervals do not', () => {
  // An error that wanders along the curve: a sum of cosines with independent normal sizes.
  const waves = [0, 1, 2, 3].map((w) => all.map((i) => Math.cos((w * Math.PI * i) / (DEPTHS - 1)) / (1 + w)));
  const effects = Object.fromEntries(waves.map((wave, w) => [`wave ${w}`, wave]));
  const c = critical(effects)[0];
  const sd = all.map((i) => Math.hypot(...waves.map((wave) => wave[i])));
  const random = seededRandom(11);
  let [inBand, inEach] = [0, 0];
  const runs = 4000;
  for (let r = 0; r < runs; r++) {
    const z = waves.map(() => random.normal());
    const largest = Math.max(
      ...all.map((i) => Math.abs(waves.reduce((sum, wave, w) => sum + wave[i] * z[w], 0)) / sd[i]),
    );
    if (largest <= c) inBand++;
    if (largest <= 1.96) inEach++;
  }
  // Band: 0.5 % from its own draws and 0.35 % from these, three of both together.
  expectClose(inBand / runs, 0.95, 0.018, 'whole curve inside the band');
  expect(inEach / runs).toBeLessThan(0.9);
});

test('noise drawn a few times widens the band by Student at the same probability, and exchanging sides mirrors it', () => {
  const side = (source: string, seed: number) =>
    madeSide({
      source,
      values: zeros.map((_, i) => seed * i),
      noise: normalRows(
        seed,
        40,
        zeros.map((_, i) => seed * i),
        1,
      ),
    });
  const there = differencesOf(side('a', 1), side('b', 2));
  const back = differencesOf(side('b', 2), side('a', 1));
  const [one, other] = [simultaneousBand(there, all), simultaneousBand(back, all)];
  all.forEach((m) => {
    expect((one.upper[m] - one.lower[m]) / 2 / there.sd[m]).toBeGreaterThan(2.7);
    expect(other.lower[m]).toBe(-one.upper[m]);
  });
});

test('from joint draws the band is read from the draws; a curve against itself has a band of width nothing', () => {
  const drawn = normalRows(5, 400, zeros, 1);
  const nothing = zeros.map(() => 0);
  const differences = differencesOf(
    madeSide({ source: 'a', values: zeros, drawn: drawn.map(() => nothing) }),
    madeSide({ source: 'b', values: zeros, drawn }),
  );
  const { lower, upper } = simultaneousBand(differences, all);
  const exact = normalQuantile((1 + 0.95 ** (1 / DEPTHS)) / 2);
  // The 95 % quantile of 400 draws is known within 1.1 %: about 0.25 in c, two and a half of 0.1.
  for (const m of all) expectClose((upper[m] - lower[m]) / 2 / differences.sd[m], exact, 0.25, 'from 400 draws');
  const same = differencesOf(
    madeSide({ source: 'a', values: zeros, drawn }),
    madeSide({ source: 'a', values: zeros, drawn }),
  );
  expect(Array.from(simultaneousBand(same, all).upper)).toEqual(zeros);
});
