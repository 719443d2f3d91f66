import {
  forcePlateDownward,
  forcePlateTime,
  forcePlateTooFar,
  forcePlateTooStrong,
  forcePlateUnit,
  forcePlateUnloaded,
} from '../messages/capture.ts';
import {
  forcePlateCorners,
  forcePlateHeights,
  forcePlateNotes,
  forcePlateOff,
  forcePlateUnloadedLoaded,
  forcePlateUnloadedOutside,
} from '../messages/force-plates.ts';
import { median } from '../numerics/statistics.ts';
import { axisIndex, LAB_AXES, labFromFile, metresPer, turnTriplesInPlace } from './axes.ts';
import { type CsvTable, checkColumns, numberColumn, parseCsv } from './csv.ts';
import { type ForcePlateSurface, forcePlateSurface, metresOffSurface } from './force-plate-geometry.ts';
import {
  type ForceSamples,
  MOST_OFFSET_N,
  MOST_OFFSET_SD_N,
  type SampleRange,
  steadyOffset,
  takeOffOffset,
  verticalForceOf,
} from './force-plate-offset.ts';
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
 * left out: then it is the stated height of the surface, that of its corners, or 0, the height of the file's origin. Centre of pressure is NaN
 * below LOADED_N of vertical force, and where any of its cells is empty. An offset is taken off where the source names an
 * unloaded stretch; what a reader should know goes to `notes`.
 */
export function readForcePlate(
  source: ForcePlateSource,
  ledger: InputLedger | null,
  notes: string[] = [],
): ForcePlateTrack {
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
  const hasFreeMoment = table.header.includes('free_moment_nm');
  const freeMoment = hasFreeMoment ? numberColumn(table, 'free_moment_nm', 'refused') : new Float64Array(table.rows);
  const surface = surfaceOf(source, turn);
  if (!table.header.includes(vertical))
    placeAtHeight(centreOfPressure, source.surfaceHeightM ?? surface?.centre[1] ?? 0);
  settleOffset(source, timeS, { force, centreOfPressure, freeMoment }, notes);
  blankUnloaded(source.file, force, centreOfPressure);
  checkCentreOfPressure(table, centreOfPressure, source.unit);
  if (table.header.includes(vertical)) checkHeight(source, vertical, centreOfPressure);
  if (surface) checkOnSurface(source.file, surface, centreOfPressure, notes);
  return {
    file: source.file,
    foot: source.foot,
    frameRateHz: source.frameRateHz,
    samples: table.rows,
    timeS: timeS.map((t) => t + source.offsetS),
    force,
    centreOfPressure,
    freeMoment: hasFreeMoment ? freeMoment : new Float64Array(table.rows),
    hasFreeMoment,
    ...(surface && { surface }),
  };
}

/** Most that a surface may lean against the floor, degrees: more is an axis taken for another (common practice, no source). */
const MOST_SURFACE_LEAN_DEG = 10;

/** Longest side, metres: more is a wrong unit (common practice, no source). */
const LONGEST_SIDE_M = 5;

/** The surface in lab axes, metres; null where no corners are stated. */
function surfaceOf(source: ForcePlateSource, turn: Float64Array): ForcePlateSurface | null {
  if (!source.corners) return null;
  const corners = Float64Array.from(source.corners);
  turnTriplesInPlace(corners, turn, metresPer(source.unit));
  const surface = forcePlateSurface(corners);
  if (typeof surface === 'string') throw forcePlateCorners(source.file, surface);
  const longestM = 2 * Math.max(surface.halfX, surface.halfY);
  if (longestM > LONGEST_SIDE_M) {
    throw forcePlateCorners(
      source.file,
      `a side is ${Number(longestM.toPrecision(3))} m long, limit ${LONGEST_SIDE_M} m`,
    );
  }
  const leanDeg = (Math.acos(Math.min(1, Math.abs(surface.axes[5]))) * 180) / Math.PI;
  if (leanDeg > MOST_SURFACE_LEAN_DEG)
    throw forcePlateCorners(source.file, `they lean by ${leanDeg.toFixed(0)}°, limit ${MOST_SURFACE_LEAN_DEG}°`);
  return surface;
}

function placeAtHeight(centreOfPressure: Float64Array, heightM: number): void {
  for (let i = 1; i < centreOfPressure.length; i += 3) centreOfPressure[i] = heightM;
}

/** How far a stated height may be from that of the column, metres; common practice, no source. */
const SAME_HEIGHT_M = 0.005;

function checkHeight({ file, surfaceHeightM }: ForcePlateSource, column: string, centreOfPressure: Float64Array): void {
  if (surfaceHeightM == null) return;
  const heights = [...centreOfPressure].filter((value, i) => i % 3 === 1 && Number.isFinite(value));
  const foundM = heights.length > 0 ? median(heights) : surfaceHeightM;
  if (Math.abs(foundM - surfaceHeightM) > SAME_HEIGHT_M)
    throw forcePlateHeights(file, column, surfaceHeightM, foundM, SAME_HEIGHT_M);
}

/** Takes off the offset that is named; tells of one that seems to be there. */
function settleOffset(
  { file, unloaded, frameRateHz }: ForcePlateSource,
  timeS: Float64Array,
  samples: ForceSamples,
  notes: string[],
): void {
  if (!unloaded) {
    const steady = steadyOffset(samples.force, frameRateHz);
    if (steady) notes.push(forcePlateNotes.steady(file, timeS[steady.from], timeS[steady.to - 1], steady.meanN));
    return;
  }
  const range: SampleRange = {
    from: timeS.findIndex((at) => at >= unloaded.fromS),
    to: timeS.findLastIndex((at) => at <= unloaded.toS) + 1,
  };
  if (range.from < 0 || range.to - range.from < 2)
    throw forcePlateUnloadedOutside(file, unloaded.fromS, unloaded.toS, timeS[0], timeS[timeS.length - 1]);
  const { meanN, sdN } = verticalForceOf(samples.force, range);
  if (!(Math.abs(meanN) <= MOST_OFFSET_N && sdN <= MOST_OFFSET_SD_N))
    throw forcePlateUnloadedLoaded(file, meanN, sdN, MOST_OFFSET_N, MOST_OFFSET_SD_N);
  const momentKnown = takeOffOffset(samples, range, LOADED_N);
  notes.push(forcePlateNotes.offsetTaken(file, timeS[range.from], timeS[range.to - 1], meanN, momentKnown));
}

/** How far outside its corners half of the samples may lie, metres: a wrong unit is 1000 times off (common practice, no source). */
const MOST_OFF_M = 0.1;
/** Outside by more than this, in more than this share of the samples, is told; common practice, no source. */
const TOLD_OFF = { metres: 0.005, share: 0.01 } as const;

function checkOnSurface(
  file: string,
  surface: ForcePlateSurface,
  centreOfPressure: Float64Array,
  notes: string[],
): void {
  const off: number[] = [];
  for (let i = 0; i < centreOfPressure.length; i += 3)
    if (Number.isFinite(centreOfPressure[i])) off.push(metresOffSurface(surface, centreOfPressure, i));
  if (off.length === 0) return;
  const medianM = median(off);
  if (medianM > MOST_OFF_M) throw forcePlateOff(file, medianM, MOST_OFF_M);
  const outside = off.filter((metres) => metres > TOLD_OFF.metres);
  if (outside.length > TOLD_OFF.share * off.length)
    notes.push(
      forcePlateNotes.outside(
        file,
        outside.length / off.length,
        outside.reduce((a, b) => Math.max(a, b)),
      ),
    );
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
