import { describe, expect, test } from '@jest/globals';
import { correlationTime } from '../../../src/cameras/moving-points/correlation.ts';
import { type ImageTrack, MOMENTS, momentsOf } from '../../../src/cameras/moving-points/image-tracks.ts';
import {
  BAR_LENGTH_M,
  competitionBar,
  measuredRod,
  scaleBudget,
  whipShortening,
} from '../../../src/cameras/moving-points/scale-budget.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { expectClose } from '../../expect-close.ts';

describe('correlation time', () => {
  const series = (rho: number, count: number, length: number, seed: number) => {
    const random = seededRandom(seed);
    return Array.from({ length: count }, () => {
      let x = random.normal();
      return Float64Array.from({ length }, () => {
        x = rho * x + Math.sqrt(1 - rho * rho) * random.normal();
        return x;
      });
    });
  };

  // Priestley (1981), "Spectral Analysis and Time Series": Σ ρ^|k| = (1 + ρ) / (1 − ρ) for a first-order process.
  test.each([0, 0.4, 0.8])('a first-order process with ρ = %d has τ = (1 + ρ)/(1 − ρ)', (rho) => {
    const tau = (1 + rho) / (1 - rho);
    // 40 series of 200: standard error about τ √(2 (2 M + 1)/8000), M = 5 τ: 3 to 15 %; three of them.
    expectClose(correlationTime(series(rho, 40, 200, 3)).steps / tau, 1, 0.12 + 0.03 * tau, `rho ${rho}`);
  });

  test('a shift that lasts makes one moment of them all; gaps are left out', () => {
    const constant = [new Float64Array(60).fill(1), new Float64Array(60).fill(-0.5)];
    constant[0][7] = Number.NaN;
    expect(correlationTime(constant).steps).toBeGreaterThan(20);
    expect(correlationTime([]).steps).toBe(1);
  });
});

describe('common moments', () => {
  const track = (offsetS: number, readoutS: number, rateHz: number, wild = -1): ImageTrack => {
    const frames = Math.floor(3 * rateHz);
    const timeS = Float64Array.from({ length: frames }, (_, k) => offsetS + k / rateHz);
    const pixel = new Float64Array(2 * frames);
    for (let k = 0; k < frames; k++) {
      // v first (its row tells the time of reading), by a few rounds.
      let t = timeS[k];
      for (let i = 0; i < 20; i++) t = timeS[k] + (readoutS * (400 + 100 * t)) / 1000;
      pixel[2 * k] = 300 + 50 * t - 40 * t * t;
      pixel[2 * k + 1] = 400 + 100 * t;
    }
    if (wild >= 0) pixel[2 * wild] += 200;
    return { camera: 'c', points: ['p'], timeS, readoutS, imageHeight: 1000, pixel };
  };

  test.each([
    ['other start', track(0.007, 0, 60)],
    ['rolling shutter', track(0, 0.02, 60)],
    ['other rate', track(0.003, 0, 30)],
    ['one wild sample', track(0, 0, 60, 63)],
  ])('value and velocity of a parabola are exact: %s', (_, other) => {
    const moments = momentsOf([track(0, 0, 60), other], ['p']);
    expect(moments.timeS.length).toBeGreaterThan(15);
    moments.timeS.forEach((t, k) => {
      const o = 2 * (2 * k + 1);
      expectClose(moments.pixel[o], 300 + 50 * t - 40 * t * t, 1e-6, `u at ${t}`);
      expectClose(moments.velocity[o], 50 - 80 * t, 1e-4, `du/dt at ${t}`);
      expectClose(moments.pixel[o + 1], 400 + 100 * t, 1e-6, `v at ${t}`);
    });
  });

  test('no value beside a gap: samples on both sides are needed', () => {
    const gap = track(0, 0, 60);
    for (let k = 50; k < 80; k++) gap.pixel[2 * k] = Number.NaN;
    const moments = momentsOf([gap, track(0, 0, 60)], ['p'], MOMENTS);
    moments.timeS.forEach((t, k) => {
      const inside = t > 50 / 60 && t < 79 / 60;
      if (inside) expect(Number.isFinite(moments.pixel[4 * k])).toBe(false);
    });
  });
});

describe('scale budget', () => {
  test('bending: equal to a stepwise integration of the bent beam', () => {
    const bar = { discsKg: 180, shaftDiameterM: 0.028, lengthM: 2.2, supportAtM: 0.2, discsAtM: 0.75 };
    const force = 90 * 9.80665;
    const stiffness = 205e9 * Math.PI * 0.028 ** 4 * (1 / 64);
    let slope = 0;
    let shorter = 0;
    const dx = 1e-5;
    for (let x = dx / 2; x < 1.1; x += dx) {
      const moment = force * Math.max(0, 0.75 - Math.max(0.2, x));
      slope += (moment / stiffness) * dx;
      shorter += 2 * 0.5 * (slope - ((moment / stiffness) * dx) / 2) ** 2 * dx;
    }
    expectClose(whipShortening(bar) / shorter, 1, 1e-4, 'shortening'); // step 1e-5 m of 1.1 m
    // Twice the discs, four times the shortening.
    expectClose(whipShortening({ ...bar, discsKg: 360 }) / whipShortening(bar), 4, 1e-12, 'square law');
  });

  test('a cantilever’s end slope P L² / 2 E I (Roark, table of beam formulas) bends its outer part', () => {
    // Carried at the middle: only the overhang bends; far beyond the discs nothing but that slope is left.
    const bar = { discsKg: 100, shaftDiameterM: 0.028, lengthM: 200, supportAtM: 0, discsAtM: 0.7 };
    const slope = (50 * 9.80665 * 0.7 ** 2) / 2 / ((205e9 * Math.PI * 0.028 ** 4) / 64);
    expectClose(whipShortening(bar) / (slope ** 2 * (100 - 0.7)), 1, 0.01, 'outer part'); // the bent 0.7 m: below 1 %
  });

  test('causes add in squares; an unloaded bar has no bending', () => {
    const empty = scaleBudget(competitionBar('men', 0), 0.0005);
    expect(Object.keys(empty.causes)).not.toContain('bending under load');
    const loaded = scaleBudget(competitionBar('men', 180), 0.0005);
    const squares = Object.values(loaded.causes).reduce((sum, share) => sum + share * share, 0);
    expectClose(loaded.sdShare, Math.sqrt(squares), 1e-15, 'sum');
    expect(loaded.causes['bending under load']).toBeGreaterThan(0);
    expect(scaleBudget(measuredRod(['a', 'b'], 1, 0.002), 0).causes['length of the rod']).toBeCloseTo(0.002, 12);
    expect(BAR_LENGTH_M).toEqual({ men: 2.2, women: 2.01 });
  });
});
