import type { Landmark } from '../../../src/capture/landmarks.ts';
import type { Recording } from '../../../src/capture/recording.ts';
import { SampleStatus } from '../../../src/capture/sample-status.ts';
import { describeLift } from '../../../src/lift/describe-lift.ts';
import type { LiftRecord, MeasureValue, Side } from '../../../src/lift/lift-record.ts';
import type { JointLoads } from '../../../src/mechanics/joint-loads.ts';
import { LENGTH, makeRecording, type Posture, statics } from '../make-loads.ts';

export type Place = readonly [x: number, y: number, z: number];

/** Where a point is at each frame. */
export type Placed = Partial<Record<Landmark, (frame: number) => Place>>;

/** A hand-made lifter with further points, or with points put elsewhere; NaN = missing there. */
export function withPoints(loads: JointLoads, placed: Placed): JointLoads {
  const { trajectories } = loads.motion;
  const names = Object.keys(placed) as Landmark[];
  const landmarks = [...trajectories.landmarks.filter((name) => !names.includes(name)), ...names];
  const { frames } = loads;
  const position = new Float64Array(3 * frames * landmarks.length);
  landmarks.forEach((name, k) => {
    const before = trajectories.landmarks.indexOf(name);
    for (let f = 0; f < frames; f++) {
      const o = 3 * (f * trajectories.landmarks.length + before);
      position.set(placed[name]?.(f) ?? trajectories.position.subarray(o, o + 3), 3 * (f * landmarks.length + k));
    }
  });
  return {
    ...loads,
    motion: {
      ...loads.motion,
      trajectories: {
        ...trajectories,
        landmarks,
        position,
        status: new Uint8Array(frames * landmarks.length).fill(SampleStatus.seen),
        covariance: new Float64Array(6 * frames * landmarks.length).fill(Number.NaN),
        cutoffHz: new Float64Array(landmarks.length).fill(Number.NaN),
      },
    },
  };
}

/** The middle of the shoulders of a posture, from its angles. */
export function shoulderOf(p: Posture): readonly [x: number, y: number] {
  const { hipX, hipY } = statics(p);
  const lean = (p.trunk * Math.PI) / 180;
  return [hipX + LENGTH.trunk * Math.sin(lean), hipY + LENGTH.trunk * Math.cos(lean)];
}

/** Ends of a bar of 2 m with this middle; the right end this much higher and further ahead than the left one. */
export function barAt(middle: (frame: number) => readonly [number, number], higherM = 0, aheadM = 0): Placed {
  const end = (share: number) => (frame: number) => {
    const [x, y] = middle(frame);
    return [x + share * aheadM, y + share * higherM, 2 * share] as const;
  };
  return { bar_left_end: end(-0.5), bar_right_end: end(0.5) };
}

export function described(loads: JointLoads, recording: Recording = makeRecording()): LiftRecord {
  return describeLift(loads, recording, false);
}

/** The one value of a measure. */
export function measure(
  record: LiftRecord,
  name: string,
  at: string,
  side: Side | '' = '',
  repetition = 1,
): MeasureValue {
  const found = record.measures.filter(
    (m) => m.measure === name && m.at === at && m.side === side && m.repetition === repetition,
  );
  if (found.length !== 1) throw new Error(`${found.length} values of ${name} at ${at} side "${side}"`);
  return found[0];
}
