/** What a photograph's EXIF block says about how it was taken; null where it does not say. */
export interface ExifFacts {
  readonly make: string | null;
  readonly model: string | null;
  readonly focalLengthMm: number | null;
  /** Focal length of the 35 mm format with the same view; 0 in the file means unknown. */
  readonly focalLength35Mm: number | null;
  /** Size of the picture as the camera stored it; another size in the file means that it was resized or cut. */
  readonly widthPx: number | null;
  readonly heightPx: number | null;
}

const NOTHING: ExifFacts = {
  make: null,
  model: null,
  focalLengthMm: null,
  focalLength35Mm: null,
  widthPx: null,
  heightPx: null,
};

/** Tags of the Exif standard (CIPA DC-008, TIFF 6.0 structure). */
const TAG = {
  make: 0x010f,
  model: 0x0110,
  exif: 0x8769,
  focal: 0x920a,
  focal35: 0xa405,
  width: 0xa002,
  height: 0xa003,
};
/** Bytes per value of TIFF types 1 to 12. */
const TYPE_BYTES = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8];
const MOST_ENTRIES = 500;

/** Reads the block that begins with "Exif\0\0" or with the TIFF header. A damaged block gives nulls, never an error. */
export function exifFacts(block: Uint8Array | undefined): ExifFacts {
  if (block === undefined) return NOTHING;
  try {
    return readFacts(block);
  } catch (error) {
    // A DataView throws RangeError beyond its end.
    if (error instanceof RangeError) return NOTHING;
    throw error;
  }
}

function readFacts(block: Uint8Array): ExifFacts {
  const skip = block[0] === 0x45 && block[1] === 0x78 ? 6 : 0;
  const view = new DataView(block.buffer, block.byteOffset + skip, block.byteLength - skip);
  const order = view.getUint16(0);
  if (order !== 0x4949 && order !== 0x4d4d) return NOTHING;
  const little = order === 0x4949;
  const first = readDirectory(view, view.getUint32(4, little), little);
  const pointer = first.get(TAG.exif);
  const inner = typeof pointer === 'number' ? readDirectory(view, pointer, little) : new Map<number, number | string>();
  const text = (tag: number) => {
    const value = first.get(tag);
    return typeof value === 'string' && value !== '' ? value : null;
  };
  const positive = (tag: number) => {
    const value = inner.get(tag);
    return typeof value === 'number' && value > 0 && Number.isFinite(value) ? value : null;
  };
  return {
    make: text(TAG.make),
    model: text(TAG.model),
    focalLengthMm: positive(TAG.focal),
    focalLength35Mm: positive(TAG.focal35),
    widthPx: positive(TAG.width),
    heightPx: positive(TAG.height),
  };
}

/** First value of each entry: texts, unsigned numbers and unsigned fractions; other types are left out. */
function readDirectory(view: DataView, at: number, little: boolean): Map<number, number | string> {
  const entries = new Map<number, number | string>();
  const count = Math.min(MOST_ENTRIES, view.getUint16(at, little));
  for (let k = 0; k < count; k++) {
    const entry = at + 2 + 12 * k;
    const type = view.getUint16(entry + 2, little);
    const values = view.getUint32(entry + 4, little);
    const bytes = (TYPE_BYTES[type] ?? 0) * values;
    const place = bytes <= 4 ? entry + 8 : view.getUint32(entry + 8, little);
    const value = entryValue(view, place, type, bytes, little);
    if (value !== null) entries.set(view.getUint16(entry, little), value);
  }
  return entries;
}

function entryValue(view: DataView, at: number, type: number, bytes: number, little: boolean): number | string | null {
  if (type === 2) {
    const text = new TextDecoder('latin1').decode(new Uint8Array(view.buffer, view.byteOffset + at, bytes));
    return text.replace(/\0.*$/s, '').trim();
  }
  if (type === 3) return view.getUint16(at, little);
  if (type === 4) return view.getUint32(at, little);
  if (type === 5) return view.getUint32(at, little) / view.getUint32(at + 4, little);
  return null;
}
