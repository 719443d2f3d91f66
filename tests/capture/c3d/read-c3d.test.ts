import { describe, expect, test } from '@jest/globals';
import { parseC3d } from '../../../src/capture/c3d/read-c3d.ts';
import { channelValues } from '../../../src/capture/c3d/read-data.ts';
import { decFloat } from '../../../src/capture/c3d/stored-numbers.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';
import { ENCODINGS, madeBytes } from './made-files.ts';

interface PointCase {
  readonly label: string;
  readonly xyz_mm: readonly (readonly number[] | null)[];
  readonly residual_mm: readonly (number | null)[];
  readonly cameras: readonly (number | null)[];
}

const made = reference<PointCase>('c3d-made-trial') as ReturnType<typeof reference<PointCase>> & {
  readonly analog_values: readonly (readonly number[])[];
};
const tolerance = made.tolerance as unknown as Readonly<Record<string, number>>;

describe.each(ENCODINGS)('%s', (encoding) => {
  const c3d = parseC3d(`${encoding}.c3d`, madeBytes(encoding));

  test('sizes, rates, labels and unit', () => {
    expect(c3d.processor.toLowerCase()).toBe(encoding.split('-')[0]);
    expect(c3d.storage).toBe(encoding.split('-')[1]);
    expect(c3d).toMatchObject({ frames: made.frames, frameRateHz: made.rate_hz, firstFrame: made.first_frame });
    expect(c3d.points.labels).toEqual(made.labels);
    expect(c3d.points.unit).toBe('mm');
    expect(c3d.analog).toMatchObject({ channels: 26, samplesPerFrame: 2, rateHz: 100 });
  });

  test('points, residuals and cameras as written by another program; a missing point is NaN', () => {
    const { count, position, residual, cameras } = c3d.points;
    made.cases.forEach(({ label, xyz_mm, residual_mm, cameras: seenBy }, point) => {
      for (let frame = 0; frame < c3d.frames; frame++) {
        const sample = frame * count + point;
        const found = [...position.slice(3 * sample, 3 * sample + 3)];
        const expected = xyz_mm[frame];
        if (expected === null) {
          expect([...found, residual[sample], cameras[sample]]).toEqual([NaN, NaN, NaN, NaN, 0]);
          continue;
        }
        found.forEach((value, k) => {
          expectClose(value, expected[k], tolerance.point_mm, `${label}, frame ${frame}, axis ${k}`);
        });
        expectClose(residual[sample], residual_mm[frame]!, tolerance.residual_mm, `${label}, residual`);
        expect(cameras[sample]).toBe(seenBy[frame]);
      }
    });
  });

  test('every analog channel in its own unit: (stored − offset) · scale · general scale', () => {
    for (let channel = 0; channel < c3d.analog.channels; channel++) {
      const found = channelValues(c3d.analog, channel);
      made.analog_values.forEach((row, sample) => {
        // Relative: the scale is a float32.
        expectClose(found[sample], row[channel], tolerance.analog * (1 + Math.abs(row[channel])), `channel ${channel}`);
      });
    }
  });

  test('events of the EVENT group from frame 1 of the trial, of the header from the first frame of the file', () => {
    // The file begins at frame 11 of 50 Hz: 0.2 s after frame 1.
    expect(c3d.events.map(({ label, context }) => [label, context])).toEqual([
      ['bottom', 'Left'],
      ['top', 'General'],
    ]);
    expectClose(c3d.events[0].timeS, 0.05, 1e-7, 'bottom');
    expectClose(c3d.events[1].timeS, 0.1, 1e-7, 'top');
    expect(c3d.headerEvents.map(({ label }) => label)).toEqual(['RHS']);
    expectClose(c3d.headerEvents[0].timeS, 0.04, 1e-8, 'RHS');
  });
});

test('the six encodings hold the same trial to the last bit', () => {
  const [first, ...others] = ENCODINGS.map((encoding) => parseC3d(encoding, madeBytes(encoding)));
  for (const other of others) {
    expect(other.points.position).toEqual(first.points.position);
    expect(other.points.residual).toEqual(first.points.residual);
    expect(other.analog.stored).toEqual(first.analog.stored);
    expect(other.analog.scale).toEqual(first.analog.scale);
  }
});

test('DEC floating-point numbers: published patterns', () => {
  // VAX Architecture Handbook, F_floating: 1.0 = 0x00004080 (high word 0x4080), from memory; largest 2^127 (1 − 2^−24).
  expect(decFloat(0x4080, 0)).toBe(1);
  expect(decFloat(0xc080, 0)).toBe(-1);
  expect(decFloat(0x4149, 0x0fdb)).toBe(Math.fround(Math.PI));
  expect(decFloat(0x7fff, 0xffff)).toBe(2 ** 127 * (1 - 2 ** -24));
  expect(decFloat(0x0080, 0)).toBe(2 ** -128);
  expect(decFloat(0, 0)).toBe(0);
  expect(decFloat(0x8000, 0)).toBeNaN();
});
