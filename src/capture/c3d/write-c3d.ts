import { c3dCannotHold } from '../../messages/c3d.ts';
import { BLOCK_BYTES, type C3dFile, type C3dGroup } from './c3d-file.ts';
import { floatParameter, integerParameter, withoutParameters, withParameters } from './make-parameters.ts';
import { parameterSection } from './write-parameters.ts';

/** What is written: everything of a C3D file but how it was stored. */
export type C3dContent = Omit<C3dFile, 'file' | 'processor' | 'storage' | 'events'>;

const COUNT_FULL = 65535;
const FOUR_LETTER_EVENTS = 12345;
const MOST_HEADER_EVENTS = 18;

/** Byte of a 16-bit header word counted from 1. */
const word = (number: number): number => 2 * (number - 1);

/**
 * A C3D file: Intel numbers, floating-point data. `groups` are written as they stand, save the parameters that state sizes
 * and rates, which follow the data. What was read and is written so reads back to the same float32 numbers, bit for bit.
 */
export function writeC3d(content: C3dContent): Uint8Array {
  const { frames, points, analog } = content;
  check('points', points.count, COUNT_FULL);
  check('analog numbers a frame', analog.channels * analog.samplesPerFrame, COUNT_FULL);
  const blocks = parameterSection(groupsOf(content, 0)).length / BLOCK_BYTES;
  const dataBlock = 2 + blocks;
  const numbersPerFrame = 4 * points.count + analog.channels * analog.samplesPerFrame;
  const dataBytes = Math.ceil((4 * numbersPerFrame * frames) / BLOCK_BYTES) * BLOCK_BYTES;
  const bytes = new Uint8Array((dataBlock - 1) * BLOCK_BYTES + dataBytes);
  const view = new DataView(bytes.buffer);
  writeHeader(view, content, dataBlock);
  bytes.set(parameterSection(groupsOf(content, dataBlock)), BLOCK_BYTES);
  writeData(view, (dataBlock - 1) * BLOCK_BYTES, content, numbersPerFrame);
  return bytes;
}

function writeHeader(view: DataView, content: C3dContent, dataBlock: number): void {
  const { frames, firstFrame, points, analog, headerEvents } = content;
  view.setUint8(0, 2);
  view.setUint8(1, 0x50);
  const put = (number: number, value: number) => view.setUint16(word(number), value, true);
  put(2, points.count);
  put(3, analog.channels * analog.samplesPerFrame);
  put(4, Math.min(firstFrame, COUNT_FULL));
  put(5, Math.min(firstFrame + frames - 1, COUNT_FULL));
  put(6, content.filledGapFrames);
  view.setFloat32(word(7), -points.scale, true);
  put(9, dataBlock);
  put(10, analog.samplesPerFrame);
  view.setFloat32(word(11), content.frameRateHz, true);
  put(150, FOUR_LETTER_EVENTS);
  check('events in its header', headerEvents.length, MOST_HEADER_EVENTS);
  put(151, headerEvents.length);
  headerEvents.forEach(({ label, timeS }, k) => {
    view.setFloat32(word(153) + 4 * k, timeS, true);
    view.setUint8(word(189) + k, 1);
    const letters = Buffer.from(label.padEnd(4).slice(0, 4), 'latin1');
    letters.forEach((letter, i) => {
      view.setUint8(word(199) + 4 * k + i, letter);
    });
  });
}

/** `groups` with the parameters that follow from the data. */
function groupsOf({ groups, frames, firstFrame, points, analog, frameRateHz }: C3dContent, dataBlock: number) {
  const long = frames >= COUNT_FULL;
  const point = [
    integerParameter('USED', 'Number of points', points.count),
    long
      ? floatParameter('FRAMES', 'Number of frames', frames)
      : integerParameter('FRAMES', 'Number of frames', signed(frames)),
    ...(long ? [floatParameter('LONG_FRAMES', 'Number of frames', frames)] : []),
    floatParameter('SCALE', 'Negative: points are stored as floating-point numbers', -points.scale),
    floatParameter('RATE', 'Frames a second', frameRateHz),
    integerParameter('DATA_START', 'Block at which the data begin', signed(dataBlock)),
  ];
  const last = firstFrame + frames - 1;
  const trial = [
    integerParameter('ACTUAL_START_FIELD', 'First frame', signed(firstFrame % 65536), Math.floor(firstFrame / 65536)),
    integerParameter('ACTUAL_END_FIELD', 'Last frame', signed(last % 65536), Math.floor(last / 65536)),
  ];
  let out: C3dGroup[] = withParameters(
    long ? groups : withoutParameters(groups, 'POINT', ['LONG_FRAMES']),
    'POINT',
    point,
  );
  if (long || groups.some(({ name }) => name === 'TRIAL')) out = withParameters(out, 'TRIAL', trial);
  return withParameters(out, 'ANALOG', [
    integerParameter('USED', 'Number of analog channels', signed(analog.channels)),
    floatParameter('RATE', 'Samples a second of each channel', analog.rateHz),
  ]);
}

/** A count from 0 to 65535 as the 16-bit integer of equal bits. */
const signed = (count: number): number => (count > 32767 ? count - 65536 : count);

function writeData(view: DataView, dataAt: number, { frames, points, analog }: C3dContent, numbersPerFrame: number) {
  const { count, position, residual, cameras, scale } = points;
  const perFrame = analog.channels * analog.samplesPerFrame;
  for (let frame = 0; frame < frames; frame++) {
    let at = dataAt + 4 * numbersPerFrame * frame;
    for (let point = 0; point < count; point++, at += 16) {
      const sample = frame * count + point;
      const seen = Number.isFinite(residual[sample]);
      for (let k = 0; k < 3; k++) view.setFloat32(at + 4 * k, seen ? position[3 * sample + k] : 0, true);
      view.setFloat32(at + 12, seen ? 256 * cameras[sample] + Math.round(residual[sample] / scale) : -1, true);
    }
    for (let i = 0; i < perFrame; i++, at += 4) view.setFloat32(at, analog.stored[frame * perFrame + i], true);
  }
}

function check(what: string, value: number, limit: number): void {
  if (value > limit) throw c3dCannotHold(what, value, limit);
}
