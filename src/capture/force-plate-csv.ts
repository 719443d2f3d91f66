import {
  forcePlateDownward,
  forcePlateTime,
  forcePlateTooFar,
  forcePlateTooStrong,
  forcePlateUnit,
  forcePlateUnloaded,
} from '../messages/capture.ts';
import { axisIndex, LAB_AXES, labFromFile, metresPer, turnTriplesInPlace } from './axes.ts';
import { type CsvTable, checkColumns, numberColumn, parseCsv } from './csv.ts';
import { type InputLedger, readText } from './input-file.ts';
import type { ForcePlateSource, ForcePlateTrack, LengthUnit } from './recording.ts';

/** Vertical force below which a force plate counts as not loaded, newtons: common practice, no source. */
export const LOADED_N = 20;

/** Most that a sample may be off its due time, in samples: one lost sample is found, rounding is not (common practice, no source). */
export const MOST_LATE_SAMPLES = 0.9;

/** Largest force of a lifter on the ground, newtons: five tonnes (common practice, no source). */
export const MOST_FORCE_N = 50_000;

/** Farthest centre of pressure from the origin, metres; millimetres given as metres lie beyond (common practice, no source). */
export const FARTHEST_COP_M = 20;

const FORCES = ['fx_n', 'fy_n', 'fz_n'] as const;

/**
 * Reads `time_s,fx_n,fy_n,fz_n,copx_<unit>,copy_<unit>,copz_<unit>[,free_moment_nm]`: force on the body in newtons, centre
 * of pressure in the file's unit, both turned by the file's axes. The column of the vertical centre of pressure may be
 * left out: then it is 0, the height of the file's origin. Centre of pressure is NaN
 * below LOADED_N of vertical force, and where any of its cells is empty.
 */
export function readForcePlate(source: ForcePlateSource, ledger: InputLedger | null): ForcePlateTrack {
  const axes = source.axes ?? LAB_AXES;
  const cop = ['x', 'y', 'z'].map((axis) => `cop${axis}_${source.unit}`);
  const vertical = cop[axisIndex(axes.up)];
  const table = parseCsv(source.file, readText(source.file, ledger));
  checkUnit(table, source);
  const columns = {
    required: ['time_s', ...FORCES, ...cop.filter((name) => name !== vertical)],
    optional: [vertical, 'free_moment_nm'],
  };
  checkColumns(table, columns);
  const timeS = numberColumn(table, 'time_s', 'refused');
  checkTime(table, timeS, source.frameRateHz);
  const turn = labFromFile(axes);
  const force = interleave(FORCES.map((name) => numberColumn(table, name, 'refused')));
  turnTriplesInPlace(force, turn, 1);
  const centreOfPressure = interleave(
    cop.map((name) =>
      table.header.includes(name) ? numberColumn(table, name, 'is NaN') : new Float64Array(table.rows),
    ),
  );
  turnTriplesInPlace(centreOfPressure, turn, metresPer(source.unit));
  checkForce(table, force);
  blankUnloaded(source.file, force, centreOfPressure);
  checkCentreOfPressure(table, centreOfPressure, source.unit);
  const hasFreeMoment = table.header.includes('free_moment_nm');
  return {
    file: source.file,
    foot: source.foot,
    frameRateHz: source.frameRateHz,
    samples: table.rows,
    timeS: timeS.map((t) => t + source.offsetS),
    force,
    centreOfPressure,
    freeMoment: hasFreeMoment ? numberColumn(table, 'free_moment_nm', 'refused') : new Float64Array(table.rows),
    hasFreeMoment,
  };
}

/** The unit is written twice, in the recording and in the column names: they must agree. */
function checkUnit(table: CsvTable, source: ForcePlateSource): void {
  const written = (unit: LengthUnit) => ['x', 'y', 'z'].some((axis) => table.header.includes(`cop${axis}_${unit}`));
  if (written(source.unit)) return;
  const unit = (['m', 'cm', 'mm'] satisfies LengthUnit[]).find(written);
  if (unit) throw forcePlateUnit(source.file, unit, source.unit);
}

/** Every time near `first + i / rate`: a wrong rate, a lost sample or a clock that runs back is found. */
function checkTime(table: CsvTable, timeS: Float64Array, rateHz: number): void {
  for (let i = 1; i < timeS.length; i++) {
    const due = timeS[0] + i / rateHz;
    const late = Math.abs(timeS[i] - due) > MOST_LATE_SAMPLES / rateHz;
    if (late || timeS[i] <= timeS[i - 1]) {
      throw forcePlateTime(table.file, table.lines[i], timeS[i], due, rateHz, MOST_LATE_SAMPLES);
    }
  }
}

function interleave(columns: readonly Float64Array[]): Float64Array {
  const count = columns[0].length;
  const out = new Float64Array(3 * count);
  for (let i = 0; i < count; i++) for (let k = 0; k < 3; k++) out[3 * i + k] = columns[k][i];
  return out;
}

function checkForce(table: CsvTable, force: Float64Array): void {
  for (let i = 0; i < force.length; i += 3) {
    const size = Math.hypot(force[i], force[i + 1], force[i + 2]);
    if (size > MOST_FORCE_N) throw forcePlateTooStrong(table.file, table.lines[i / 3], size, MOST_FORCE_N);
  }
}

/** Under load only: below it the place is noise, and already blank. */
function checkCentreOfPressure(table: CsvTable, centreOfPressure: Float64Array, unit: LengthUnit): void {
  for (let i = 0; i < centreOfPressure.length; i += 3) {
    const distance = Math.hypot(centreOfPressure[i], centreOfPressure[i + 1], centreOfPressure[i + 2]);
    if (distance > FARTHEST_COP_M)
      throw forcePlateTooFar(table.file, table.lines[i / 3], distance, FARTHEST_COP_M, unit);
  }
}

function blankUnloaded(file: string, force: Float64Array, centreOfPressure: Float64Array): void {
  let up = 0;
  let down = 0;
  let largest = 0;
  for (let i = 0; i < force.length; i += 3) {
    const vertical = force[i + 1];
    largest = Math.max(largest, Math.abs(vertical));
    if (vertical >= LOADED_N) up++;
    else {
      if (vertical <= -LOADED_N) down++;
      centreOfPressure.fill(Number.NaN, i, i + 3);
    }
  }
  if (down > up) throw forcePlateDownward(file, down, up + down);
  if (up === 0) throw forcePlateUnloaded(file, largest, LOADED_N);
}
