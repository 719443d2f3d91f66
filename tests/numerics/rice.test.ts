import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import { coordinateSd, riceCdf, riceInterval, riceVariance } from '../../src/numerics/rice.ts';
import { expectClose } from '../expect-close.ts';

describe('Rice’s distribution', () => {
  test('probabilities as SciPy has them (scipy.stats.rice.cdf)', () => {
    const cases = [
      [1, 0, 0.3934693402873665],
      [2, 1, 0.73098793996409],
      [3, 2.5, 0.6230101433966585],
      [0.3, 0.2, 0.0431504762897688],
      [6, 5, 0.8181495770548568],
      [12, 10, 0.974670525702058],
      [1.5, 4, 0.003438418398986412],
    ];
    for (const [length, trueLength, p] of cases) expectClose(riceCdf(length, trueLength), p, 1e-12);
  });

  test('far out it is the normal one, a little displaced: no jump where the series ends', () => {
    for (const z of [-2, -0.5, 0, 1, 2.5]) expectClose(riceCdf(29.9 + z, 29.9), riceCdf(30.1 + z, 30.1), 5e-4);
  });

  test('variances as SciPy has them (scipy.stats.rice.var)', () => {
    const cases = [
      [0, 0.4292036732051032],
      [0.5, 0.47990987386190764],
      [1, 0.6019233344225694],
      [2, 0.8362735558385532],
      [4, 0.9662734624428815],
    ];
    for (const [trueLength, variance] of cases) expectClose(riceVariance(trueLength), variance, 1e-12);
    expectClose(riceVariance(7.2), 0.99, 1e-3, 'by the series');
  });

  test('the spread of the coordinates from that of the lengths', () => {
    expectClose(coordinateSd(2 * Math.sqrt(0.6019233344225694), 2), 2, 1e-6, 'true length of one of these');
    expectClose(coordinateSd(3 * Math.sqrt(0.4292036732051032), 0), 3, 1e-9);
    expectClose(coordinateSd(3, 3000), 3, 1e-6);
    expect(coordinateSd(0, 5)).toBe(0);
  });

  test('intervals as SciPy’s distribution turned over by brentq', () => {
    const cases = [
      [1, 0, 2.6361180950464287],
      [2.5, 0, 4.306847087893244],
      [3, 0.6953076925527204, 4.828180579616537],
      [5, 2.9091002232430783, 6.874606779291373],
      [10, 7.984082765002448, 11.91414914775616],
    ];
    for (const [length, lower, upper] of cases) {
      expectClose(riceInterval(length).lower, lower, 1e-9);
      expectClose(riceInterval(length).upper, upper, 1e-9);
    }
    expect(riceInterval(0.1)).toEqual(riceInterval(1));
  });

  test('holds true lengths of 0, 1, 3 and 20 in 95 to 97.5 % of 20,000 draws; value ± 1.96 would hold 0 in 85 %', () => {
    const random = seededRandom(5);
    for (const [trueLength, least] of [
      [0, 0.97],
      [1, 0.945],
      [3, 0.945],
      [20, 0.945],
    ]) {
      let [held, plain] = [0, 0];
      const lengths = Array.from({ length: 20_000 }, () => Math.hypot(trueLength + random.normal(), random.normal()));
      const rounded = new Map<number, { lower: number; upper: number }>();
      for (const length of lengths) {
        // To a hundredth: intervals are worked out once.
        const place = Math.round(100 * length) / 100;
        const interval = rounded.get(place) ?? riceInterval(place);
        rounded.set(place, interval);
        if (interval.lower <= trueLength && trueLength <= interval.upper) held++;
        if (Math.abs(length - trueLength) <= 1.96) plain++;
      }
      expect(held / 20_000).toBeGreaterThan(least);
      expect(held / 20_000).toBeLessThan(0.98);
      if (trueLength === 0) expect(plain / 20_000).toBeLessThan(0.86);
    }
  });
});
