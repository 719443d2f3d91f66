import { describe, expect, test } from '@jest/globals';
import { lengthsInto, lengthWeights } from '../../../src/body/skeleton/lengths.ts';
import { projectFramesInto, projectionRoom } from '../../../src/body/skeleton/project-frames.ts';
import { rodSystem } from '../../../src/body/skeleton/rods.ts';
import type { Landmark } from '../../../src/capture/landmarks.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';
import { recordingWith } from './made-recording.ts';

interface ScipyCase {
  readonly case: string;
  readonly points: readonly (readonly number[])[];
  readonly covariance: readonly (readonly number[])[];
  readonly lengths: readonly number[];
  readonly fitted: readonly (readonly number[])[];
  readonly cost: number;
  readonly largestWayM: number;
}

const table = reference<ScipyCase>('body-skeleton-scipy');
const landmarks = table.landmarks as readonly Landmark[];
const rods = table.rods as readonly (readonly [number, number])[];

/** The case's lengths in the order of the system's rods. */
function lengthsOf(system: ReturnType<typeof rodSystem>, lengths: readonly number[]): Float64Array {
  return Float64Array.from(system.rods, (_, i) => {
    const found = rods.findIndex(
      ([a, b]) => (a === system.from[i] && b === system.to[i]) || (b === system.from[i] && a === system.to[i]),
    );
    return lengths[found];
  });
}

describe('one frame', () => {
  test.each(table.cases)('$case: the nearest place with these lengths, as SciPy finds it', (one) => {
    const position = Float64Array.from(one.points.flat());
    const system = rodSystem(landmarks, position, 1);
    expect(system.rods).toHaveLength(rods.length);
    const lengths = lengthsOf(system, one.lengths);
    const variance = Float64Array.from(one.covariance.flat());
    const misfit = { square: 0, rods: 0 };
    projectFramesInto(position, variance, 1, landmarks.length, lengths, system, 12, projectionRoom(system), misfit);
    one.fitted.flat().forEach((value, i) => {
      expectClose(position[i], value, table.tolerance * one.largestWayM, `coordinate ${i}`);
    });
    system.rods.forEach(({ segment }, i) => {
      const [a, b] = [3 * system.from[i], 3 * system.to[i]];
      const length = Math.hypot(
        position[b] - position[a],
        position[b + 1] - position[a + 1],
        position[b + 2] - position[a + 2],
      );
      // Where the projection stops (CLOSED_M).
      expectClose(length, lengths[i], 1e-10, segment);
    });
    // The misfit is the cost to first order in the way moved over the shortest limb, ankle to heel.
    expectClose(misfit.square / one.cost, 1, one.largestWayM / 0.07, 'misfit');
  });
});

describe('lengths', () => {
  test('one rod without a prior: the mean of its distances weighted by their variance along it', () => {
    const names: readonly Landmark[] = ['bar_left_end', 'bar_right_end'];
    const position = Float64Array.from([0, 1, -1, 0, 1, 1.01, 0, 1, -1, 0, 1, 0.99, 0, 1, -1, 0, 1, 1.03]);
    const sd = [0.01, 0.02, 0.03];
    const variance = Float64Array.from(sd.flatMap((s) => [9, 0, 0, 9, 0, s * s, 9, 0, 0, 9, 0, s * s]));
    const system = rodSystem(names, position, 3);
    const recording = recordingWith({
      load: { totalKg: 60, bar: { position: 'front rack', lengthM: null, massKg: null } },
    });
    const weights = lengthWeights(position, variance, 3, 2, system, recording, projectionRoom(system));
    const lengths = new Float64Array(1);
    lengthsInto(lengths, position, 3, 2, weights);
    const information = sd.map((s) => 1 / (2 * s * s));
    const sum = information.reduce((a, b) => a + b, 0);
    const mean = (2.01 * information[0] + 1.99 * information[1] + 2.03 * information[2]) / sum;
    expectClose(lengths[0], mean, 1e-14, 'length');
    expectClose(weights.sdM[0], 1 / Math.sqrt(sum), 1e-15, 'standard deviation');
  });

  test('one vague frame: the stated bar length, with its 30 mm, takes part by its information', () => {
    const names: readonly Landmark[] = ['bar_left_end', 'bar_right_end'];
    const position = Float64Array.from([0, 1, -1, 0, 1, 1.1]);
    const variance = new Float64Array(12);
    for (const at of [0, 6]) variance.set([1, 0, 0, 1, 0, 0.03 ** 2 / 2], at);
    const system = rodSystem(names, position, 1);
    const weights = lengthWeights(position, variance, 1, 2, system, recordingWith(), projectionRoom(system));
    const lengths = new Float64Array(1);
    lengthsInto(lengths, position, 1, 2, weights);
    // Measured 2.10 m and stated 2.01 m, each with a standard deviation of 30 mm: half-way.
    expectClose(lengths[0], 2.055, 1e-12, 'length');
    expectClose(weights.sdM[0], 0.03 / Math.SQRT2, 1e-12, 'standard deviation');
  });
});
