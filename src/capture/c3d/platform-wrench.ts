import { c3dForceNotFinite, c3dNotes, c3dUnitUnknown, c3dValue } from '../../messages/c3d.ts';
import { metresPer, turnTriplesInPlace } from '../axes.ts';
import { moveMomentsInPlace } from '../force-plate-geometry.ts';
import type { LengthUnit } from '../recording.ts';
import type { C3dFile } from './c3d-file.ts';
import type { ForcePlatform } from './force-platforms.ts';
import { channelValues } from './read-data.ts';
import { checkNewtons, momentMetres } from './units.ts';

/** What a force plate measured, one triple a sample of the analog data, axes of the file. Sign as stored: see docs/method/c3d.md. */
export interface PlatformWrench {
  readonly rateHz: number;
  readonly samples: number;
  /** N. */
  readonly force: Float64Array;
  /** About the middle of the surface, N·m. */
  readonly moment: Float64Array;
  /** Middle of the surface, metres. */
  readonly centre: Float64Array;
  /** Unit vector out of the surface (against the plate's z, which points into the floor). */
  readonly up: Float64Array;
  readonly notes: readonly string[];
}

/** Samples [from, to) in which nothing stood on the force plate. */
export interface UnloadedSamples {
  readonly from: number;
  readonly to: number;
}

/**
 * Force and moment of one force plate from its analog channels. `unit`: of lengths in the file. `unloaded`: the mean of each
 * channel over these samples is taken off first; null = nothing is taken off.
 *
 * The C3D conventions (c3d.org): z of the plate points into the floor; types
 *   1: Fx Fy Fz Px Py Tz      P = centre of pressure from the plate's origin, T = free moment
 *   2: Fx Fy Fz Mx My Mz      about the plate's origin
 *   3: Fx12 Fx34 Fy14 Fy23 Fz1 Fz2 Fz3 Fz4   of four sensors at (±a, ±b), a depth |c| under the surface
 *   4: as 2, after multiplying by the 6 × 6 calibration matrix.
 */
export function platformWrench(
  c3d: C3dFile,
  platform: ForcePlatform,
  unit: LengthUnit,
  unloaded: UnloadedSamples | null,
): PlatformWrench {
  const notes: string[] = [];
  const channels = platform.channels.map((channel, k) => {
    const values = finiteChannel(c3d, platform.number, channel);
    // The place of the centre of pressure is no signal with an offset: of type 1 only forces and free moment are shifted.
    if (unloaded && !(platform.type === 1 && (k === 3 || k === 4))) takeOffMean(values, unloaded);
    return values;
  });
  const metres = metresPer(unit);
  const { force, moment } =
    platform.type === 3
      ? eightChannels(c3d, platform, channels, metres, notes)
      : sixChannels(c3d, platform, channels, unit, notes);
  const { axes, centre } = platform.surface;
  turnTriplesInPlace(force, axes, 1);
  turnTriplesInPlace(moment, axes, 1);
  return {
    rateHz: c3d.analog.rateHz,
    samples: force.length / 3,
    force,
    moment,
    centre: centre.map((value) => value * metres),
    up: Float64Array.of(-axes[2], -axes[5], -axes[8]),
    notes,
  };
}

function finiteChannel(c3d: C3dFile, number: number, channel: number): Float64Array {
  const values = channelValues(c3d.analog, channel);
  const at = values.findIndex((value) => !Number.isFinite(value));
  if (at < 0) return values;
  throw c3dForceNotFinite(c3d.file, number, c3d.analog.labels[channel], at / c3d.analog.rateHz);
}

function takeOffMean(values: Float64Array, { from, to }: UnloadedSamples): void {
  let sum = 0;
  for (let i = from; i < to; i++) sum += values[i];
  const mean = sum / (to - from);
  for (let i = 0; i < values.length; i++) values[i] -= mean;
}

interface PlateWrench {
  readonly force: Float64Array;
  readonly moment: Float64Array;
}

/** Types 1, 2 and 4, plate axes: N, and N·m about the middle of the surface. */
function sixChannels(
  c3d: C3dFile,
  platform: ForcePlatform,
  channels: readonly Float64Array[],
  unit: LengthUnit,
  notes: string[],
): PlateWrench {
  const { type, calibration, number } = platform;
  const samples = channels[0].length;
  const force = new Float64Array(3 * samples);
  const moment = new Float64Array(3 * samples);
  const units = platform.channels.map((channel) => c3d.analog.units[channel]);
  // Type 4: the channels are what the amplifier gave, and the matrix brings the unit of force.
  if (type !== 4) for (const written of units.slice(0, 3)) checkNewtons(c3d.file, 'ANALOG:UNITS', written);
  const toNm = momentFactor(c3d, number, type === 1 ? [units[5]] : units.slice(3), unit, type === 4, notes);
  const toMetres = metresPer(unit);
  for (let i = 0, sample = 0; sample < samples; sample++, i += 3) {
    for (let row = 0; row < 6; row++) {
      let value = channels[row][sample];
      if (calibration) {
        value = 0;
        for (let column = 0; column < 6; column++) value += calibration[6 * column + row] * channels[column][sample];
      }
      if (row < 3) force[i + row] = value;
      else moment[i + row - 3] = value * (type === 1 && row < 5 ? toMetres : toNm);
    }
  }
  const origin = surfaceFromOrigin(platform, notes).map((value) => value * toMetres);
  if (type === 1) momentsOfPlaces(force, moment, origin);
  else moveMomentsInPlace(moment, force, origin);
  return { force, moment };
}

/** Type 1: (Px, Py, Tz) becomes the moment about the middle of the surface, (P − origin) × F + T. */
function momentsOfPlaces(force: Float64Array, moment: Float64Array, origin: ArrayLike<number>): void {
  for (let i = 0; i < force.length; i += 3) {
    const x = moment[i] - origin[0];
    const y = moment[i + 1] - origin[1];
    moment[i] = y * force[i + 2];
    moment[i + 1] = -x * force[i + 2];
    moment[i + 2] += x * force[i + 1] - y * force[i];
  }
}

/**
 * From the plate's origin to the middle of its surface, plate axes. Its z is negative, since the origin lies under the
 * surface and z points down; a file with a positive one has stored the vector from the surface to the origin.
 */
function surfaceFromOrigin({ origin, number }: ForcePlatform, notes: string[]): Float64Array {
  if (!(origin[2] > 0)) return origin;
  notes.push(c3dNotes.originTurned(number, origin[2]));
  return origin.map((value) => -value);
}

/**
 * Type 3, plate axes. Sensors 1 to 4 stand in the quadrants of the corners, at (a, b), (−a, b), (−a, −b), (a, −b):
 *   Fx = Fx12 + Fx34,  Fy = Fy14 + Fy23,  Fz = Fz1 + Fz2 + Fz3 + Fz4
 *   Mx = b (Fz1 + Fz2 − Fz3 − Fz4),  My = a (−Fz1 + Fz2 + Fz3 − Fz4),  Mz = b (−Fx12 + Fx34) + a (Fy14 − Fy23)
 * about the middle of the sensors, ORIGIN = (a, b, c) with c < 0 from there up to the surface.
 */
function eightChannels(
  c3d: C3dFile,
  { channels: numbers, origin, number }: ForcePlatform,
  channels: readonly Float64Array[],
  metres: number,
  notes: string[],
): PlateWrench {
  for (const channel of numbers) checkNewtons(c3d.file, 'ANALOG:UNITS', c3d.analog.units[channel]);
  const [a, b] = [origin[0] * metres, origin[1] * metres];
  if (!(a > 0 && b > 0)) {
    throw c3dValue(c3d.file, 'FORCE_PLATFORM:ORIGIN', Math.min(origin[0], origin[1]), 'a distance of sensors above 0');
  }
  if (origin[2] > 0) notes.push(c3dNotes.originTurned(number, origin[2]));
  const [x12, x34, y14, y23, z1, z2, z3, z4] = channels;
  const samples = x12.length;
  const force = new Float64Array(3 * samples);
  const moment = new Float64Array(3 * samples);
  for (let i = 0, s = 0; s < samples; s++, i += 3) {
    force[i] = x12[s] + x34[s];
    force[i + 1] = y14[s] + y23[s];
    force[i + 2] = z1[s] + z2[s] + z3[s] + z4[s];
    moment[i] = b * (z1[s] + z2[s] - z3[s] - z4[s]);
    moment[i + 1] = a * (-z1[s] + z2[s] + z3[s] - z4[s]);
    moment[i + 2] = b * (-x12[s] + x34[s]) + a * (y14[s] - y23[s]);
  }
  moveMomentsInPlace(moment, force, [0, 0, -Math.abs(origin[2]) * metres]);
  return { force, moment };
}

/** Metres of the unit of moment: as the channels state; where they state none, N times the file's unit of length. */
function momentFactor(
  c3d: C3dFile,
  number: number,
  written: readonly string[],
  unit: LengthUnit,
  amplified: boolean,
  notes: string[],
): number {
  const factors = written.map(momentMetres);
  const stated = factors.find((factor) => factor !== null);
  const foreign = written.findIndex((text, k) => factors[k] === null && text !== '');
  if (foreign >= 0 && !amplified) throw c3dUnitUnknown(c3d.file, 'ANALOG:UNITS', written[foreign], ['Nm', 'Nmm']);
  if (stated === undefined || stated === null) {
    notes.push(c3dNotes.momentUnit(number, unit));
    return metresPer(unit);
  }
  if (factors.some((factor) => factor !== null && factor !== stated)) {
    throw c3dUnitUnknown(c3d.file, 'ANALOG:UNITS', [...new Set(written)].join(' and '), ['Nm or Nmm for all three']);
  }
  return stated;
}
