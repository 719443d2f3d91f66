/**
 * Repeatable random numbers.
 *
 * Generator: xoshiro128** (Blackman & Vigna 2021, "Scrambled linear pseudorandom number generators", ACM Trans. Math.
 * Softw. 47:36), 128 bits of state, period 2^128 − 1, filled from the seed by SplitMix64 (Steele, Lea & Flood 2014) as its
 * authors advise. Not for secrets.
 */
export interface Random {
  /** Uniform on [0, 1), 53 bits. */
  uniform(): number;
  /** Standard normal, by the polar method (Marsaglia & Bray 1964). */
  normal(): number;
  /** Student t with `degreesOfFreedom` > 0, not scaled to unit variance (Bailey 1994, Math. Comp. 62:779–781). */
  studentT(degreesOfFreedom: number): number;
  /** Integer uniform on 0 … belowN − 1, without modulo bias; 1 ≤ belowN ≤ 2^32. */
  integer(belowN: number): number;
}

/**
 * An unsigned 32-bit seed from words and numbers, the same on every machine: MurmurHash3 (x86, 32 bit; Appleby 2011) of
 * the UTF-8 bytes of the parts written as a JSON array, so that ('a', 'bc') and ('ab', 'c'), or 1 and '1', differ.
 * Throws RangeError for a number that is not finite.
 */
export function hashSeed(...parts: readonly (string | number)[]): number {
  for (const part of parts) {
    if (typeof part === 'number' && !Number.isFinite(part)) throw new RangeError(`hashSeed: ${part} is not finite`);
  }
  return murmur3(new TextEncoder().encode(JSON.stringify(parts)), 0);
}

// Hoisted: some test runners make every look-up of a global slow.
const { sqrt, log, imul } = Math;

/** A stream of random numbers; equal seeds give equal streams. `seed`: integer, 0 … 2^53 − 1; else RangeError. */
export function seededRandom(seed: number): Random {
  if (!Number.isSafeInteger(seed) || seed < 0)
    throw new RangeError(`seededRandom: seed ${seed} is not an integer >= 0`);
  const [low, high] = splitMix64(BigInt(seed), 2);
  const state = new Uint32Array([
    Number(low & 0xffffffffn),
    Number(low >> 32n),
    Number(high & 0xffffffffn),
    Number(high >> 32n),
  ]);
  const next = () => nextWord(state);

  const uniform = () => {
    const upper = next() >>> 5;
    const lower = next() >>> 6;
    return (upper * 67108864 + lower) / 9007199254740992;
  };

  let spare = Number.NaN;
  const normal = () => {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const w = u * u + v * v;
      if (w >= 1 || w === 0) continue;
      const factor = sqrt((-2 * log(w)) / w);
      spare = v * factor;
      return u * factor;
    }
  };

  const studentT = (degreesOfFreedom: number) => {
    if (!(degreesOfFreedom > 0))
      throw new RangeError(`studentT: ${degreesOfFreedom} degrees of freedom; above 0 wanted`);
    if (degreesOfFreedom === Number.POSITIVE_INFINITY) return normal();
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const w = u * u + v * v;
      if (w >= 1 || w === 0) continue;
      return u * Math.sqrt((degreesOfFreedom * Math.expm1((-2 / degreesOfFreedom) * Math.log(w))) / w);
    }
  };

  const integer = (belowN: number) => {
    if (!Number.isInteger(belowN) || belowN < 1 || belowN > 4294967296) {
      throw new RangeError(`integer: upper end ${belowN} is not an integer from 1 to 2^32`);
    }
    const fair = 4294967296 - (4294967296 % belowN);
    for (;;) {
      const word = next();
      if (word < fair) return word % belowN;
    }
  };

  return { uniform, normal, studentT, integer };
}

/** One step of xoshiro128**: returns 32 bits and advances the four words of `state`. */
export function nextWord(state: Uint32Array): number {
  const s0 = state[0];
  const s1 = state[1];
  const s2 = state[2];
  const s3 = state[3];
  const result = imul(rotateLeft(imul(s1, 5), 7), 9) >>> 0;
  const mixed2 = s2 ^ s0;
  const mixed3 = s3 ^ s1;
  state[1] = s1 ^ mixed2;
  state[0] = s0 ^ mixed3;
  state[2] = mixed2 ^ (s1 << 9);
  state[3] = rotateLeft(mixed3, 11);
  return result;
}

/** The first `count` outputs of SplitMix64, unsigned 64 bit. */
export function splitMix64(seed: bigint, count: number): bigint[] {
  const outputs: bigint[] = [];
  let state = seed;
  for (let i = 0; i < count; i++) {
    state = BigInt.asUintN(64, state + 0x9e3779b97f4a7c15n);
    let z = state;
    z = BigInt.asUintN(64, (z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n);
    z = BigInt.asUintN(64, (z ^ (z >> 27n)) * 0x94d049bb133111ebn);
    outputs.push(z ^ (z >> 31n));
  }
  return outputs;
}

/** MurmurHash3_x86_32 of `bytes`, unsigned. */
export function murmur3(bytes: Uint8Array, seed: number): number {
  const scramble = (k: number) => Math.imul(rotateLeft(Math.imul(k, 0xcc9e2d51), 15), 0x1b873593);
  const blocks = bytes.length >>> 2;
  let h = seed | 0;
  for (let i = 0; i < blocks; i++) {
    const at = 4 * i;
    h ^= scramble(bytes[at] | (bytes[at + 1] << 8) | (bytes[at + 2] << 16) | (bytes[at + 3] << 24));
    h = (Math.imul(rotateLeft(h, 13), 5) + 0xe6546b64) | 0;
  }
  let tail = 0;
  for (let i = bytes.length - 1; i >= 4 * blocks; i--) tail = (tail << 8) | bytes[i];
  if (bytes.length % 4 > 0) h ^= scramble(tail);
  h ^= bytes.length;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

function rotateLeft(word: number, by: number): number {
  return (word << by) | (word >>> (32 - by));
}
