import {
  c3dForceDownward,
  c3dForceOff,
  c3dForceTooStrong,
  c3dForceUnloaded,
  c3dNotes,
  c3dNoUnloadedFrames,
  c3dTooLarge,
  c3dUnloadedLoaded,
  c3dUnloadedOutside,
} from '../../messages/c3d.ts';
import { labFromFile, metresPer, turnTriplesInPlace } from '../axes.ts';
import { LOADED_N, MOST_FORCE_N } from '../force-plate-csv.ts';
import { type ForcePlateSurface, pressurePointInto } from '../force-plate-geometry.ts';
import { MOST_OFFSET_N, MOST_OFFSET_SD_N } from '../force-plate-offset.ts';
import type { ForcePlateSource, ForcePlateTrack, LengthUnit } from '../recording.ts';
import { MOST_FRAMES } from '../tidy-samples.ts';
import type { C3dFile } from './c3d-file.ts';
import { type ForcePlatform, forcePlatform, zeroFrames } from './force-platforms.ts';
import { type PlatformWrench, platformWrench, type UnloadedSamples } from './platform-wrench.ts';

/** How far outside the surface the centre of pressure may lie, metres, median under load: a wrong unit is 1000 times off (common practice, no source). */
export const FARTHEST_OFF_M = 0.1;

/** Most samples of one force plate: those of the longest recording at the highest rate of a CSV. */
const MOST_SAMPLES = 100 * MOST_FRAMES;

/**
 * A force plate of a C3D file as force on the body in lab axes, metres. The centre of pressure lies in the horizontal plane
 * through the middle of the surface and is NaN below LOADED_N of vertical force; with the free moment about the vertical it
 * gives back the whole wrench. `unit`: of lengths in the file.
 */
export function forcePlateFromC3d(
  c3d: C3dFile,
  source: ForcePlateSource,
  unit: LengthUnit,
  notes: string[],
): ForcePlateTrack {
  const { number, force: held } = source.c3d!;
  const platform = forcePlatform(c3d, number);
  const unloaded = unloadedSamples(c3d, source);
  const raw = platformWrench(c3d, platform, unit, null);
  if (raw.samples > MOST_SAMPLES) throw c3dTooLarge(c3d.file, 'samples of a force plate', raw.samples, MOST_SAMPLES);
  const wrench = unloaded === null ? raw : withoutOffset(c3d, platform, unit, raw, unloaded, notes);
  notes.push(...wrench.notes);
  const sign = held === 'on the body' ? 1 : -1;
  if (sign < 0) notes.push(c3dNotes.turned(number));
  const turn = labFromFile(source.axes!);
  const { force, moment, samples, rateHz } = wrench;
  turnTriplesInPlace(force, turn, sign);
  turnTriplesInPlace(moment, turn, sign);
  const centre = wrench.centre.slice();
  turnTriplesInPlace(centre, turn, 1);
  checkForce(c3d.file, number, force, rateHz);
  const centreOfPressure = new Float64Array(3 * samples);
  const freeMoment = new Float64Array(samples);
  const loaded: number[] = [];
  for (let sample = 0, i = 0; sample < samples; sample++, i += 3) {
    const free = pressurePointInto(centreOfPressure, i, force, moment, i, UP, LOADED_N);
    if (force[i + 1] < LOADED_N) {
      centreOfPressure.fill(Number.NaN, i, i + 3);
      continue;
    }
    freeMoment[sample] = free;
    loaded.push(offSurface(platform, turn, centreOfPressure, i, metresPer(unit)));
    for (let k = 0; k < 3; k++) centreOfPressure[i + k] += centre[k];
  }
  const offM = loaded.sort((a, b) => a - b)[Math.floor(loaded.length / 2)];
  if (offM > FARTHEST_OFF_M) throw c3dForceOff(c3d.file, number, offM, FARTHEST_OFF_M);
  return {
    file: `${c3d.file}, force plate ${number}`,
    foot: source.foot,
    frameRateHz: rateHz,
    samples,
    timeS: Float64Array.from({ length: samples }, (_, sample) => sample / rateHz + source.offsetS),
    force,
    centreOfPressure,
    freeMoment,
    hasFreeMoment: true,
    surface: surfaceInLab(platform, turn, metresPer(unit)),
  };
}

const UP = [0, 1, 0] as const;

/** The surface in lab axes, metres. */
function surfaceInLab({ surface }: ForcePlatform, turn: Float64Array, metres: number): ForcePlateSurface {
  const centre = surface.centre.slice();
  turnTriplesInPlace(centre, turn, metres);
  const axes = new Float64Array(9);
  for (let row = 0; row < 3; row++)
    for (let column = 0; column < 3; column++)
      for (let k = 0; k < 3; k++) axes[3 * row + column] += turn[3 * row + k] * surface.axes[3 * k + column];
  return { centre, axes, halfX: surface.halfX * metres, halfY: surface.halfY * metres };
}

/** How far a place, from the middle of the surface and in lab axes, lies outside its rectangle, metres; 0 inside. */
function offSurface(
  { surface: { axes, halfX, halfY } }: ForcePlatform,
  turn: ArrayLike<number>,
  place: ArrayLike<number>,
  from: number,
  metres: number,
): number {
  // labFromPlate = labFromFile · fileFromPlate; its columns against the place.
  let alongX = 0;
  let alongY = 0;
  for (let k = 0; k < 3; k++) {
    const inFile = turn[k] * place[from] + turn[3 + k] * place[from + 1] + turn[6 + k] * place[from + 2];
    alongX += axes[3 * k] * inFile;
    alongY += axes[3 * k + 1] * inFile;
  }
  return Math.max(0, Math.abs(alongX) - halfX * metres, Math.abs(alongY) - halfY * metres);
}

function checkForce(file: string, number: number, force: Float64Array, rateHz: number): void {
  let [up, down, largest] = [0, 0, 0];
  for (let i = 0; i < force.length; i += 3) {
    const size = Math.hypot(force[i], force[i + 1], force[i + 2]);
    if (!(size <= MOST_FORCE_N)) throw c3dForceTooStrong(file, number, i / 3 / rateHz, size, MOST_FORCE_N);
    if (force[i + 1] >= LOADED_N) up++;
    else if (force[i + 1] <= -LOADED_N) down++;
    largest = Math.max(largest, Math.abs(force[i + 1]));
  }
  if (down > up) throw c3dForceDownward(file, number, down, up + down);
  if (up === 0) throw c3dForceUnloaded(file, number, largest, LOADED_N);
}

const seconds = (s: number): string => `${s.toFixed(3)} s`;

/** The samples that `unloaded` names; null where it is left out. */
function unloadedSamples(c3d: C3dFile, source: ForcePlateSource): UnloadedSamples | null {
  const { number, unloaded } = source.c3d!;
  const { samplesPerFrame, rateHz } = c3d.analog;
  if (unloaded === null) return null;
  if (unloaded === 'file') {
    const frames = zeroFrames(c3d);
    if (frames === null) throw c3dNoUnloadedFrames(c3d.file, number);
    const [first, last] = frames;
    if (last < first || last >= c3d.frames) {
      const whole = `frames 1 to ${c3d.frames}`;
      throw c3dUnloadedOutside(c3d.file, number, `frame ${first + 1}`, `frame ${last + 1}`, whole);
    }
    return { from: first * samplesPerFrame, to: (last + 1) * samplesPerFrame };
  }
  const from = Math.ceil(unloaded.fromS * rateHz);
  const to = Math.floor(unloaded.toS * rateHz) + 1;
  const samples = c3d.frames * samplesPerFrame;
  if (to - from < 2 || to > samples) {
    const whole = `0 to ${seconds((samples - 1) / rateHz)}`;
    throw c3dUnloadedOutside(c3d.file, number, seconds(unloaded.fromS), seconds(unloaded.toS), whole);
  }
  return { from, to };
}

function withoutOffset(
  c3d: C3dFile,
  platform: ForcePlatform,
  unit: LengthUnit,
  raw: PlatformWrench,
  unloaded: UnloadedSamples,
  notes: string[],
): PlatformWrench {
  const { force, up, rateHz } = raw;
  let [sum, squares] = [0, 0];
  for (let i = 3 * unloaded.from; i < 3 * unloaded.to; i += 3) {
    const vertical = up[0] * force[i] + up[1] * force[i + 1] + up[2] * force[i + 2];
    sum += vertical;
    squares += vertical * vertical;
  }
  const count = unloaded.to - unloaded.from;
  const mean = sum / count;
  const sd = Math.sqrt(Math.max(0, squares / count - mean * mean));
  if (!(Math.abs(mean) <= MOST_OFFSET_N && sd <= MOST_OFFSET_SD_N)) {
    const limits = `limits ${MOST_OFFSET_N} ± ${MOST_OFFSET_SD_N} N`;
    throw c3dUnloadedLoaded(c3d.file, platform.number, mean, sd, limits);
  }
  notes.push(
    c3dNotes.offset(platform.number, seconds(unloaded.from / rateHz), seconds((unloaded.to - 1) / rateHz), mean),
  );
  return platformWrench(c3d, platform, unit, unloaded);
}
