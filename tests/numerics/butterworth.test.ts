import { describe, expect, test } from '@jest/globals';
import {
  butterworthLowPass,
  designFrequencyHz,
  residualAnalysis,
  zeroLagGain,
  zeroLagLowPass,
} from '../../src/numerics/butterworth.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { mean, standardDeviation } from '../../src/numerics/statistics.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

interface Coefficients {
  designHz: number;
  rateHz: number;
  b: number[];
  a: number[];
}
const scipy = reference<Coefficients>('numerics-scipy-butterworth');
const record = scipy.record as { rateHz: number; cutoffHz: number; x: number[]; y: number[] };

/** Complex gain of one pass at `hz`, squared modulus: the gain of two. */
function squaredGain({ b, a }: { b: readonly number[]; a: readonly number[] }, hz: number, rateHz: number): number {
  const w = (2 * Math.PI * hz) / rateHz;
  const square = (c: readonly number[]) =>
    (c[0] + c[1] * Math.cos(w) + c[2] * Math.cos(2 * w)) ** 2 + (c[1] * Math.sin(w) + c[2] * Math.sin(2 * w)) ** 2;
  return square(b) / square(a);
}

describe('coefficients', () => {
  test('10 Hz / 0.80224 at 100 Hz as printed (Winter 2009, ch. 3, as restated with SciPy; 8 digits)', () => {
    // The print names the frequency 12.4650 Hz; its coefficients are those of the unrounded 12.46505 Hz.
    const { b, a } = butterworthLowPass(10 / (Math.SQRT2 - 1) ** 0.25, 100);
    expectAllClose(b, [0.09718522, 0.19437045, 0.09718522], 6e-9, 'b');
    expectAllClose(a, [1, -0.94557029, 0.33431119], 6e-9, 'a');
  });

  test.each(scipy.cases)('$designHz Hz at $rateHz Hz as SciPy', ({ designHz, rateHz, b, a }) => {
    const found = butterworthLowPass(designHz, rateHz);
    expectAllClose(found.b, b, scipy.tolerance, 'b');
    expectAllClose(found.a, a, scipy.tolerance, 'a');
  });

  test.each([0, -1, 50, 60, Number.NaN])('design frequency %s Hz at 100 Hz is refused', (hz) => {
    expect(() => butterworthLowPass(hz, 100)).toThrow(RangeError);
    expect(() => designFrequencyHz(hz, 100)).toThrow(RangeError);
  });
});

describe('the cut-off is the −3 dB point of the whole zero-lag filter', () => {
  const rateHz = 100;
  const cutoffs = [0.5, 1, 3, 6, 10, 15, 20, 25];

  test.each(cutoffs)('%s Hz at 100 Hz: analytic response', (cutoffHz) => {
    const pass = butterworthLowPass(designFrequencyHz(cutoffHz, rateHz), rateHz);
    expectClose(squaredGain(pass, cutoffHz, rateHz), Math.SQRT1_2, 1e-9, 'gain at cut-off');
    for (const hz of [0.1, 2, 7, 30, 49]) {
      expectClose(zeroLagGain(hz, cutoffHz, rateHz), squaredGain(pass, hz, rateHz), 1e-9, `gain at ${hz} Hz`);
    }
  });

  test.each(cutoffs)(
    '%s Hz at 100 Hz: a sinusoid in the middle of a long record comes out at 1/√2, without lag',
    (cutoffHz) => {
      const n = 6001;
      const wave = Float64Array.from({ length: n }, (_, i) => Math.cos((2 * Math.PI * cutoffHz * (i - 3000)) / rateHz));
      const filtered = zeroLagLowPass(wave, rateHz, cutoffHz);
      for (let i = 2900; i <= 3100; i++) expectClose(filtered[i], Math.SQRT1_2 * wave[i], 1e-9, `sample ${i}`);
    },
  );

  test('the small-frequency limit is the printed division by 0.802 (Winter 2009, p. 69, three digits)', () => {
    expectClose(0.01 / designFrequencyHz(0.01, 1000), 0.802, 5e-4, 'factor');
  });

  test('far from that limit the plain division misses the −3 dB point', () => {
    const plain = butterworthLowPass(25 / 0.802, 100);
    expect(Math.abs(squaredGain(plain, 25, 100) - Math.SQRT1_2)).toBeGreaterThan(0.03);
  });
});

describe('zero-lag filtering', () => {
  test('the interior of a long record as SciPy filtfilt', () => {
    const filtered = zeroLagLowPass(record.x, record.rateHz, record.cutoffHz);
    expectAllClose(filtered, record.y, scipy.tolerance * 10, 'y');
  });

  test('a constant passes exactly, a straight line to rounding, at any cut-off and length', () => {
    for (const n of [4, 5, 9, 60, 500]) {
      for (const cutoffHz of [0.2, 3, 20]) {
        const constant = new Float64Array(n).fill(1.7);
        expect(zeroLagLowPass(constant, 60, cutoffHz)).toEqual(constant);
        const line = Float64Array.from({ length: n }, (_, i) => 3 - 0.37 * i);
        // 4 ulp of the largest value.
        expectAllClose(zeroLagLowPass(line, 60, cutoffHz), line, 4 * 2 ** -52 * 200, `line of ${n}`);
      }
    }
  });

  test('running time backward gives the same result backward', () => {
    const random = seededRandom(3);
    const x = Float64Array.from({ length: 150 }, () => random.normal());
    const there = zeroLagLowPass(x, 60, 5);
    const back = zeroLagLowPass(x.slice().reverse(), 60, 5).reverse();
    expectAllClose(back, there, 1e-10, 'reversed');
  });

  test('the input is not changed', () => {
    const x = Float64Array.of(1, 5, 2, 7, 3, 3);
    zeroLagLowPass(x, 60, 5);
    expect([...x]).toEqual([1, 5, 2, 7, 3, 3]);
  });

  test.each([
    ['too short', [1, 2, 3], 60, 6],
    ['cut-off at the limit', [1, 2, 3, 4, 5], 60, 24],
    ['cut-off 0', [1, 2, 3, 4, 5], 60, 0],
    ['a gap', [1, 2, Number.NaN, 4, 5], 60, 6],
  ])('%s is refused', (_, x, rateHz, cutoffHz) => {
    expect(() => zeroLagLowPass(x, rateHz, cutoffHz)).toThrow(RangeError);
  });
});

describe('residual analysis', () => {
  const winter = reference<{ column: string; values: number[] }>('numerics-winter-table-a1');

  test.each(winter.cases)(
    'Winter table A.1, $column: a cut-off of 3 to 8 Hz (band: see the reference)',
    ({ values }) => {
      const found = residualAnalysis(values, winter.rateHz as number);
      expect(found.basis).toBe('noise line');
      expect(found.cutoffHz).toBeGreaterThan(winter.lowestCutoffHz as number);
      expect(found.cutoffHz).toBeLessThan(winter.highestCutoffHz as number);
    },
  );

  const motion = (t: number) =>
    0.3 * Math.cos(2 * Math.PI * 0.35 * t) + 0.05 * Math.sin(2 * Math.PI * 0.9 * t + 1) + 0.01 * Math.sin(13.2 * t);
  const simulate = (rateHz: number, noiseSd: number, seed: number) => {
    const random = seededRandom(seed);
    return Float64Array.from({ length: 8 * rateHz }, (_, i) => motion(i / rateHz) + noiseSd * random.normal());
  };

  test.each([
    [50, 0.002],
    [60, 0.0005],
    [100, 0.01],
    [240, 0.002],
  ])(
    '%s Hz: the noise line meets 0 Hz at the true noise, %s (15 records, mean within 3 standard errors and 3 %%)',
    (rateHz, noiseSd) => {
      const shares = Array.from(
        { length: 15 },
        (_, k) => residualAnalysis(simulate(rateHz, noiseSd, k + 1), rateHz).noiseSd / noiseSd,
      );
      const standardError = standardDeviation(shares) / Math.sqrt(shares.length);
      expectClose(mean(shares), 1, Math.min(0.03, 3 * standardError + 0.003), 'estimated over true noise');
    },
  );

  test('at the chosen cut-off the error against the noise-free motion is at most twice the least at any cut-off', () => {
    const rateHz = 100;
    for (const seed of [11, 12, 13]) {
      const x = simulate(rateHz, 0.002, seed);
      const errorAt = (hz: number) =>
        Math.sqrt(mean(zeroLagLowPass(x, rateHz, hz).map((v, i) => (v - motion(i / rateHz)) ** 2)));
      const least = Math.min(...Array.from({ length: 60 }, (_, k) => errorAt(1 + 0.2 * k)));
      const chosen = errorAt(residualAnalysis(x, rateHz).cutoffHz);
      expect(chosen).toBeLessThan(2 * least);
      expect(chosen).toBeLessThan(0.5 * 0.002);
    }
  });

  test('more noise, lower cut-off', () => {
    const cutoffs = [0.0005, 0.002, 0.01].map((sd) => residualAnalysis(simulate(60, sd, 2), 60).cutoffHz);
    expect(cutoffs[0]).toBeGreaterThan(cutoffs[1]);
    expect(cutoffs[1]).toBeGreaterThan(cutoffs[2]);
  });

  test('noise-free motion and constants: the upper bound, said so', () => {
    for (const x of [simulate(60, 0, 1), new Float64Array(90).fill(2.5)]) {
      const found = residualAnalysis(x, 60);
      expect(found.basis).toBe('noise-free');
      expect(found.cutoffHz).toBe(12);
      expect(found.noiseSd).toBe(0);
    }
  });

  test('rounded data: noise is at least step/√12 (rectangular error), and the cut-off stays low', () => {
    const x = simulate(60, 0, 1).map((value) => Math.round(value / 0.01) * 0.01);
    const found = residualAnalysis(x, 60);
    expect(found.noiseSd).toBeGreaterThanOrEqual(0.01 / Math.sqrt(12) - 1e-9);
    expectClose(found.noiseSd, 0.01 / Math.sqrt(12), 0.0005, 'noise');
    expect(found.cutoffHz).toBeLessThan(4);
  });

  test('bounds hold and are named', () => {
    const x = simulate(60, 0.0005, 4);
    expect(residualAnalysis(x, 60, { highestHz: 2 })).toMatchObject({ basis: 'upper bound', cutoffHz: 2 });
    const random = seededRandom(9);
    const still = Float64Array.from({ length: 480 }, () => random.normal());
    expect(residualAnalysis(still, 60, { lowestHz: 6 })).toMatchObject({ basis: 'lower bound', cutoffHz: 6 });
    expect(() => residualAnalysis(x, 60, { lowestHz: 5, highestHz: 4 })).toThrow(RangeError);
    expect(() => residualAnalysis(x, 60, { highestHz: 25 })).toThrow(RangeError);
  });
});
