import type { C3dProcessor } from './c3d-file.ts';

/**
 * The bytes of a C3D file with the number formats of its processor. Places are bytes from the start of the file; the caller
 * has made sure that they lie inside.
 */
export class StoredNumbers {
  readonly length: number;
  readonly #view: DataView;
  readonly #little: boolean;
  readonly #dec: boolean;

  constructor(bytes: Uint8Array, processor: C3dProcessor) {
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    this.length = bytes.byteLength;
    this.#little = processor !== 'MIPS';
    this.#dec = processor === 'DEC';
  }

  byte(at: number): number {
    return this.#view.getUint8(at);
  }

  signedByte(at: number): number {
    return this.#view.getInt8(at);
  }

  integer(at: number): number {
    return this.#view.getInt16(at, this.#little);
  }

  unsigned(at: number): number {
    return this.#view.getUint16(at, this.#little);
  }

  float(at: number): number {
    if (!this.#dec) return this.#view.getFloat32(at, this.#little);
    return decFloat(this.#view.getUint16(at, true), this.#view.getUint16(at + 2, true));
  }

  /** `length` bytes as text, one character a byte. */
  text(at: number, length: number): string {
    let text = '';
    for (let i = 0; i < length; i++) text += String.fromCharCode(this.#view.getUint8(at + i));
    return text;
  }
}

/**
 * A DEC (VAX F) floating-point number, stored as two little-endian words, the one with sign and exponent first:
 * (−1)^s · 0.1f₂ · 2^(e − 128), eight bits of e and 23 of f. e = 0 is zero, with the sign bit set "reserved", here NaN.
 * Exact: each lies among the doubles. (VAX Architecture Handbook, Digital Equipment Corporation 1981; from memory.)
 */
export function decFloat(high: number, low: number): number {
  const exponent = (high >> 7) & 0xff;
  if (exponent === 0) return high & 0x8000 ? Number.NaN : 0;
  const fraction = ((high & 0x7f) << 16) | low;
  const size = (fraction + 0x800000) * 2 ** (exponent - 128 - 24);
  return high & 0x8000 ? -size : size;
}
