import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { describe, expect, test } from '@jest/globals';
import { betweenEnds } from '../../src/body/placing.ts';
import type { ForcePlateTrack } from '../../src/capture/recording.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { median, rms } from '../../src/numerics/statistics.ts';
import { reference } from '../reference.ts';
import { makeMotion, NO_TURN } from './made-motion.ts';

interface SegmentCase {
  segment: 'thigh' | 'shank' | 'foot';
  massKg: number;
  inertiaKgM2: number;
  centreFraction: number;
}

const published = reference<SegmentCase>('mechanics-running-1khz') as unknown as {
  file: string;
  tolerance: { rmseNm: Record<'hip' | 'knee' | 'ankle', number>; medianNm: number };
  cases: SegmentCase[];
};

const [header, ...lines] = gunzipSync(readFileSync(new URL(`../references/${published.file}`, import.meta.url)))
  .toString()
  .trim()
  .split('\n');
const names = header.split(',');
const rows = lines.map((line) => line.split(',').map(Number));
const column = (name: string) => Float64Array.from(rows, (row) => row[names.indexOf(name)]);
const point = (name: string) => {
  const [x, y] = [column(`${name}_x_m`), column(`${name}_y_m`)];
  return Float64Array.from({ length: 3 * x.length }, (_, i) => [x, y, null][i % 3]?.[Math.floor(i / 3)] ?? 0);
};

/** The planar leg as the right leg in the plane z = 0, its ground force as a force plate under the right foot. */
function loads() {
  const frames = rows.length;
  const joints = { right_hip: point('hip'), right_knee: point('knee'), right_ankle: point('ankle') };
  const ends = {
    thigh: [joints.right_hip, joints.right_knee],
    shank: [joints.right_knee, joints.right_ankle],
    foot: [joints.right_ankle, point('toe')],
  };
  const segments = published.cases.map(({ segment, massKg, inertiaKgM2, centreFraction }) => {
    const parameters = {
      massFraction: massKg,
      centreFraction,
      transverseRadiusFraction: 0,
      endPoints: '',
      from: 'hip',
      to: 'knee',
    } as const;
    const [from, to] = ends[segment];
    return { ...betweenEnds(`right_${segment}`, parameters, 1, from, to), transverseInertiaKgM2: inertiaKgM2 };
  });
  const [fx, fy, copX] = [column('fx_n'), column('fy_n'), column('cop_x_m')];
  const forcePlate: ForcePlateTrack = {
    file: published.file,
    foot: 'right',
    frameRateHz: 1000,
    samples: frames,
    timeS: column('time_s'),
    force: Float64Array.from({ length: 3 * frames }, (_, i) => [fx, fy, null][i % 3]?.[Math.floor(i / 3)] ?? 0),
    centreOfPressure: Float64Array.from({ length: 3 * frames }, (_, i) => (i % 3 === 0 ? copX[i / 3] : 0)),
    freeMoment: new Float64Array(frames),
    hasFreeMoment: false,
  };
  return jointLoads(makeMotion(frames, 1000, 70, segments, joints, false), [forcePlate], NO_TURN);
}

describe('running with true joint moments (A.J. van den Bogert, ISB data; CC BY 4.0 via the BMC lecture notes)', () => {
  const { fromBelow, primary } = loads();
  const right = fromBelow!.right!;
  // The data give the moment of the upper on the lower part; ours is of the lower on the upper, extensor positive.
  const sign = { hip: -1, knee: 1, ankle: -1 };

  test.each(['hip', 'knee', 'ankle'] as const)('%s', (joint) => {
    const truth = column(`m_${joint}_nm`);
    const errors = Array.from(right[joint].total, (moment, frame) => moment - sign[joint] * truth[frame]).slice(1, -1);
    expect(errors.length).toBe(599);
    expect(rms(errors)).toBeLessThanOrEqual(published.tolerance.rmseNm[joint]);
    expect(median(errors.map(Math.abs))).toBeLessThanOrEqual(published.tolerance.medianNm);
    // The tolerance is small against what is measured: a wrong sign or a lost segment cannot pass.
    expect(Math.max(...truth.map(Math.abs))).toBeGreaterThan(20 * published.tolerance.rmseNm[joint]);
  });

  test('one leg alone gives no moments of both, and the gravity part is not known', () => {
    expect(primary).toBe('none');
    expect(fromBelow!.both).toBeNull();
    expect(fromBelow!.left).toBeNull();
    expect(right.hip.gravity.every(Number.isNaN)).toBe(true);
  });
});
