import { describe, expect, test } from '@jest/globals';
import {
  downPct,
  isInPhase,
  nearestRepetition,
  type Place,
  placeInto,
  wholeRange,
} from '../../../src/web/scene/phases.ts';
import { makePayload } from './make-payload.ts';

const payload = makePayload();
const [first, second] = payload.repetitions;
const place = (frame: number) => placeInto({ repetition: 0, phase: 'standing', downPct: 0 } as Place, payload, frame);

describe('where in the set a frame lies', () => {
  test('phases are half-open; between them the nearest repetition counts', () => {
    expect(wholeRange(first)).toEqual([50, 150]);
    expect(place(49)).toEqual({ repetition: 0, phase: 'standing', downPct: Number.NaN });
    expect(place(50).phase).toBe('descent');
    expect(place(109).phase).toBe('descent');
    expect(place(110).phase).toBe('ascent');
    expect(place(149).phase).toBe('ascent');
    expect(place(150)).toEqual({ repetition: 0, phase: 'standing', downPct: Number.NaN });
    expect(nearestRepetition(payload.repetitions, 163)).toBe(0);
    expect(nearestRepetition(payload.repetitions, 166)).toBe(1);
    expect(nearestRepetition([], 3)).toBe(-1);
    expect([49, 50, 110, 149.5, 150].map((f) => isInPhase(payload, f))).toEqual([false, true, true, true, false]);
  });

  test('depth is the share of the repetition’s own drop, between frames too', () => {
    expect(downPct(payload, first, 50)).toBe(0);
    expect(downPct(payload, first, 110)).toBeCloseTo(100, 4);
    // A steady descent of 60 frames: frame 80.5 is 30.5 of them down.
    expect(downPct(payload, first, 80.5)).toBeCloseTo((100 * 30.5) / 60, 3);
    expect(downPct(payload, second, 180 + 60 + 20)).toBeCloseTo(50, 3);
  });

  test('unknown without a height', () => {
    expect(downPct({ ...payload, series: {} }, first, 80)).toBeNaN();
  });

  test('an ascent that comes first is no descent, and starts at its bottom', () => {
    const lifted = { ...first, descent: [150, 190] as const, ascent: [110, 150] as const, top: 150, bottom: 110 };
    expect(wholeRange(lifted)).toEqual([110, 190]);
    const set = { ...payload, repetitions: [lifted] };
    expect(placeInto(place(0), set, 112).phase).toBe('ascent');
    expect(placeInto(place(0), set, 155).phase).toBe('descent');
  });
});
