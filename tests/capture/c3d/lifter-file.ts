import type { C3dParameter } from '../../../src/capture/c3d/c3d-file.ts';
import { floatParameter, integerParameter, withParameters } from '../../../src/capture/c3d/make-parameters.ts';
import { newC3d, type PointSeries } from '../../../src/capture/c3d/new-c3d.ts';
import { writeC3d } from '../../../src/capture/c3d/write-c3d.ts';
import type { Landmark } from '../../../src/capture/landmarks.ts';
import { stickLifter } from '../stick-lifter.ts';

/** Labels that a lab might give the points of the stick lifter. */
export const LABELS: Readonly<Partial<Record<Landmark, string>>> = {
  nose: 'NOSE',
  left_ear: 'LEAR',
  right_ear: 'REAR',
  left_shoulder: 'LSHO',
  right_shoulder: 'RSHO',
  left_hip: 'LHIP',
  right_hip: 'RHIP',
  left_knee: 'LKNE',
  right_knee: 'RKNE',
  left_ankle: 'LANK',
  right_ankle: 'RANK',
  left_big_toe: 'LTOE',
  right_big_toe: 'RTOE',
  left_heel: 'LHEE',
  right_heel: 'RHEE',
};

/** What stands on each force plate, lab frame: N, metres, N·m. */
export function footLoad(side: 'left' | 'right', frame: number) {
  const z = side === 'left' ? -0.25 : 0.25;
  return {
    force: [5 * Math.sin(frame / 9), 380 + 30 * Math.sin(frame / 20), side === 'left' ? 12 : -12],
    place: [0.06 + 0.02 * Math.cos(frame / 15), 0, z],
    freeNm: 1.5 * Math.cos(frame / 11),
  };
}

interface LifterOptions {
  readonly frames?: number;
  readonly unit?: 'mm' | 'm';
  /** Frames in which LKNE is missing. */
  readonly missing?: readonly number[];
  /** −1: the file holds the force on the force plate. */
  readonly forceSign?: 1 | -1;
  /** Added to every force channel, N, from the first frame. */
  readonly offsetN?: number;
  /** Frames at the start in which nothing stands on the force plates. */
  readonly emptyFrames?: number;
}

/** Lab (X forward, Y up, Z right) to a file whose forward is −y and whose up is +z. */
const inFile = ([x, y, z]: readonly number[]): number[] => [-z, -x, y];

/** The stick lifter at 100 Hz as a C3D file (forward −y, up +z), one squat, a force plate of type 2 under each foot (1 left, 2 right). */
export function lifterC3d(options: LifterOptions = {}): Uint8Array {
  const { frames = 300, unit = 'mm', missing = [], forceSign = 1, offsetN = 0, emptyFrames = 0 } = options;
  const stick = stickLifter(frames);
  const scale = unit === 'mm' ? 1000 : 1;
  const points = stick.landmarks.map((landmark, column): PointSeries => {
    const values = new Float64Array(3 * frames);
    for (let frame = 0; frame < frames; frame++) {
      const at = 3 * (frame * stick.landmarks.length + column);
      const gone = landmark === 'left_knee' && missing.includes(frame);
      const place = inFile([...stick.position.slice(at, at + 3)]).map((metres) => (gone ? Number.NaN : scale * metres));
      values.set(place, 3 * frame);
    }
    return { label: LABELS[landmark]!, description: '', values };
  });
  // Two points of the lab that are no landmark.
  for (const label of ['CAL1', 'CAL1'])
    points.push({ label, description: '', values: new Float64Array(3 * frames).fill(scale) });
  const numbers = (['left', 'right'] as const).flatMap((side) =>
    ['Fx', 'Fy', 'Fz', 'Mx', 'My', 'Mz'].map((name, k) => ({
      label: `${name}${side === 'left' ? 1 : 2}`,
      description: '',
      unit: k < 3 ? 'N' : unit === 'mm' ? 'Nmm' : 'Nm',
      values: Float64Array.from({ length: frames }, (_, frame) => {
        const loaded = frame < emptyFrames ? 0 : forceSign * channelsOf(side, frame)[k] * (k < 3 ? 1 : scale);
        return loaded + (k < 3 ? offsetN : 0);
      }),
    })),
  );
  const made = newC3d({
    frames,
    frameRateHz: 100,
    unit,
    points,
    numbers,
    events: [],
    screen: ['-Y', '+Z'],
    software: ['made', '1'],
  });
  const corners = [-1, 1].flatMap((side) => cornersOf(side).map((metres) => scale * metres));
  const list = (parameter: C3dParameter, dimensions: number[]) => ({ ...parameter, dimensions });
  return writeC3d({
    ...made,
    groups: withParameters(made.groups, 'FORCE_PLATFORM', [
      integerParameter('USED', '', 2),
      integerParameter('TYPE', '', 2, 2),
      list(floatParameter('CORNERS', '', ...corners), [3, 4, 2]),
      list(floatParameter('ORIGIN', '', 0, 0, 0, 0, 0, 0), [3, 2]),
      list(integerParameter('CHANNEL', '', 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12), [6, 2]),
      integerParameter('ZERO', '', 1, 10),
    ]),
  });
}

/** Half a metre square under each foot; x of the plate along x of the file, y along −y, z down. */
function cornersOf(side: number): number[] {
  const x = -0.25 * side;
  const corner = (sx: number, sy: number) => [x + 0.25 * sx, -0.25 * sy, 0];
  return [corner(1, 1), corner(-1, 1), corner(-1, -1), corner(1, -1)].flat();
}

/** Fx Fy Fz, Mx My Mz about the middle of the surface, plate axes, N and N·m. */
function channelsOf(side: 'left' | 'right', frame: number): number[] {
  const { force, place, freeNm } = footLoad(side, frame);
  const middle = [0, 0, side === 'left' ? -0.25 : 0.25];
  const r = inFile(place.map((value, k) => value - middle[k]));
  const f = inFile(force);
  const moment = [r[1] * f[2] - r[2] * f[1], r[2] * f[0] - r[0] * f[2], r[0] * f[1] - r[1] * f[0] + freeNm];
  return [f[0], -f[1], -f[2], moment[0], -moment[1], -moment[2]];
}
