import type { C3dEvent, C3dGroup } from './c3d-file.ts';
import { floatParameter, integerParameter, listParameters, textParameters } from './make-parameters.ts';
import type { C3dContent } from './write-c3d.ts';

/** A trajectory: a place in space, in the file's unit of length. */
export interface PointSeries {
  readonly label: string;
  readonly description: string;
  /** `3 * frame`; NaN where not known. */
  readonly values: ArrayLike<number>;
  /** Of the measurement, file unit, `frame`; left out: 0, the format's word for processed points. */
  readonly residual?: ArrayLike<number>;
}

/** A number a frame, with a unit of its own. */
export interface NumberSeries {
  readonly label: string;
  readonly description: string;
  /** At most four letters are usual, for instance 'Nm', 'N'. */
  readonly unit: string;
  /** `frame`; all finite: the format has no word for a missing number. */
  readonly values: ArrayLike<number>;
}

export interface NewC3d {
  readonly frameRateHz: number;
  readonly frames: number;
  /** Unit of every length. The format expects mm. */
  readonly unit: 'mm' | 'cm' | 'm';
  readonly points: readonly PointSeries[];
  readonly numbers: readonly NumberSeries[];
  readonly events: readonly C3dEvent[];
  /** Axes of the file a viewer should draw to the right and upward, for instance '+X' and '+Y'. */
  readonly screen: readonly [right: string, up: string];
  /** Name and version of the writing program. */
  readonly software: readonly [name: string, version: string];
}

/** Largest 16-bit number a coordinate becomes where somebody stores the file as integers (c3d.org, "Integer 3D data"). */
const INTEGER_RANGE = 32000;
const EVENT_CONTEXT = 'General';

/** Groups and arrays of a new C3D file; `writeC3d` makes its bytes. Numbers are analog channels, one sample a frame. */
export function newC3d(made: NewC3d): C3dContent {
  const { frames, points, numbers, frameRateHz } = made;
  const count = points.length;
  const position = new Float32Array(3 * frames * count);
  const residual = new Float32Array(frames * count);
  let largest = 0;
  points.forEach(({ values, residual: given }, point) => {
    for (let frame = 0; frame < frames; frame++) {
      const sample = frame * count + point;
      let known = true;
      for (let k = 0; k < 3; k++) {
        const value = values[3 * frame + k];
        position[3 * sample + k] = value;
        known &&= Number.isFinite(position[3 * sample + k]);
        if (known) largest = Math.max(largest, Math.abs(value));
      }
      residual[sample] = known ? (given?.[frame] ?? 0) : Number.NaN;
    }
  });
  const stored = new Float32Array(frames * numbers.length);
  numbers.forEach(({ values }, channel) => {
    for (let frame = 0; frame < frames; frame++) stored[frame * numbers.length + channel] = values[frame];
  });
  const channels = numbers.length;
  return {
    frameRateHz,
    frames,
    firstFrame: 1,
    filledGapFrames: 0,
    points: {
      count,
      labels: points.map(({ label }) => label),
      unit: made.unit,
      scale: Math.fround(largest > 0 ? largest / INTEGER_RANGE : 1 / INTEGER_RANGE),
      position,
      residual,
      cameras: new Uint8Array(frames * count),
    },
    analog: {
      channels,
      samplesPerFrame: channels > 0 ? 1 : 0,
      rateHz: channels > 0 ? frameRateHz : 0,
      labels: numbers.map(({ label }) => label),
      units: numbers.map(({ unit }) => unit),
      stored,
      offset: new Float64Array(channels),
      scale: new Float64Array(channels).fill(1),
      generalScale: 1,
    },
    headerEvents: [],
    groups: groupsOf(made),
  };
}

function groupsOf({ points, numbers, unit, events, screen, software }: NewC3d): C3dGroup[] {
  const group = (name: string, description: string, parameters: C3dGroup['parameters']): C3dGroup => ({
    name,
    description,
    locked: false,
    parameters,
  });
  const names = <T extends { label: string; description: string }>(series: readonly T[]) => [
    ...textParameters(
      'LABELS',
      'Names',
      series.map(({ label }) => label),
    ),
    ...textParameters(
      'DESCRIPTIONS',
      'What each is',
      series.map(({ description }) => description),
    ),
  ];
  const one = (value: number) => numbers.map(() => value);
  return [
    group('POINT', 'Trajectories', [
      ...names(points),
      ...textParameters('UNITS', 'Unit of every length in this file', [unit]),
      ...textParameters('X_SCREEN', 'Axis drawn to the right', [screen[0]]),
      ...textParameters('Y_SCREEN', 'Axis drawn upward', [screen[1]]),
    ]),
    group('ANALOG', 'Numbers, one sample a frame', [
      ...names(numbers),
      ...textParameters(
        'UNITS',
        'Unit of each channel',
        numbers.map((series) => series.unit),
      ),
      floatParameter('GEN_SCALE', 'Factor of all channels', 1),
      ...listParameters('float', 'SCALE', 'Factor of each channel', one(1)),
      ...listParameters('integer', 'OFFSET', 'Taken off each channel before it is scaled', one(0)),
      ...textParameters('FORMAT', 'Stored numbers are signed', ['SIGNED']),
    ]),
    group('FORCE_PLATFORM', 'None', [
      integerParameter('USED', 'Number of force plates', 0),
      listParameters('integer', 'TYPE', '', [])[0],
      listParameters('integer', 'ZERO', 'No frames', [0, 0])[0],
    ]),
    ...(events.length > 0 ? [eventGroup(events, group)] : []),
    group('MANUFACTURER', 'Writing program', [
      ...textParameters('SOFTWARE', 'Program', [software[0]]),
      ...textParameters('VERSION_LABEL', 'Its version', [software[1]]),
    ]),
  ];
}

function eventGroup(
  events: readonly C3dEvent[],
  group: (name: string, description: string, parameters: C3dGroup['parameters']) => C3dGroup,
): C3dGroup {
  return group('EVENT', 'Moments of the lift', [
    integerParameter('USED', 'Number of events', events.length),
    ...textParameters(
      'CONTEXTS',
      'Side',
      events.map(({ context }) => context || EVENT_CONTEXT),
    ),
    ...textParameters(
      'LABELS',
      'What happens',
      events.map(({ label }) => label),
    ),
    timesParameter(events.map(({ timeS }) => timeS)),
  ]);
}

/** Whole minutes and seconds, 2 × n. */
function timesParameter(timesS: readonly number[]) {
  const parameter = floatParameter('TIMES', 'Minutes and seconds from the first frame', 0, 0);
  const values = Float64Array.from(
    timesS.flatMap((timeS) => [Math.floor(timeS / 60), timeS - 60 * Math.floor(timeS / 60)]),
  );
  return { ...parameter, dimensions: [2, timesS.length], values };
}
