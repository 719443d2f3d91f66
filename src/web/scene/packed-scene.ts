import { type ScenePayload, SERIES_NAMES, SERIES_STEP, type SeriesName } from './payload.ts';

/** Step in which positions are kept, metres: half of it, 0.25 mm, is the largest error. */
export const POSITION_STEP_M = 0.0005;
/** Largest whole number of steps that is kept; ± 16 m of position. */
const LARGEST = 32767;

/** The part of a payload that is kept as JSON; numbers a frame follow as bytes. */
interface Head extends Omit<ScenePayload, 'position' | 'series'> {
  readonly format: 1;
  readonly series: readonly SeriesName[];
  /** For each point, then each series: frames that are missing, as half-open ranges from, to, from, to … */
  readonly gaps: readonly (readonly number[])[];
}

/**
 * A payload as bytes that compress well; the same payload gives the same bytes.
 *
 * Layout: length of the head (4 bytes, little-endian), head (JSON, UTF-8), then the channels: x, y, z of each point and
 * each series, `frames` values each. A value is a whole number of steps (16 bits); kept is its second difference over
 * time, modulo 2¹⁶, which for a smooth movement is next to nothing. All low bytes come first, then all high bytes. A missing
 * frame repeats the last value known; `gaps` says where.
 */
export function packScene(payload: ScenePayload): Uint8Array {
  const { position, series, ...rest } = payload;
  const { frames, points } = payload;
  const names = SERIES_NAMES.filter((name) => series[name] !== undefined);
  const gaps = [
    ...points.map((_, p) => gapsOf(frames, (f) => Number.isNaN(position[3 * (f * points.length + p)]))),
    ...names.map((name) => gapsOf(frames, (f) => Number.isNaN(series[name]![f]))),
  ];
  const head: Head = { format: 1, ...rest, series: names, gaps };
  const text = new TextEncoder().encode(JSON.stringify(head));
  const values = frames * (3 * points.length + names.length);
  const out = new Uint8Array(4 + text.length + 2 * values);
  new DataView(out.buffer).setUint32(0, text.length, true);
  out.set(text, 4);
  const channel = channelWriter(out, 4 + text.length, values, frames);
  points.forEach((_, p) => {
    for (let axis = 0; axis < 3; axis++) {
      channel((f) => position[3 * (f * points.length + p) + axis] / POSITION_STEP_M);
    }
  });
  for (const name of names) channel((f) => series[name]![f] / SERIES_STEP[name]);
  return out;
}

/** Writes one channel after the other: second differences of whole numbers, low and high bytes apart. */
function channelWriter(out: Uint8Array, start: number, values: number, frames: number) {
  let at = start;
  return (steps: (frame: number) => number): void => {
    let held = 0;
    let before = 0;
    let twoBefore = 0;
    for (let f = 0; f < frames; f++, at++) {
      const value = steps(f);
      if (!Number.isNaN(value)) held = Math.max(-LARGEST, Math.min(LARGEST, Math.round(value)));
      const difference = held - 2 * before + twoBefore;
      out[at] = difference & 0xff;
      out[at + values] = (difference >> 8) & 0xff;
      twoBefore = before;
      before = held;
    }
  };
}

function gapsOf(frames: number, missing: (frame: number) => boolean): number[] {
  const ranges: number[] = [];
  let open = false;
  for (let f = 0; f < frames; f++) {
    if (missing(f) === open) continue;
    ranges.push(f);
    open = !open;
  }
  if (open) ranges.push(frames);
  return ranges;
}

/** The payload that `packScene` made the bytes of, to half a step; throws a RangeError where the bytes are not one. */
export function unpackScene(bytes: Uint8Array): ScenePayload {
  const headLength = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(0, true);
  if (4 + headLength > bytes.length) throw new RangeError('scene data end inside their head');
  const head: Head = JSON.parse(new TextDecoder().decode(bytes.subarray(4, 4 + headLength)));
  if (head.format !== 1) throw new RangeError(`scene data of format ${head.format}; this page reads format 1`);
  const { format: _, series: names, gaps, ...rest } = head;
  const { frames, points } = rest;
  const values = frames * (3 * points.length + names.length);
  if (bytes.length !== 4 + headLength + 2 * values) throw new RangeError('scene data have another length than stated');

  let at = 4 + headLength;
  const readInto = (out: Float32Array, offset: number, stride: number, step: number): void => {
    let before = 0;
    let twoBefore = 0;
    for (let f = 0; f < frames; f++, at++) {
      const difference = bytes[at] | (bytes[at + values] << 8);
      const value = ((difference + 2 * before - twoBefore) << 16) >> 16;
      out[offset + stride * f] = value * step;
      twoBefore = before;
      before = value;
    }
  };
  const position = new Float32Array(3 * frames * points.length);
  points.forEach((_, p) => {
    for (let axis = 0; axis < 3; axis++) readInto(position, 3 * p + axis, 3 * points.length, POSITION_STEP_M);
  });
  const series: Partial<Record<SeriesName, Float32Array>> = {};
  for (const name of names) {
    const values = new Float32Array(frames);
    readInto(values, 0, 1, SERIES_STEP[name]);
    series[name] = values;
  }
  points.forEach((_, p) => {
    eachMissing(gaps[p], (f) =>
      position.fill(Number.NaN, 3 * (f * points.length + p), 3 * (f * points.length + p) + 3),
    );
  });
  names.forEach((name, i) => {
    eachMissing(gaps[points.length + i], (f) => series[name]!.fill(Number.NaN, f, f + 1));
  });
  return { ...rest, position, series };
}

function eachMissing(ranges: readonly number[], visit: (frame: number) => void): void {
  for (let i = 0; i < ranges.length; i += 2) for (let f = ranges[i]; f < ranges[i + 1]; f++) visit(f);
}
