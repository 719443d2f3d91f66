import {
  c3dCorners,
  c3dForcePlateMissing,
  c3dForcePlateType,
  c3dMissing,
  c3dTooShort,
  c3dValue,
} from '../../messages/c3d.ts';
import { type ForcePlateSurface, forcePlateSurface } from '../force-plate-geometry.ts';
import type { C3dFile } from './c3d-file.ts';
import { countOf, findParameter, numbersOf } from './parameter-values.ts';

/** One force plate as the FORCE_PLATFORM group describes it. Lengths in POINT:UNITS, channels counted from 0. */
export interface ForcePlatform {
  /** From 1. */
  readonly number: number;
  readonly type: 1 | 2 | 3 | 4;
  readonly channels: readonly number[];
  readonly surface: ForcePlateSurface;
  /** `3 * corner + axis`, as stored. */
  readonly corners: Float64Array;
  /** Types 1, 2, 4: from the plate's origin to the middle of its surface; type 3: places of the sensors. As stored. */
  readonly origin: Float64Array;
  /** Type 4: 6 × 6, first index fastest as stored: force I = Σ_J matrix[6 J + I] · channel J. Else null. */
  readonly calibration: Float64Array | null;
}

const CHANNELS: Readonly<Record<1 | 2 | 3 | 4, number>> = { 1: 6, 2: 6, 3: 8, 4: 6 };

export function forcePlatformCount(c3d: C3dFile): number {
  return Math.max(0, countOf(c3d.file, c3d.groups, 'FORCE_PLATFORM', 'USED') ?? 0);
}

/** Force plate `number` (from 1), every length of every list checked. */
export function forcePlatform(c3d: C3dFile, number: number): ForcePlatform {
  const { file, groups } = c3d;
  const count = forcePlatformCount(c3d);
  if (!(number >= 1 && number <= count)) throw c3dForcePlateMissing(file, number, count);
  const index = number - 1;
  const type = slice(c3d, 'TYPE', index, 1)[0];
  if (type !== 1 && type !== 2 && type !== 3 && type !== 4) throw c3dForcePlateType(file, number, type);
  const corners = slice(c3d, 'CORNERS', index, 12);
  const surface = forcePlateSurface(corners);
  if (typeof surface === 'string') throw c3dCorners(file, number, surface);
  // CHANNEL has as many rows as the force plate with the most channels needs.
  const rows = findParameter(groups, 'FORCE_PLATFORM', 'CHANNEL')?.dimensions[0] ?? 0;
  const needed = CHANNELS[type];
  if (rows < needed) throw c3dTooShort(file, 'FORCE_PLATFORM:CHANNEL', rows, needed);
  const channels = [...slice(c3d, 'CHANNEL', index, rows).subarray(0, needed)].map((channel) => channel - 1);
  const wrong = channels.find((channel) => !(channel >= 0 && channel < c3d.analog.channels));
  if (wrong !== undefined) {
    throw c3dValue(file, 'FORCE_PLATFORM:CHANNEL', wrong + 1, `a channel from 1 to ${c3d.analog.channels}`);
  }
  return {
    number,
    type,
    channels,
    surface,
    corners,
    origin: slice(c3d, 'ORIGIN', index, 3),
    calibration: type === 4 ? slice(c3d, 'CAL_MATRIX', index, 36) : null,
  };
}

function slice({ file, groups }: C3dFile, name: string, index: number, each: number): Float64Array {
  const parameter = `FORCE_PLATFORM:${name}`;
  const values = numbersOf(file, groups, 'FORCE_PLATFORM', name);
  if (values === null) throw c3dMissing(file, parameter, 'a force plate is read');
  if (values.length < each * (index + 1)) throw c3dTooShort(file, parameter, values.length, each * (index + 1));
  return values.slice(each * index, each * (index + 1));
}

/** FORCE_PLATFORM:ZERO as frames of this file from 0, both ends included; null where none are stated. (0, n) means 1 to n. */
export function zeroFrames({ file, groups }: C3dFile): readonly [number, number] | null {
  const zero = numbersOf(file, groups, 'FORCE_PLATFORM', 'ZERO');
  if (zero === null || zero.length < 2 || zero[1] < 1) return null;
  return [Math.max(1, zero[0]) - 1, zero[1] - 1];
}
