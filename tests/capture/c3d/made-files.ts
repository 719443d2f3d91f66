import { readFileSync } from 'node:fs';
import type { C3dFile, C3dParameter } from '../../../src/capture/c3d/c3d-file.ts';

/** The committed files of one invented trial, in the six encodings of the format; made by tests/generators/c3d_files.py. */
export const ENCODINGS = ['intel', 'dec', 'mips'].flatMap((processor) => [
  `${processor}-integer`,
  `${processor}-float`,
]);

export function madeBytes(encoding: string): Uint8Array {
  return new Uint8Array(readFileSync(new URL(`./files/${encoding}.c3d`, import.meta.url)));
}

/** A C3D file in memory with one force plate on channels 1 to n, its x and y along those of the file but z down. */
export function oneForcePlate(
  type: number,
  counts: readonly (readonly number[])[],
  scale: readonly number[],
  more: {
    readonly offset?: number;
    readonly units?: readonly string[];
    readonly matrix?: readonly number[];
    readonly origin?: readonly number[];
    readonly zero?: readonly number[];
    readonly corners?: readonly number[];
  } = {},
): C3dFile {
  const channels = scale.length;
  const samples = counts.length;
  const numbers = (name: string, dimensions: number[], values: readonly number[]): C3dParameter => ({
    name,
    description: '',
    locked: false,
    kind: 'float',
    dimensions,
    values: Float64Array.from(values),
    text: [],
  });
  return {
    file: 'made.c3d',
    processor: 'Intel',
    storage: 'float',
    frameRateHz: 100,
    frames: samples,
    firstFrame: 1,
    filledGapFrames: 0,
    points: {
      count: 0,
      labels: [],
      unit: 'mm',
      scale: 0.1,
      position: new Float32Array(0),
      residual: new Float32Array(0),
      cameras: new Uint8Array(0),
    },
    analog: {
      channels,
      samplesPerFrame: 1,
      rateHz: 100,
      labels: scale.map((_, k) => `CH${k + 1}`),
      units: more.units ?? scale.map(() => ''),
      stored: Float32Array.from(counts.flat()),
      offset: new Float64Array(channels).fill(more.offset ?? 0),
      scale: Float64Array.from(scale),
      generalScale: 1,
    },
    events: [],
    headerEvents: [],
    groups: [
      {
        name: 'FORCE_PLATFORM',
        description: '',
        locked: false,
        parameters: [
          numbers('USED', [], [1]),
          numbers('TYPE', [1], [type]),
          // +x+y, −x+y, −x−y, +x−y of the plate, whose y is −y of the file.
          numbers('CORNERS', [3, 4, 1], more.corners ?? [200, -300, 0, -200, -300, 0, -200, 300, 0, 200, 300, 0]),
          numbers('ORIGIN', [3, 1], more.origin ?? [0, 0, 0]),
          numbers(
            'CHANNEL',
            [channels, 1],
            scale.map((_, k) => k + 1),
          ),
          numbers('ZERO', [2], more.zero ?? [0, 0]),
          ...(more.matrix ? [numbers('CAL_MATRIX', [6, 6, 1], more.matrix)] : []),
        ],
      },
    ],
  };
}
