import { describe, expect, test } from '@jest/globals';
import { bridged, measuredLength, pointSeries } from '../../src/body/point-series.ts';
import { zeroLagLowPass } from '../../src/numerics/butterworth.ts';
import { secondDifference } from '../../src/numerics/differences.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { makeTrajectories, type Point } from './made-lifter.ts';

const RATE = 60;
const FRAMES = 180;
function series(at: (frame: number) => Point | undefined): Float64Array {
  const out = new Float64Array(3 * FRAMES).fill(Number.NaN);
  for (let frame = 0; frame < FRAMES; frame++) {
    const point = at(frame);
    if (point) out.set(point, 3 * frame);
  }
  return out;
}

const anchor = series((frame) => [0.3 * Math.sin(frame / 20), 1 + 0.2 * Math.cos(frame / 15), 0]);
const offset = (frame: number): Point => [0.2, -0.1 * Math.cos(frame / 25), 0.05];
const whole = (frame: number): Point => {
  const [x, y, z] = offset(frame);
  return [anchor[3 * frame] + x, anchor[3 * frame + 1] + y, z];
};

describe('bridged', () => {
  test('a point without gaps is given back as it is', () => {
    const point = series(whole);
    const found = bridged(point, anchor, RATE, 3)!;
    expect(found.series).toBe(point);
    expect(found.bridgedShare).toBe(0);
  });

  test('without a filter: linear in the offset across a gap, held beyond the ends', () => {
    const point = series((frame) =>
      frame < 10 || (frame >= 60 && frame < 80) || frame >= 170 ? undefined : whole(frame),
    );
    const { series: found, bridgedShare } = bridged(point, anchor, RATE, Number.NaN)!;
    expectClose(bridgedShare, 40 / 180, 1e-12, 'share');
    const expectedY = (frame: number) => {
      const at = (f: number) => offset(f)[1];
      if (frame < 10) return at(10);
      if (frame >= 170) return at(169);
      if (frame >= 60 && frame < 80) return at(59) + ((at(80) - at(59)) * (frame - 59)) / 21;
      return at(frame);
    };
    for (let frame = 0; frame < FRAMES; frame++)
      expectClose(found[3 * frame + 1], anchor[3 * frame + 1] + expectedY(frame), 1e-12, `y, frame ${frame}`);
  });

  test('with a filter: the whole offset is low-passed, so that the joins of a gap are no blows', () => {
    const gap = (frame: number) => frame >= 60 && frame < 100;
    const point = series((frame) => (gap(frame) ? undefined : whole(frame)));
    const smooth = bridged(point, anchor, RATE, 3)!.series;
    const straight = bridged(point, anchor, RATE, Number.NaN)!.series;
    const line = Float64Array.from({ length: FRAMES }, (_, frame) => straight[3 * frame + 1] - anchor[3 * frame + 1]);
    const expected = zeroLagLowPass(line, RATE, 3);
    for (let frame = 0; frame < FRAMES; frame++)
      expectClose(smooth[3 * frame + 1], anchor[3 * frame + 1] + expected[frame], 1e-12, `y, frame ${frame}`);
    const largest = (x: Float64Array) =>
      Math.max(
        ...secondDifference(
          Float64Array.from({ length: FRAMES }, (_, f) => x[3 * f + 1] - anchor[3 * f + 1]),
          1,
          1 / RATE,
        )
          .slice(1, -1)
          .map(Math.abs),
      );
    expect(largest(smooth)).toBeLessThan(0.5 * largest(straight));
  });

  test('where the anchor is not known the point stays unknown; known in less than half of the frames it is none', () => {
    const holed = series((frame) =>
      frame === 90 ? undefined : ([anchor[3 * frame], anchor[3 * frame + 1], 0] as const),
    );
    const found = bridged(
      series((frame) => (frame < 20 ? undefined : whole(frame))),
      holed,
      RATE,
      Number.NaN,
    )!;
    expect(found.series[3 * 90]).toBeNaN();
    expect(found.series[3 * 10]).not.toBeNaN();
    expect(
      bridged(
        series((frame) => (frame < 100 ? undefined : whole(frame))),
        anchor,
        RATE,
        3,
      ),
    ).toBeNull();
  });
});

describe('lengths and series', () => {
  test('median and coefficient of variation, by hand', () => {
    const from = new Float64Array(9);
    const to = Float64Array.of(3, 4, 0, 0, 0, 6, 0, 7, 0);
    const { lengthM, variation } = measuredLength(from, to);
    expectClose(lengthM, 6, 1e-12, 'median of 5, 6, 7');
    expectClose(variation, 1 / 6, 1e-12, 'standard deviation 1 over mean 6');
  });

  test('a landmark that is absent or never seen is null', () => {
    const trajectories = makeTrajectories(4, RATE, () => ({ nose: [1, 2, 3], left_ear: undefined }));
    expect(pointSeries(trajectories, 'left_ear')).toBeNull();
    expect(pointSeries(trajectories, 'right_ear')).toBeNull();
    expectAllClose(pointSeries(trajectories, 'nose')!.subarray(3, 6), [1, 2, 3], 0, 'nose');
  });
});
