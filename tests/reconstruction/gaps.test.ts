import { expect, test } from '@jest/globals';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { fillGaps, longestGapFrames } from '../../src/reconstruction/gaps.ts';
import { expectClose } from '../expect-close.ts';

const { seen, occluded, outlier, filled } = SampleStatus;

/** One landmark on a cubic in time: a not-a-knot spline returns cubics exactly (de Boor 1978, ch. IV). */
const cubic = (k: number) => 0.3 + 0.02 * k - 0.001 * k * k + 2e-5 * k ** 3;

function series(codes: readonly number[]): { position: Float64Array; status: Uint8Array } {
  const position = new Float64Array(3 * codes.length);
  codes.forEach((code, k) => {
    position.set(code === seen ? [cubic(k), -cubic(k), 2 * cubic(k)] : [Number.NaN, Number.NaN, Number.NaN], 3 * k);
  });
  return { position, status: Uint8Array.from(codes) };
}

test('a gap within the limit lies on the cubic and is called filled', () => {
  const codes = Array(20).fill(seen).fill(occluded, 8, 12);
  const { position, status } = series(codes);
  fillGaps(position, status, 1, 20, 4);
  for (let k = 8; k < 12; k++) {
    expect(status[k]).toBe(filled);
    expectClose(position[3 * k], cubic(k), 1e-12, `x ${k}`);
    expectClose(position[3 * k + 1], -cubic(k), 1e-12, `y ${k}`);
    expectClose(position[3 * k + 2], 2 * cubic(k), 1e-12, `z ${k}`);
  }
});

test('a gap one frame longer stays, with its reasons', () => {
  const codes = Array(20).fill(seen).fill(occluded, 8, 12);
  codes[9] = outlier;
  const { position, status } = series(codes);
  fillGaps(position, status, 1, 20, 3);
  expect(Array.from(status)).toEqual(codes);
  expect(Number.isNaN(position[3 * 9])).toBe(true);
});

test('nothing is extrapolated at either end', () => {
  const codes = Array(20).fill(seen).fill(occluded, 0, 2);
  codes[19] = occluded;
  const { position, status } = series(codes);
  fillGaps(position, status, 1, 20, 5);
  expect(Array.from(status)).toEqual(codes);
});

test('a neighbour beyond a long gap does not carry the spline', () => {
  // Frame 0 is 1 km away beyond a gap of 8; were it a neighbour, the fill would swing.
  const codes = Array(24).fill(seen).fill(occluded, 1, 9).fill(occluded, 12, 14);
  const { position, status } = series(codes);
  position[0] = 1000;
  fillGaps(position, status, 1, 24, 3);
  expectClose(position[3 * 12], cubic(12), 1e-12, 'x 12');
  expect(status[4]).toBe(occluded);
});

test('other landmarks are untouched, and samples seen keep their bits', () => {
  const one = series(Array(12).fill(seen).fill(occluded, 5, 6));
  const position = new Float64Array(2 * one.position.length);
  const status = new Uint8Array(24);
  for (let k = 0; k < 12; k++) {
    position.set(one.position.subarray(3 * k, 3 * k + 3), 6 * k);
    position.set([k, k, k], 6 * k + 3);
    status[2 * k] = one.status[k];
  }
  const before = position.slice();
  fillGaps(position, status, 2, 12, 2);
  for (let i = 0; i < position.length; i++) if (Math.floor(i / 3) !== 10) expect(position[i]).toBe(before[i]);
  expect(status[10]).toBe(filled);
});

test('the limit in frames: 0.15 s is 9 frames at 60 Hz, 4 at 30 Hz, 15 at 100 Hz', () => {
  expect([60, 30, 100].map((rate) => longestGapFrames(0.15, rate))).toEqual([9, 4, 15]);
});
