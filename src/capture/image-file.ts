import sharp from 'sharp';
import {
  imageDamaged,
  imageEmpty,
  imageNotAPicture,
  imageOfSeveralFrames,
  imageTooLarge,
  imageTooSmall,
  imageTypeUnknown,
} from '../messages/images.ts';
import { type ExifFacts, exifFacts } from './exif.ts';
import { type InputLedger, readBytes } from './input-file.ts';

/** A grey picture, upright: EXIF orientation already applied. Pixel (0, 0) is the centre of the top-left pixel. */
export interface GreyImage {
  readonly width: number;
  readonly height: number;
  /** Row-major, `row * width + column`; 0 black to 255 white, as stored (not linear in light). */
  readonly pixels: Uint8Array;
  /** EXIF orientation of the file, 1 to 8; 1 where it says nothing. 2, 4, 5, 7 are mirrored. */
  readonly sourceOrientation?: number;
  readonly source?: ImageSource;
}

/** Where a picture came from, for checks of photo against video mode, turned and resized files. */
export interface ImageSource {
  readonly file: string;
  readonly format: 'jpeg' | 'png';
  /** Size in the file, before turning, px. */
  readonly storedWidth: number;
  readonly storedHeight: number;
  readonly exif: ExifFacts;
}

/** Shorter side below which no board can be measured: 3 × 3 corners with squares of 8 px. */
export const SMALLEST_SIDE_PX = 32;
/** Pixels above which a picture is refused: twice the largest phone photograph (200 megapixels). Common practice, no source. */
export const LARGEST_MEGAPIXELS = 400;

const FORMATS = new Set(['jpeg', 'png']);

/**
 * A JPEG or PNG as grey levels of 8 bits, turned upright. Colour: the luma of sRGB as libvips makes it; 16 bits are reduced
 * to 8; transparent parts are laid on white. Throws a DataError where the file is missing, empty, no picture, cut short, or
 * of an unusable size.
 */
export async function readGreyImage(file: string, ledger: InputLedger | null = null): Promise<GreyImage> {
  const bytes = readBytes(file);
  if (bytes.length === 0) throw imageEmpty(file);
  ledger?.add(file, bytes);
  const facts = await readHeader(file, bytes);
  const { data, info } = await decoded(file, bytes);
  return {
    width: info.width,
    height: info.height,
    pixels: new Uint8Array(data.buffer, data.byteOffset, data.byteLength),
    sourceOrientation: facts.orientation ?? 1,
    source: {
      file,
      format: facts.format as 'jpeg' | 'png',
      storedWidth: facts.width,
      storedHeight: facts.height,
      exif: exifFacts(facts.exif),
    },
  };
}

async function readHeader(file: string, bytes: Uint8Array) {
  const header = await sharp(bytes, { limitInputPixels: false })
    .metadata()
    .catch((error: Error) => {
      throw startsLikePicture(bytes) ? imageDamaged(file, firstLine(error)) : imageNotAPicture(file, firstLine(error));
    });
  if (!FORMATS.has(header.format)) throw imageTypeUnknown(file, header.format);
  if ((header.pages ?? 1) > 1) throw imageOfSeveralFrames(file, header.pages!);
  const { width, height } = header;
  if (Math.min(width, height) < SMALLEST_SIDE_PX) throw imageTooSmall(file, width, height, SMALLEST_SIDE_PX);
  if (width * height > 1e6 * LARGEST_MEGAPIXELS) throw imageTooLarge(file, width, height, LARGEST_MEGAPIXELS);
  return header;
}

/** `failOn: 'truncated'` makes a file that stops early an error instead of a grey strip; nothing is cached between files. */
function decoded(file: string, bytes: Uint8Array) {
  return sharp(bytes, { limitInputPixels: false, failOn: 'truncated' })
    .autoOrient()
    .flatten({ background: 'white' })
    .toColourspace('b-w')
    .extractChannel(0)
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true })
    .catch((error: Error) => {
      throw imageDamaged(file, firstLine(error));
    });
}

/** First bytes of JPEG and PNG (ISO/IEC 10918-1, ISO/IEC 15948). */
function startsLikePicture(bytes: Uint8Array): boolean {
  const begins = (...start: number[]) => start.every((byte, i) => bytes[i] === byte);
  return begins(0xff, 0xd8, 0xff) || begins(0x89, 0x50, 0x4e, 0x47);
}

const firstLine = (error: Error): string => error.message.split('\n')[0].trim();
