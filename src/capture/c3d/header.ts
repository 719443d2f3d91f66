import { c3dDamaged, c3dForeign, c3dTruncated } from '../../messages/c3d.ts';
import { BLOCK_BYTES, type C3dEvent, type C3dProcessor } from './c3d-file.ts';
import { StoredNumbers } from './stored-numbers.ts';

/** The header block: sizes as the file states them, not yet believed. */
export interface C3dHeader {
  readonly processor: C3dProcessor;
  /** Byte at which the parameter section begins. */
  readonly parametersAt: number;
  readonly points: number;
  readonly analogPerFrame: number;
  readonly firstFrame: number;
  readonly lastFrame: number;
  readonly filledGapFrames: number;
  /** Negative: floating-point data. */
  readonly scale: number;
  /** Block at which the data begin, from 1. */
  readonly dataBlock: number;
  readonly samplesPerFrame: number;
  readonly frameRateHz: number;
  readonly events: readonly C3dEvent[];
}

const KEY = 0x50;
const PROCESSORS: Readonly<Record<number, C3dProcessor>> = { 84: 'Intel', 85: 'DEC', 86: 'MIPS' };
const FOUR_LETTER_EVENTS = 12345;
const MOST_HEADER_EVENTS = 18;

/** Byte of a 16-bit header word counted from 1. */
const word = (number: number): number => 2 * (number - 1);

/** Reads the header block. The processor stands at the start of the parameter section and is needed before any number. */
export function readHeader(file: string, bytes: Uint8Array): { header: C3dHeader; numbers: StoredNumbers } {
  if (bytes.length < 2 || bytes[1] !== KEY) {
    throw c3dForeign(file, bytes.length < 2 ? `${bytes.length} bytes` : `byte 2 is ${bytes[1]}, not ${KEY}`);
  }
  if (bytes.length < BLOCK_BYTES) throw c3dTruncated(file, 'the header', bytes.length, BLOCK_BYTES);
  if (bytes[0] < 2) throw c3dForeign(file, `byte 1 puts the parameters into block ${bytes[0]}`);
  const parametersAt = (bytes[0] - 1) * BLOCK_BYTES;
  if (parametersAt + 4 > bytes.length) {
    throw c3dTruncated(file, 'the parameter section', bytes.length, parametersAt + 4);
  }
  const code = bytes[parametersAt + 3];
  const processor = PROCESSORS[code];
  if (processor === undefined) throw c3dForeign(file, `processor ${code}, not 84, 85 or 86`);
  const numbers = new StoredNumbers(bytes, processor);
  const header: C3dHeader = {
    processor,
    parametersAt,
    points: numbers.unsigned(word(2)),
    analogPerFrame: numbers.unsigned(word(3)),
    firstFrame: numbers.unsigned(word(4)),
    lastFrame: numbers.unsigned(word(5)),
    filledGapFrames: numbers.unsigned(word(6)),
    scale: numbers.float(word(7)),
    dataBlock: numbers.unsigned(word(9)),
    samplesPerFrame: numbers.unsigned(word(10)),
    frameRateHz: numbers.float(word(11)),
    events: headerEvents(file, numbers),
  };
  return { header, numbers };
}

/** Words 150–234: key, count, 18 times in seconds from the first frame, switches, 18 labels of four letters. */
function headerEvents(file: string, numbers: StoredNumbers): C3dEvent[] {
  const count = numbers.unsigned(word(151));
  if (numbers.unsigned(word(150)) !== FOUR_LETTER_EVENTS || count === 0) return [];
  if (count > MOST_HEADER_EVENTS) {
    throw c3dDamaged(file, 'header word 151', `${count} events, and a header holds at most ${MOST_HEADER_EVENTS}`);
  }
  return Array.from({ length: count }, (_, k) => {
    const timeS = numbers.float(word(153) + 4 * k);
    if (!Number.isFinite(timeS)) throw c3dDamaged(file, `header event ${k + 1}`, 'its time is no number');
    return { label: numbers.text(word(199) + 4 * k, 4).replace(/[\0 ]+$/, ''), context: '', timeS };
  });
}
