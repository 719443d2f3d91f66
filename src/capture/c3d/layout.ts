import { c3dDamaged, c3dDisagree, c3dEmpty, c3dFramesMissing, c3dTruncated, c3dValue } from '../../messages/c3d.ts';
import { BLOCK_BYTES, type C3dGroup } from './c3d-file.ts';
import type { C3dHeader } from './header.ts';
import { countOf, numberOf, numbersOf } from './parameter-values.ts';

/** How the data section is laid out; checked against the length of the file. */
export interface C3dLayout {
  readonly dataAt: number;
  readonly storage: 'integer' | 'float';
  /** Bytes of one stored number: 2 or 4. */
  readonly size: 2 | 4;
  readonly frames: number;
  readonly firstFrame: number;
  readonly points: number;
  readonly channels: number;
  readonly samplesPerFrame: number;
  /** Stored numbers of one frame: 4 a point, then one a channel and sample. */
  readonly numbersPerFrame: number;
  readonly frameRateHz: number;
  /** POINT:SCALE without its sign. */
  readonly scale: number;
}

/** Largest 16-bit count: from here on the number of frames stands elsewhere. */
const COUNT_FULL = 65535;
/** How far two statements of one rate or scale may differ: float32 rounding, and rates written with four digits. */
const SAME = 1e-3;

/**
 * The layout from header and parameters, which must agree where both state something: a wrong stride gives numbers that
 * look like data. Throws where they do not, or where the file is too short for what they promise.
 */
export function layoutOf(file: string, header: C3dHeader, groups: readonly C3dGroup[], fileBytes: number): C3dLayout {
  const points = agreed(file, 'the number of points', header.points, countOf(file, groups, 'POINT', 'USED'));
  const { channels, samplesPerFrame } = analogLayout(file, header, groups);
  const frames = frameCount(file, header, groups);
  const scale = numberOf(file, groups, 'POINT', 'SCALE') ?? header.scale;
  checkClose(file, 'the scale of the points', header.scale, scale);
  if (!Number.isFinite(scale) || scale === 0) throw c3dValue(file, 'POINT:SCALE', scale, 'a number other than 0');
  const numbersPerFrame = 4 * points + channels * samplesPerFrame;
  if (frames < 1 || numbersPerFrame === 0) throw c3dEmpty(file, 'frame with points or analog samples');
  const size = scale < 0 ? 4 : 2;
  const dataAt = dataStart(file, header, groups, fileBytes);
  const held = Math.floor((fileBytes - dataAt) / (numbersPerFrame * size));
  if (held < frames) throw c3dFramesMissing(file, frames, held);
  return {
    dataAt,
    storage: scale < 0 ? 'float' : 'integer',
    size,
    frames,
    firstFrame: header.firstFrame,
    points,
    channels,
    samplesPerFrame,
    numbersPerFrame,
    frameRateHz: frameRate(file, header, groups),
    scale: Math.abs(scale),
  };
}

function agreed(file: string, what: string, inHeader: number, inParameters: number | null): number {
  if (inParameters !== null && inParameters !== inHeader) {
    throw c3dDisagree(file, what, `${inHeader} in the header`, `${inParameters} in the parameters`);
  }
  return inHeader;
}

function checkClose(file: string, what: string, inHeader: number, inParameters: number): void {
  if (Number.isFinite(inHeader) && inHeader !== 0) {
    if (!(Math.abs(inHeader - inParameters) <= SAME * Math.abs(inParameters))) {
      throw c3dDisagree(file, what, `${inHeader} in the header`, `${inParameters} in the parameters`);
    }
  }
}

function analogLayout(file: string, header: C3dHeader, groups: readonly C3dGroup[]) {
  const { analogPerFrame, samplesPerFrame } = header;
  if (analogPerFrame === 0) return { channels: 0, samplesPerFrame: 0 };
  if (samplesPerFrame === 0 || analogPerFrame % samplesPerFrame !== 0) {
    const fault = `${analogPerFrame} analog numbers a frame are no multiple of ${samplesPerFrame} samples a frame`;
    throw c3dDamaged(file, 'header words 3 and 10', fault);
  }
  const channels = analogPerFrame / samplesPerFrame;
  agreed(file, 'the number of analog channels', channels, countOf(file, groups, 'ANALOG', 'USED'));
  return { channels, samplesPerFrame };
}

/**
 * POINT:FRAMES, which may be a float; where it is absent or full (65535), POINT:LONG_FRAMES, then the two 32-bit numbers of
 * TRIAL, then the header's first and last frame. (The header's numbers may be those of the trial this file was cut out of.)
 */
function frameCount(file: string, header: C3dHeader, groups: readonly C3dGroup[]): number {
  const stated = countOf(file, groups, 'POINT', 'FRAMES');
  if (stated !== null && stated > 0 && stated !== COUNT_FULL) return whole(file, 'POINT:FRAMES', stated);
  const long = numberOf(file, groups, 'POINT', 'LONG_FRAMES');
  if (long !== null && long > 0) return whole(file, 'POINT:LONG_FRAMES', long);
  const first = longField(numbersOf(file, groups, 'TRIAL', 'ACTUAL_START_FIELD'));
  const last = longField(numbersOf(file, groups, 'TRIAL', 'ACTUAL_END_FIELD'));
  if (first !== null && last !== null && last >= Math.max(1, first)) return whole(file, 'TRIAL', last - first + 1);
  return stated === COUNT_FULL ? COUNT_FULL : header.lastFrame - header.firstFrame + 1;
}

/** Two 16-bit words, the low one first; one 32-bit float is taken as it is. */
function longField(values: Float64Array | null): number | null {
  if (values === null || values.length === 0) return null;
  if (values.length === 1) return values[0];
  const [low, high] = [values[0], values[1]].map((value) => (value < 0 ? value + 65536 : value));
  return low + 65536 * high;
}

function whole(file: string, parameter: string, value: number): number {
  if (!Number.isSafeInteger(value) || value < 1) throw c3dValue(file, parameter, value, 'a whole number of frames');
  return value;
}

function dataStart(file: string, header: C3dHeader, groups: readonly C3dGroup[], fileBytes: number): number {
  const stated = countOf(file, groups, 'POINT', 'DATA_START');
  if (stated !== null && stated > 0 && header.dataBlock > 0) {
    agreed(file, 'the block at which the data begin', header.dataBlock, stated);
  }
  const block = header.dataBlock > 0 ? header.dataBlock : (stated ?? 0);
  if (block < 2 || !Number.isInteger(block)) throw c3dValue(file, 'POINT:DATA_START', block, 'a block from 2 up');
  const dataAt = (block - 1) * BLOCK_BYTES;
  if (dataAt > fileBytes) throw c3dTruncated(file, 'the beginning of the data', fileBytes, dataAt);
  return dataAt;
}

function frameRate(file: string, header: C3dHeader, groups: readonly C3dGroup[]): number {
  const rateHz = numberOf(file, groups, 'POINT', 'RATE') ?? header.frameRateHz;
  checkClose(file, 'the frame rate', header.frameRateHz, rateHz);
  if (!(rateHz > 0 && Number.isFinite(rateHz))) throw c3dValue(file, 'POINT:RATE', rateHz, 'a rate above 0');
  return rateHz;
}
