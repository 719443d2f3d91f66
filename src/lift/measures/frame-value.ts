import type { PointSeries } from '../../body/point-series.ts';
import type { Landmark } from '../../capture/landmarks.ts';
import { edgeOfRecording, missing, needsLandmarks, noStickingPoint, phaseMissing } from '../../messages.ts';
import type { DepthCrossing } from '../depth.ts';
import { absentLandmarks } from '../landmark-points.ts';
import type { FrameRange, Repetition, Side } from '../lift-record.ts';
import type { Lift, MeasureReading } from './measure.ts';
import {
  driveCrossing,
  known,
  meanOfTwo,
  type Place,
  parallelCrossing,
  startFrame,
  unknown,
  wholeRange,
} from './readings.ts';

/** A number a frame made of points, worked out only at the frames that a measure looks at. */
export interface FrameValue {
  readonly side: Side | null;
  /** Why it can be known in no frame; '' where its points are there. */
  readonly lacking: string;
  /** NaN where a point is missing. */
  at(frame: number): number;
}

/** The number that points give; `i` is the index of the frame's x. */
export type OfPoints = (points: readonly PointSeries[], i: number) => number;

/** A value made of points: unknown where one of them is not in the recording, for the reason that its landmarks are not. */
export function frameValue(
  lift: Lift,
  side: Side | null,
  landmarks: readonly Landmark[],
  points: readonly (PointSeries | null)[],
  value: OfPoints,
): FrameValue {
  if (points.some((point) => point === null)) {
    return { side, lacking: needed(lift, landmarks), at: () => Number.NaN };
  }
  const known = points as readonly PointSeries[];
  return { side, lacking: '', at: (frame) => value(known, 3 * frame) };
}

function needed(lift: Lift, landmarks: readonly Landmark[]): string {
  const absent = absentLandmarks(lift, landmarks);
  // A joint that the body stage left out although its point was tracked: all that it is made of is named.
  return needsLandmarks(absent.length > 0 ? absent : landmarks);
}

/** A value of each leg or arm, and of both: their mean, or what `join` makes of the two; unknown where one is. */
export function valuesOfSides(
  lift: Lift,
  landmarks: (side: 'left' | 'right') => readonly Landmark[],
  points: (side: 'left' | 'right') => readonly (PointSeries | null)[],
  value: OfPoints,
  join: (left: number, right: number) => number = (left, right) => (left + right) / 2,
): readonly [both: FrameValue, left: FrameValue, right: FrameValue] {
  const left = frameValue(lift, 'left', landmarks('left'), points('left'), value);
  const right = frameValue(lift, 'right', landmarks('right'), points('right'), value);
  const lacking =
    left.lacking === '' && right.lacking === '' ? '' : needed(lift, [...landmarks('left'), ...landmarks('right')]);
  return [{ side: 'both', lacking, at: (frame) => join(left.at(frame), right.at(frame)) }, left, right];
}

/** The value at the named places of a repetition, as `readAt` reads frame quantities. Frames at edges are not known. */
export function readPlaces(
  lift: Lift,
  repetition: Repetition,
  value: FrameValue,
  places: readonly Place[],
): MeasureReading[] {
  return places.flatMap((place) => {
    switch (place) {
      case 'start':
        return [readFrame(lift, value, place, startFrame(repetition))];
      case 'bottom':
        return [readFrame(lift, value, place, repetition.bottomFrame)];
      case 'end':
        return [
          repetition.ascent
            ? readFrame(lift, value, place, repetition.ascent.to - 1)
            : unknown(place, value.side, value.lacking || phaseMissing('ascent')),
        ];
      case 'sticking point':
        return [
          repetition.stickingFrame < 0
            ? unknown(place, value.side, value.lacking || noStickingPoint())
            : readFrame(lift, value, place, repetition.stickingFrame),
        ];
      case 'drive':
        return [readCrossing(lift, value, place, driveCrossing(lift, repetition))];
      case 'parallel': {
        const down = readCrossing(lift, value, 'parallel descent', parallelCrossing(lift, repetition, 'descent'));
        const up = readCrossing(lift, value, 'parallel ascent', parallelCrossing(lift, repetition, 'ascent'));
        return [down, up, meanOfTwo(down, up)];
      }
      default:
        return [readExtreme(lift, value, place, place, wholeRange(repetition))];
    }
  });
}

export function readFrame(lift: Lift, value: FrameValue, at: string, frame: number): MeasureReading {
  if (value.lacking !== '') return unknown(at, value.side, value.lacking, frame);
  if (!(frame >= 0 && frame < lift.loads.frames)) return unknown(at, value.side, missing());
  if (lift.table.edge[frame] !== 0) return unknown(at, value.side, edgeOfRecording(), frame);
  const here = value.at(frame);
  return Number.isNaN(here) ? unknown(at, value.side, missing(), frame) : known(at, value.side, here, frame);
}

/** The value where a depth is passed: linear between frames, mean over crossings that differ by noise only. */
export function readCrossing(
  lift: Lift,
  value: FrameValue,
  at: string,
  { at: indices, reason }: DepthCrossing,
): MeasureReading {
  const frame = indices.length > 0 ? Math.round(indices[0]) : -1;
  if (value.lacking !== '') return unknown(at, value.side, value.lacking, frame);
  if (reason !== '') return unknown(at, value.side, reason, frame);
  const { edge } = lift.table;
  let sum = 0;
  for (const index of indices) {
    const f = Math.floor(index);
    const share = index - f;
    const next = share === 0 ? f : f + 1;
    if (edge[f] !== 0 || edge[next] !== 0) return unknown(at, value.side, edgeOfRecording(), frame);
    const here = value.at(f);
    sum += share === 0 ? here : here + share * (value.at(next) - here);
  }
  const mean = sum / indices.length;
  return Number.isNaN(mean) ? unknown(at, value.side, missing(), frame) : known(at, value.side, mean, frame);
}

/** The largest or smallest value within a range of frames, edges left out. */
export function readExtreme(
  lift: Lift,
  value: FrameValue,
  at: string,
  which: 'largest' | 'smallest',
  { from, to }: FrameRange,
): MeasureReading {
  if (value.lacking !== '') return unknown(at, value.side, value.lacking, from, to - 1);
  const { edge } = lift.table;
  const sign = which === 'largest' ? 1 : -1;
  let best = -1;
  let most = Number.NEGATIVE_INFINITY;
  for (let f = from; f < to; f++) {
    const here = edge[f] === 0 ? sign * value.at(f) : Number.NaN;
    if (here > most) {
      most = here;
      best = f;
    }
  }
  return best < 0 ? unknown(at, value.side, missing(), from, to - 1) : known(at, value.side, sign * most, best);
}
