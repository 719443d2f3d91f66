import type { C3dEvent } from '../capture/c3d/c3d-file.ts';
import { type NumberSeries, newC3d, type PointSeries } from '../capture/c3d/new-c3d.ts';
import { writeC3d } from '../capture/c3d/write-c3d.ts';
import type { LiftRecord, Repetition } from '../lift/lift-record.ts';
import { columnName } from '../lift/quantities.ts';
import { c3dDescriptions } from '../messages/c3d.ts';
import { FRAME_QUANTITIES } from '../study/frame-quantities.ts';
import type { SpatialTables } from '../study/moments-table.ts';
import { toolVersion } from './package-files.ts';

/** File name of the C3D beside the tables. */
export const LIFT_C3D = 'lift.c3d';

/** Quantities of frames.csv that go along, by the unit of their column, and that unit as C3D files write it. */
const UNITS: Readonly<Record<string, string>> = { nm: 'Nm', n: 'N' };

/** A series for the C3D file: one number a frame, NaN where unknown. */
export interface OutputChannel {
  readonly name: string;
  /** As C3D files write it. */
  readonly unit: string;
  readonly description: string;
  readonly values: Float64Array;
}

/**
 * The lift as a C3D file in the lab frame (X forward, Y up, Z to the right), lengths in mm: the points that were analysed,
 * centre of mass and measured centre of pressure as points; moments and floor forces, as they stand in frames.csv, as analog
 * channels with their own unit, one sample a frame. The format knows two kinds of data, places in space and numbers with a
 * unit (c3d.org, "Physical Measurements"), and a moment is no place.
 */
export function liftC3d(record: LiftRecord, more: readonly OutputChannel[] = []): Uint8Array {
  const { frames, frameRateHz } = record.loads;
  return writeC3d(
    newC3d({
      frames,
      frameRateHz,
      unit: 'mm',
      points: outputPoints(record),
      numbers: [...outputChannels(record), ...more].flatMap((channel) => numbersOf(channel)),
      events: record.repetitions.flatMap((repetition) => eventsOf(repetition, frameRateHz)),
      screen: ['+X', '+Y'],
      software: ['Kneeward', toolVersion()],
    }),
  );
}

function outputPoints({ loads }: LiftRecord): PointSeries[] {
  const { landmarks, position } = loads.motion.trajectories;
  const tracked = landmarks.map((name, column): PointSeries => {
    const values = new Float64Array(3 * loads.frames);
    for (let frame = 0; frame < loads.frames; frame++) {
      for (let k = 0; k < 3; k++) {
        values[3 * frame + k] = 1000 * position[3 * (frame * landmarks.length + column) + k];
      }
    }
    return { label: name, description: c3dDescriptions.landmark(name), values };
  });
  const more: readonly (readonly [string, string, Float64Array | null])[] = [
    ['com', c3dDescriptions.centreOfMass, loads.centreOfMass],
    ['body_com', c3dDescriptions.bodyCentreOfMass, loads.bodyCentreOfMass],
    ['measured_cop', c3dDescriptions.measuredCentreOfPressure, loads.measuredCentreOfPressure],
  ];
  const whole = more.flatMap(([label, description, values]): PointSeries[] =>
    values === null ? [] : [{ label, description, values: values.map((metres) => 1000 * metres) }],
  );
  return [...tracked, ...whole];
}

/** Every quantity of frames.csv in N·m or N that is known in some frame; sign and axis are those of the data dictionary. */
export function outputChannels(record: LiftRecord): OutputChannel[] {
  return record.quantities.flatMap(({ quantity, side, unit, values }) => {
    if (UNITS[unit] === undefined || !values.some(Number.isFinite)) return [];
    const definition = FRAME_QUANTITIES.find((entry) => entry.quantity === quantity)?.definition ?? '';
    const name = columnName({ quantity, side, unit: '' });
    return [{ name, unit: UNITS[unit], description: c3dDescriptions.channel(definition), values }];
  });
}

/**
 * The columns of moments.csv that are known in some frame, with axis and sign from moment-axes.csv. The unit of the column is
 * part of its name where it is not N·m.
 */
export function spatialChannels({ moments, axes }: SpatialTables): OutputChannel[] {
  const rows = axes.objects({ limit: Infinity }) as { column: string; axis: string; positive: string; unit: string }[];
  return rows.flatMap(({ column, axis, positive, unit }) => {
    const values = Float64Array.from(moments.array(column) as ArrayLike<number>);
    if (!values.some(Number.isFinite)) return [];
    const inNm = unit === 'N·m';
    const name = inNm ? column.replace(/_nm$/, '') : column;
    return [
      { name, unit: inNm ? UNITS.nm : '', description: `About ${axis}. Positive: ${positive}. ${unit}.`, values },
    ];
  });
}

/** The format has no missing number: where one is unknown it is 0, and a channel `…_known` (1 or 0) says so. */
function numbersOf({ name, unit, description, values }: OutputChannel): NumberSeries[] {
  const known = values.map((value) => (Number.isFinite(value) ? 1 : 0));
  const series: NumberSeries = {
    label: name,
    unit,
    description,
    values: values.map((value, frame) => (known[frame] === 1 ? value : 0)),
  };
  if (known.every((one) => one === 1)) return [series];
  return [series, { label: `${name}_known`, unit: '', description: c3dDescriptions.known(name), values: known }];
}

function eventsOf({ number, descent, ascent, topFrame, bottomFrame }: Repetition, frameRateHz: number): C3dEvent[] {
  const event = (label: string, frame: number): C3dEvent => ({
    label: `${label} ${number}`,
    context: 'General',
    timeS: frame / frameRateHz,
  });
  return [
    event('top', topFrame),
    event('bottom', bottomFrame),
    ...(descent ? [event('descent', descent.from)] : []),
    ...(ascent ? [event('ascent', ascent.from)] : []),
  ].sort((a, b) => a.timeS - b.timeS);
}
