import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { betweenEnds } from '../../src/body/placing.ts';
import type { ForcePlateTrack, SmoothingMethod } from '../../src/capture/recording.ts';
import type { LoadedJoint } from '../../src/mechanics/joint-loads.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { planStretches, smoothStretchesInPlace } from '../../src/reconstruction/stretches.ts';
import { makeMotion, NO_TURN } from '../mechanics/made-motion.ts';
import { reference } from '../reference.ts';

interface SegmentCase {
  segment: 'thigh' | 'shank' | 'foot';
  massKg: number;
  inertiaKgM2: number;
  centreFraction: number;
}

/** Every fifth frame of the published record: 200 Hz. */
const RATE_HZ = 200;
const STEP = 5;
const NOISE_M = 0.001;
/** Left out at both ends, frames: one memory at 10 Hz. */
const MARGIN = 20;

/** rms error of the moments in N·m over noise records, the published points with 1 mm of white noise, smoothed. */
export function runningErrors(
  method: SmoothingMethod,
  cutoffHz: number,
  records: number,
  seed: number,
): Record<LoadedJoint, number> {
  const published = reference<SegmentCase>('mechanics-running-1khz');
  const text = gunzipSync(readFileSync(new URL(`../references/${published.file}`, import.meta.url))).toString();
  const [header, ...lines] = text.trim().split('\n');
  const names = header.split(',');
  const rows = lines.map((line) => line.split(',').map(Number)).filter((_, k) => k % STEP === 0);
  const column = (name: string) => Float64Array.from(rows, (row) => row[names.indexOf(name)]);
  const frames = rows.length;
  const random = seededRandom(seed);
  const stretches = planStretches(method, new Uint8Array(frames), Float64Array.of(cutoffHz), frames, RATE_HZ);
  const point = (name: string) => {
    const series = new Float64Array(3 * frames);
    ['x', 'y'].forEach((axis, a) => {
      series.set(
        column(`${name}_${axis}_m`).map((x) => x + NOISE_M * random.normal()),
        a * frames,
      );
    });
    smoothStretchesInPlace(series, stretches, frames);
    return Float64Array.from({ length: 3 * frames }, (_, i) => series[(i % 3) * frames + Math.floor(i / 3)]);
  };
  const [fx, fy, copX] = ['fx_n', 'fy_n', 'cop_x_m'].map(column);
  const plane = (x: Float64Array, y: Float64Array | null) =>
    Float64Array.from({ length: 3 * frames }, (_, i) => [x, y, null][i % 3]?.[Math.floor(i / 3)] ?? 0);
  const forcePlate: ForcePlateTrack = {
    file: String(published.file),
    foot: 'right',
    frameRateHz: RATE_HZ,
    samples: frames,
    timeS: column('time_s'),
    force: plane(fx, fy),
    centreOfPressure: plane(copX, null),
    freeMoment: new Float64Array(frames),
    hasFreeMoment: false,
  };
  const squares = { hip: 0, knee: 0, ankle: 0 };
  for (let r = 0; r < records; r++) {
    const [hip, knee, ankle, toe] = ['hip', 'knee', 'ankle', 'toe'].map(point);
    const ends = { thigh: [hip, knee], shank: [knee, ankle], foot: [ankle, toe] };
    const segments = published.cases.map(({ segment, massKg, inertiaKgM2, centreFraction }) => {
      const parameters = {
        massFraction: massKg,
        centreFraction,
        transverseRadiusFraction: 0,
        endPoints: '',
        from: 'hip',
        to: 'knee',
      } as const;
      const placed = betweenEnds(`right_${segment}`, parameters, 1, ends[segment][0], ends[segment][1]);
      return { ...placed, transverseInertiaKgM2: inertiaKgM2 };
    });
    const joints = { right_hip: hip, right_knee: knee, right_ankle: ankle };
    const { fromBelow } = jointLoads(makeMotion(frames, RATE_HZ, 70, segments, joints, false), [forcePlate], NO_TURN);
    for (const [joint, sign] of [
      ['hip', -1],
      ['knee', 1],
      ['ankle', -1],
    ] as const) {
      const truth = column(`m_${joint}_nm`);
      const found = fromBelow!.right![joint].total;
      for (let k = MARGIN; k < frames - MARGIN; k++) squares[joint] += (found[k] - sign * truth[k]) ** 2;
    }
  }
  const rms = (sum: number) => Math.sqrt(sum / (records * (frames - 2 * MARGIN)));
  return { hip: rms(squares.hip), knee: rms(squares.knee), ankle: rms(squares.ankle) };
}
