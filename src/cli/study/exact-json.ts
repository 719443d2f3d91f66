/** Marks an object that stands for a value JSON has no words for. */
const TAG = '§';

/**
 * JSON text that gives back the same values, bit by bit: numbers to the last digit (ECMAScript's shortest text that reads
 * back as the same double), NaN, ±Infinity and −0, maps, and typed arrays as base64 of their bytes, little-endian as on every
 * machine that Node runs on. Properties that are undefined are left out.
 */
export function exactText(value: unknown): string {
  return JSON.stringify(value, (_, entry) => tagged(entry));
}

function tagged(value: unknown): unknown {
  if (typeof value === 'number') {
    if (Object.is(value, -0)) return { [TAG]: 'number', text: '-0' };
    return Number.isFinite(value) ? value : { [TAG]: 'number', text: String(value) };
  }
  if (value instanceof Map) return { [TAG]: 'map', entries: [...value] };
  if (value instanceof Float64Array) return { [TAG]: 'f64', base64: bytesText(value) };
  if (value instanceof Float32Array) return { [TAG]: 'f32', base64: bytesText(value) };
  return value;
}

const bytesText = ({ buffer, byteOffset, byteLength }: Float64Array | Float32Array): string =>
  Buffer.from(buffer, byteOffset, byteLength).toString('base64');

/** The value that `exactText` wrote; throws a SyntaxError where the text is not one. */
export function exactValue(text: string): unknown {
  return JSON.parse(text, (_, entry) => untagged(entry));
}

function untagged(value: unknown): unknown {
  if (value === null || typeof value !== 'object' || !(TAG in value)) return value;
  const { [TAG]: kind, text, entries, base64 } = value as Record<string, unknown>;
  if (kind === 'number') return Number(text);
  if (kind === 'map') return new Map(entries as [unknown, unknown][]);
  // A buffer of its own: the bytes of a small Buffer lie anywhere in a shared pool.
  const bytes = Uint8Array.from(Buffer.from(String(base64), 'base64'));
  if (kind === 'f64') return new Float64Array(bytes.buffer);
  if (kind === 'f32') return new Float32Array(bytes.buffer);
  throw new SyntaxError(`unknown tag ${String(kind)}`);
}
