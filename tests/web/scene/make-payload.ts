import type { ScenePayload, SceneRepetition } from '../../../src/web/scene/payload.ts';

export interface PayloadOptions {
  readonly frames?: number;
  /** Frames at which each repetition begins; each lasts 60 down and 40 up. */
  readonly starts?: readonly number[];
  /** Exponent of the course of the descent: another lifter sinks otherwise. */
  readonly course?: number;
  readonly dropM?: number;
  readonly seed?: number;
}

export const DOWN = 60;
export const UP = 40;

/** A drawn movement for tests of the scene: a height that sinks and rises, points that sway smoothly. No number in it is a measurement. */
export function makePayload(options: PayloadOptions = {}): ScenePayload {
  const { frames = 300, starts = [50, 180], course = 1, dropM = 0.5 } = options;
  const height = new Float32Array(frames).fill(0.9);
  for (const start of starts) {
    for (let i = 0; i < DOWN; i++) height[start + i] = 0.9 - dropM * (i / DOWN) ** course;
    for (let i = 0; i < UP; i++) height[start + DOWN + i] = 0.9 - dropM * (1 - i / UP) ** course;
  }
  const points = [
    'left_ear',
    'right_ear',
    'nose',
    'left_shoulder',
    'right_shoulder',
    'left_elbow',
    'right_elbow',
    'left_wrist',
    'right_wrist',
    'left_hip',
    'right_hip',
    'left_knee',
    'right_knee',
    'left_ankle',
    'right_ankle',
    'left_big_toe',
    'right_big_toe',
    'left_heel',
    'right_heel',
    'bar_left_end',
    'bar_right_end',
    'bar',
    'centre_of_mass',
    'centre_of_pressure',
  ];
  const position = new Float32Array(3 * frames * points.length);
  points.forEach((name, p) => {
    const z = name.startsWith('left') || name.includes('_left') ? -0.2 : name.includes('right') ? 0.2 : 0;
    const wide = name.startsWith('bar_') ? 5 : 1;
    for (let f = 0; f < frames; f++) {
      const at = 3 * (f * points.length + p);
      position[at] = 0.1 * Math.sin(0.02 * f + p) + (name.includes('toe') ? 0.2 : 0);
      position[at + 1] = name.includes('heel') || name.includes('toe') ? 0.02 : 0.3 * height[f] + 0.03 * p;
      position[at + 2] = wide * z;
    }
  });
  const series = (make: (f: number) => number) => Float32Array.from({ length: frames }, (_, f) => make(f));
  return {
    about: { recording: 'T01', lifter: '007', lift: 'Front squat, 80 kg', date: '2026-03-04', synthetic: true },
    frames,
    frameRateHz: 60,
    startS: 0,
    points,
    position,
    series: {
      hip_moment: series((f) => 500 * (0.9 - height[f])),
      knee_moment: series((f) => 380 * (0.9 - height[f]) - 20),
      thigh_elevation: series((f) => 80 - 180 * (0.9 - height[f])),
      trunk_lean: series((f) => 5 + 60 * (0.9 - height[f])),
      com_along_foot: series((f) => 0.45 + 0.02 * Math.sin(0.05 * f)),
      height,
      ground_force_x: series(() => 3),
      ground_force_y: series((f) => 1400 + 100 * Math.sin(0.1 * f)),
      ground_force_z: series(() => 0),
    },
    bar: { lengthM: 2.01, discs: { atM: 0.655, radiusM: 0.225 }, tracked: true },
    weightN: 143 * 9.80665,
    repetitions: starts.map(
      (start, i): SceneRepetition => ({
        number: i + 1,
        descent: [start, start + DOWN],
        ascent: [start + DOWN, start + DOWN + UP],
        top: start,
        bottom: start + DOWN,
        parallelDescent: start + 50,
        parallelAscent: start + 70,
        sticking: i === 0 ? start + 80 : -1,
      }),
    ),
    marks: [],
  };
}

/** The payload with a point unknown over [from, to). */
export function withoutPoint(payload: ScenePayload, name: string, from: number, to: number): ScenePayload {
  const position = payload.position.slice();
  const p = payload.points.indexOf(name);
  for (let f = from; f < to; f++) {
    const at = 3 * (f * payload.points.length + p);
    position.fill(Number.NaN, at, at + 3);
  }
  return { ...payload, position };
}
