import { c3dDisagree, c3dTooShort } from '../../messages/c3d.ts';
import type { C3dAnalog, C3dGroup, C3dPoints } from './c3d-file.ts';
import type { C3dLayout } from './layout.ts';
import { numberOf, numbersOf, textsOf } from './parameter-values.ts';
import type { StoredNumbers } from './stored-numbers.ts';

/**
 * The points of every frame. A stored point is X, Y, Z and a fourth number: negative = not measured; else, as a 16-bit
 * integer, its high byte tells the cameras and its low byte times the scale the residual. Integer coordinates are
 * multiplied by the scale and rounded to float32, the precision the format itself has. A coordinate that is no finite
 * number makes the point missing.
 */
export function readPointData(groups: readonly C3dGroup[], numbers: StoredNumbers, layout: C3dLayout): C3dPoints {
  const { frames, points: count, scale, size, storage } = layout;
  const position = new Float32Array(3 * frames * count).fill(Number.NaN);
  const residual = new Float32Array(frames * count).fill(Number.NaN);
  const cameras = new Uint8Array(frames * count);
  const integers = storage === 'integer';
  for (let frame = 0; frame < frames; frame++) {
    let at = layout.dataAt + frame * layout.numbersPerFrame * size;
    for (let point = 0; point < count; point++, at += 4 * size) {
      const x = integers ? numbers.integer(at) * scale : numbers.float(at);
      const y = integers ? numbers.integer(at + size) * scale : numbers.float(at + size);
      const z = integers ? numbers.integer(at + 2 * size) * scale : numbers.float(at + 2 * size);
      const fourth = Math.trunc(integers ? numbers.integer(at + 3 * size) : numbers.float(at + 3 * size));
      if (!(fourth >= 0 && fourth <= 32767) || !Number.isFinite(x + y + z)) continue;
      const sample = frame * count + point;
      position[3 * sample] = x;
      position[3 * sample + 1] = y;
      position[3 * sample + 2] = z;
      residual[sample] = (fourth & 0xff) * scale;
      cameras[sample] = fourth >> 8;
    }
  }
  const labels = textsOf(groups, 'POINT', 'LABELS');
  return {
    count,
    labels: Array.from({ length: count }, (_, point) => labels[point] ?? ''),
    unit: textsOf(groups, 'POINT', 'UNITS')[0] ?? '',
    scale,
    position,
    residual,
    cameras,
  };
}

/** How far ANALOG:RATE may lie from frame rate × samples a frame, relative: rates are often written rounded. */
const SAME_RATE = 0.01;

/** The analog samples of every frame, as stored, with what turns them into values. */
export function readAnalogData(
  file: string,
  groups: readonly C3dGroup[],
  numbers: StoredNumbers,
  layout: C3dLayout,
): C3dAnalog {
  const { frames, channels, samplesPerFrame, size, storage } = layout;
  const unsigned = (textsOf(groups, 'ANALOG', 'FORMAT')[0] ?? '').toUpperCase() === 'UNSIGNED';
  const perFrame = channels * samplesPerFrame;
  const stored = new Float32Array(frames * perFrame);
  for (let frame = 0; frame < frames; frame++) {
    const from = layout.dataAt + (frame * layout.numbersPerFrame + 4 * layout.points) * size;
    for (let i = 0; i < perFrame; i++) {
      const at = from + i * size;
      if (storage === 'float') stored[frame * perFrame + i] = numbers.float(at);
      else stored[frame * perFrame + i] = unsigned ? numbers.unsigned(at) : numbers.integer(at);
    }
  }
  const rateHz = layout.frameRateHz * samplesPerFrame;
  const statedHz = numberOf(file, groups, 'ANALOG', 'RATE');
  if (channels > 0 && statedHz !== null && statedHz > 0 && Math.abs(statedHz - rateHz) > SAME_RATE * rateHz) {
    const inFrames = `${layout.frameRateHz} Hz × ${samplesPerFrame} samples a frame`;
    throw c3dDisagree(file, 'the analog rate', `ANALOG:RATE is ${statedHz} Hz`, `the frames give ${inFrames}`);
  }
  const list = (name: string, absent: number) => channelNumbers(file, groups, name, channels, absent);
  const offset = list('OFFSET', 0);
  const labels = textsOf(groups, 'ANALOG', 'LABELS');
  const units = textsOf(groups, 'ANALOG', 'UNITS');
  return {
    channels,
    samplesPerFrame,
    rateHz,
    labels: Array.from({ length: channels }, (_, channel) => labels[channel] ?? ''),
    units: Array.from({ length: channels }, (_, channel) => units[channel] ?? ''),
    stored,
    offset: unsigned ? offset.map((value) => (value < 0 ? value + 65536 : value)) : offset,
    scale: list('SCALE', 1),
    generalScale: numberOf(file, groups, 'ANALOG', 'GEN_SCALE') ?? 1,
  };
}

function channelNumbers(
  file: string,
  groups: readonly C3dGroup[],
  name: string,
  channels: number,
  absent: number,
): Float64Array {
  const values = numbersOf(file, groups, 'ANALOG', name);
  if (values === null || channels === 0) return new Float64Array(channels).fill(absent);
  if (values.length < channels) throw c3dTooShort(file, `ANALOG:${name}`, values.length, channels);
  return values.slice(0, channels);
}

/** One channel in its own unit, one value a sample; NaN where the file holds no number. */
export function channelValues(analog: C3dAnalog, channel: number): Float64Array {
  const { channels, stored, offset, scale, generalScale } = analog;
  const values = new Float64Array(channels > 0 ? stored.length / channels : 0);
  const factor = scale[channel] * generalScale;
  for (let sample = 0; sample < values.length; sample++) {
    values[sample] = (stored[sample * channels + channel] - offset[channel]) * factor;
  }
  return values;
}
