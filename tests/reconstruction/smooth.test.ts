import { describe, expect, test } from '@jest/globals';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { LANDMARKS } from '../../src/capture/landmarks.ts';
import type { Smoothing } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { zeroLagLowPass } from '../../src/numerics/butterworth.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { filterGroup } from '../../src/reconstruction/cutoffs.ts';
import { smooth } from '../../src/reconstruction/smooth.ts';
import { expectClose } from '../expect-close.ts';

const { seen, edge, filled, occluded, outlier } = SampleStatus;
const RATE = 60;
const FIXED: Smoothing = { kind: 'fixed', legsHz: 6, trunkHz: 3, barHz: 3 };

function run(
  landmarks: readonly Landmark[],
  at: (k: number, l: number) => number,
  codes: (k: number, l: number) => number,
  frames: number,
  smoothing: Smoothing = FIXED,
  rate = RATE,
) {
  const position = new Float64Array(3 * frames * landmarks.length);
  const status = new Uint8Array(frames * landmarks.length);
  for (let k = 0; k < frames; k++) {
    for (let l = 0; l < landmarks.length; l++) {
      const s = k * landmarks.length + l;
      status[s] = codes(k, l);
      const usable = status[s] === seen || status[s] === filled;
      for (let axis = 0; axis < 3; axis++) position[3 * s + axis] = usable ? (axis + 1) * at(k, l) : Number.NaN;
    }
  }
  const notes: string[] = [];
  const result = smooth('recording.yaml', landmarks, position, status, frames, rate, smoothing, notes);
  return { ...result, before: position, statusBefore: status, notes };
}

const always = () => seen;

describe('groups', () => {
  test('every landmark has the cut-off of its group', () => {
    const { cutoffHz } = run(LANDMARKS, (k) => k, always, 90, { kind: 'fixed', legsHz: 7, trunkHz: 4, barHz: 5 });
    LANDMARKS.forEach((landmark, l) => {
      expect(cutoffHz[l]).toBe({ legs: 7, trunk: 4, bar: 5 }[filterGroup(landmark)]);
    });
    const inGroup = (group: string) => LANDMARKS.filter((landmark) => filterGroup(landmark) === group).length;
    expect([inGroup('legs'), inGroup('bar'), inGroup('trunk')]).toEqual([18, 2, 28]);
  });
});

describe('fixed cut-off', () => {
  test('a sine at the cut-off comes out with 1/√2 of its amplitude, unshifted', () => {
    // −3 dB of both passes together (DESIGN of the filter: Winter 2009, sec. 3.4.4.2).
    const { position } = run(['right_knee'], (k) => Math.sin((2 * Math.PI * 6 * k) / RATE), always, 600);
    for (let k = 270; k < 330; k++) {
      expectClose(position[3 * k], Math.SQRT1_2 * Math.sin((2 * Math.PI * 6 * k) / RATE), 1e-6, `frame ${k}`);
    }
  });

  test('the first and last 1/fc seconds are edges: 10 frames at 6 Hz, 20 at 3 Hz, also where filled', () => {
    const { status } = run(
      ['right_hip', 'right_knee'],
      (k) => k,
      (k) => (k === 5 || k === 100 ? filled : seen),
      200,
    );
    const edges = (l: number) => Array.from({ length: 200 }, (_, k) => k).filter((k) => status[2 * k + l] === edge);
    const ends = (n: number) => Array.from({ length: 200 }, (_, k) => k).filter((k) => k < n || k >= 200 - n);
    expect(edges(0)).toEqual(ends(20));
    expect(edges(1)).toEqual(ends(10));
    expect(status[2 * 100]).toBe(filled);
  });

  test('each side of a gap is filtered alone: no value crosses it, no NaN leaks', () => {
    const random = seededRandom(3);
    const noise = Array.from({ length: 300 }, () => random.normal());
    const gap = (k: number) => (k >= 140 && k < 155 ? occluded : seen);
    const { position, status } = run(['left_ankle'], (k) => noise[k], gap, 300);
    const alone = [noise.slice(0, 140), noise.slice(155)].map((part) => zeroLagLowPass(part, RATE, 6));
    for (let k = 0; k < 140; k++) expectClose(position[3 * k], alone[0][k], 1e-15, `frame ${k}`);
    for (let k = 155; k < 300; k++) expectClose(position[3 * k], alone[1][k - 155], 1e-15, `frame ${k}`);
    for (let k = 140; k < 155; k++) expect([status[k], Number.isNaN(position[3 * k])]).toEqual([occluded, true]);
    expect(Array.from(status.subarray(130, 140))).toEqual(Array(10).fill(edge));
    expect(Array.from(status.subarray(155, 165))).toEqual(Array(10).fill(edge));
  });

  test('a stretch shorter than 3/fc goes missing with the reason of its gap, and is noted', () => {
    // 29 frames < 3/6 s · 60 Hz = 30; 30 frames are kept.
    const codes = (length: number) => (k: number) => (k === 100 || k === 101 + length ? outlier : seen);
    const short = run(['left_knee'], (k) => k, codes(29), 300);
    expect(Array.from(short.status.subarray(100, 131))).toEqual(Array(31).fill(outlier));
    expect(short.position.subarray(3 * 101, 3 * 130).every(Number.isNaN)).toBe(true);
    expect(short.notes).toHaveLength(1);
    const kept = run(['left_knee'], (k) => k, codes(30), 300);
    expect(kept.status[101]).toBe(edge);
    expect(kept.notes).toHaveLength(0);
  });
});

describe('residual analysis', () => {
  const motion = (k: number) => 0.4 * Math.sin((2 * Math.PI * 0.7 * k) / 100) ** 3;
  const residual: Smoothing = { kind: 'residual' };

  test('more noise, lower cut-off; always within 2 to 10 Hz', () => {
    const cutoffFor = (sd: number) => {
      const random = seededRandom(11);
      return run(['left_knee'], (k) => motion(k) + sd * random.normal(), always, 600, residual, 100).cutoffHz[0];
    };
    const [quiet, loud, rough] = [0.0005, 0.005, 0.1].map(cutoffFor);
    expect(quiet).toBeGreaterThan(loud);
    expect(loud).toBeGreaterThan(rough);
    expect(rough).toBeGreaterThanOrEqual(2);
    expect(quiet).toBeLessThanOrEqual(10);
  });

  test('noise-free: the upper bound, a fifth of the frame rate and at most 10 Hz', () => {
    // Whole periods between the ends, so that nothing but the sine is in the series.
    const pure = (k: number) => Math.sin((2 * Math.PI * 3 * k) / 599);
    expectClose(run(['nose'], pure, always, 600, residual, 100).cutoffHz[0], 10, 1e-12, '100 Hz');
    expectClose(run(['nose'], pure, always, 600, residual, 30).cutoffHz[0], 6, 1e-12, '30 Hz');
  });

  test('a landmark never seen has no cut-off', () => {
    const { cutoffHz, status } = run(
      ['nose', 'left_knee'],
      motion,
      (_, l) => (l === 0 ? occluded : seen),
      600,
      residual,
      100,
    );
    expect(Number.isNaN(cutoffHz[0])).toBe(true);
    expect(cutoffHz[1]).toBeGreaterThan(0);
    expect(status[0]).toBe(occluded);
  });
});

test('no smoothing: bits and status stay, no cut-off', () => {
  const result = run(
    ['left_knee'],
    (k) => Math.sin(k),
    (k) => (k === 7 ? occluded : seen),
    90,
    { kind: 'none' },
  );
  expect(result.position).toEqual(result.before);
  expect(result.status).toEqual(result.statusBefore);
  expect(Number.isNaN(result.cutoffHz[0])).toBe(true);
});

describe('refusals', () => {
  test.each([
    ['half a second', 30, FIXED, 60, 'recording-too-short'],
    ['shorter than 3/fc of a low cut-off', 80, { ...FIXED, trunkHz: 1 } as Smoothing, 60, 'recording-too-short'],
    ['15 frames a second at 6 Hz', 60, FIXED, 15, 'frame-rate-too-low'],
    ['10 frames a second by residual analysis', 60, { kind: 'residual' } as Smoothing, 10, 'frame-rate-too-low'],
  ])('%s', (_, frames, smoothing, rate, code) => {
    expect(() => run(['left_hip', 'left_knee'], (k) => k, always, frames, smoothing, rate)).toThrow(
      expect.objectContaining({ code }),
    );
  });
});
