import { gzipSync } from 'node:zlib';
import { describe, expect, test } from '@jest/globals';
import { POSITION_STEP_M, packScene, unpackScene } from '../../../src/web/scene/packed-scene.ts';
import { SERIES_NAMES, SERIES_STEP } from '../../../src/web/scene/payload.ts';
import { makePayload, withoutPoint } from './make-payload.ts';

/** A value in single precision is a little off the step it was made of. */
const ROUNDING = 1e-6;

const missing = (value: number) => (Number.isNaN(value) ? 1 : 0);

describe('a scene as bytes', () => {
  const whole = makePayload();

  test('comes back to half a step of each value', () => {
    const back = unpackScene(packScene(whole));
    let worst = 0;
    whole.position.forEach((value, i) => {
      worst = Math.max(worst, Math.abs(back.position[i] - value));
    });
    expect(worst).toBeLessThanOrEqual(POSITION_STEP_M / 2 + ROUNDING);
    for (const name of SERIES_NAMES) {
      const [was, is] = [whole.series[name], back.series[name]];
      expect(is?.length).toBe(was?.length);
      const off = was?.map((value, i) => Math.abs(is![i] - value) - 1e-6 * Math.abs(value)) ?? [0];
      expect(Math.max(...off)).toBeLessThanOrEqual(SERIES_STEP[name] / 2 + ROUNDING);
    }
    const { position: _p, series: _s, ...rest } = back;
    const { position: _q, series: _t, ...original } = whole;
    expect(rest).toEqual(original);
  });

  test('what is missing stays missing, and nothing else becomes so', () => {
    const gaps = withoutPoint(withoutPoint(whole, 'left_knee', 0, 7), 'left_knee', 120, 131);
    const holed = { ...gaps, series: { ...gaps.series, hip_moment: gaps.series.hip_moment!.slice() } };
    holed.series.hip_moment.fill(Number.NaN, 290);
    const back = unpackScene(packScene(holed));
    expect(back.position.map(missing)).toEqual(holed.position.map(missing));
    expect(back.series.hip_moment!.map(missing)).toEqual(holed.series.hip_moment.map(missing));
    expect(back.position.map(missing).reduce((sum, one) => sum + one)).toBe(3 * (7 + 11));
    expect(back.series.ankle_moment).toBeUndefined();
  });

  test('jumps of metres from frame to frame come back too', () => {
    const position = whole.position.map((value, i) => value + (i % 7 === 0 ? 9 : -6));
    const back = unpackScene(packScene({ ...whole, position }));
    const off = back.position.map((value, i) => Math.abs(value - position[i]));
    expect(Math.max(...off)).toBeLessThanOrEqual(POSITION_STEP_M / 2 + ROUNDING);
  });

  test('the same scene gives the same bytes, another one others', () => {
    const same = (other: Uint8Array) => Buffer.from(packScene(whole)).equals(other);
    expect(same(packScene(makePayload()))).toBe(true);
    expect(same(packScene(makePayload({ dropM: 0.51 })))).toBe(false);
  });

  test('1,500 frames stay far below 400 kB in the page, even where every point trembles by millimetres', () => {
    const long = makePayload({ frames: 1500, starts: [100, 400, 700, 1000, 1300] });
    let state = 1;
    const noise = () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return state / 2 ** 32 - 0.5;
    };
    const trembling = { ...long, position: long.position.map((value) => value + 0.004 * noise()) };
    const base64 = Math.ceil(gzipSync(packScene(trembling)).length / 3) * 4;
    expect(base64).toBeLessThan(400_000);
  });

  test('bytes that were cut or are of another format are refused', () => {
    const bytes = packScene(whole);
    expect(() => unpackScene(bytes.subarray(0, bytes.length - 3))).toThrow(RangeError);
    expect(() => unpackScene(bytes.subarray(0, 100))).toThrow(RangeError);
    const text = new TextDecoder('latin1').decode(bytes).indexOf('"format":1');
    const other = bytes.slice();
    other[text + 9] = '2'.charCodeAt(0);
    expect(() => unpackScene(other)).toThrow(/format 2/);
  });
});
