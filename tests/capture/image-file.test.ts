import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from '@jest/globals';
import sharp from 'sharp';
import { exifFacts } from '../../src/capture/exif.ts';
import { type GreyImage, readGreyImage } from '../../src/capture/image-file.ts';
import { InputLedger } from '../../src/capture/input-file.ts';
import { DataError } from '../../src/errors.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'pictures-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

const WIDTH = 48;
const HEIGHT = 40;
/** Left half black, right half white, but for a grey block in the upper left corner. */
const PATTERN = Uint8Array.from({ length: WIDTH * HEIGHT }, (_, k) => {
  const [x, y] = [k % WIDTH, Math.floor(k / WIDTH)];
  return x < 16 && y < 16 ? 128 : x < WIDTH / 2 ? 0 : 255;
});
const pattern = () => sharp(PATTERN, { raw: { width: WIDTH, height: HEIGHT, channels: 1 } });

async function written(name: string, bytes: Promise<Uint8Array> | Uint8Array): Promise<string> {
  const file = join(folder, name);
  writeFileSync(file, await bytes);
  return file;
}
async function refusal(file: string): Promise<DataError> {
  const error = await readGreyImage(file).then(
    () => null,
    (reason: unknown) => reason,
  );
  if (!(error instanceof DataError)) throw new Error(`no DataError: ${String(error)}`);
  return error;
}
const at = ({ width, pixels }: GreyImage, x: number, y: number) => pixels[y * width + x];

describe('grey levels', () => {
  test('a grey PNG comes back as it is, and its digest is kept', async () => {
    const ledger = new InputLedger(folder);
    const image = await readGreyImage(await written('grey.png', pattern().png().toBuffer()), ledger);
    expect([image.width, image.height, image.sourceOrientation]).toEqual([WIDTH, HEIGHT, 1]);
    expect(image.pixels).toEqual(PATTERN);
    expect(ledger.list().map(({ file }) => file)).toEqual(['grey.png']);
  });

  test('16 bits are reduced to 8', async () => {
    const wide = Uint16Array.from(PATTERN, (x) => 257 * x);
    const bytes = sharp(wide, { raw: { width: WIDTH, height: HEIGHT, channels: 1 } })
      .toColourspace('grey16')
      .png();
    const file = await written('wide.png', bytes.toBuffer());
    expect((await sharp(file).metadata()).depth).toBe('ushort');
    const image = await readGreyImage(file);
    // 128 · 257 in linear steps is 128 again; a rounding of one level.
    for (const k of [0, 20, 47]) expect(Math.abs(image.pixels[k] - PATTERN[k])).toBeLessThanOrEqual(1);
  });

  test('colour becomes luma, transparent becomes white', async () => {
    const rgb = (r: number, g: number, b: number, alpha: number) => ({ r, g, b, alpha });
    const of = async (name: string, background: ReturnType<typeof rgb>) => {
      const plain = sharp({ create: { width: WIDTH, height: HEIGHT, channels: 4, background } })
        .png()
        .toBuffer();
      return at(await readGreyImage(await written(name, plain)), 5, 5);
    };
    const [red, green, blue, clear] = [
      await of('red.png', rgb(255, 0, 0, 1)),
      await of('green.png', rgb(0, 255, 0, 1)),
      await of('blue.png', rgb(0, 0, 255, 1)),
      await of('clear.png', rgb(0, 0, 0, 0)),
    ];
    expect(green).toBeGreaterThan(red);
    expect(red).toBeGreaterThan(blue);
    expect(clear).toBe(255);
  });
});

// EXIF 2.32, tag 274: where row 0 and column 0 of the stored picture lie when it is looked at upright.
test.each([
  [1, WIDTH, 3, 3],
  [2, WIDTH, WIDTH - 4, 3],
  [3, WIDTH, WIDTH - 4, HEIGHT - 4],
  [4, WIDTH, 3, HEIGHT - 4],
  [5, HEIGHT, 3, 3],
  [6, HEIGHT, HEIGHT - 4, 3],
  [7, HEIGHT, HEIGHT - 4, WIDTH - 4],
  [8, HEIGHT, 3, WIDTH - 4],
])('orientation %i: the picture is turned upright', async (orientation, width, x, y) => {
  const bytes = pattern().withMetadata({ orientation }).jpeg({ quality: 100 }).toBuffer();
  const image = await readGreyImage(await written(`turned${orientation}.jpg`, bytes));
  expect([image.width, image.sourceOrientation]).toEqual([width, orientation]);
  expect([image.source!.storedWidth, image.source!.storedHeight]).toEqual([WIDTH, HEIGHT]);
  expect(Math.abs(at(image, x, y) - 128)).toBeLessThan(12);
});

describe('facts of the camera', () => {
  test('make, model and focal lengths', async () => {
    const exif = {
      IFD0: { Make: 'Invented', Model: 'Phone 1' },
      IFD2: { FocalLength: '17/4', FocalLengthIn35mmFilm: '26', PixelXDimension: '4032', PixelYDimension: '3024' },
    };
    const bytes = pattern().withExif(exif).jpeg().toBuffer();
    const { source } = await readGreyImage(await written('phone.jpg', bytes));
    expect(source!.exif).toMatchObject({
      make: 'Invented',
      model: 'Phone 1',
      focalLengthMm: 4.25,
      focalLength35Mm: 26,
    });
  });

  test('a damaged block gives nothing', () => {
    const nothing = exifFacts(undefined);
    expect(Object.values(nothing).every((fact) => fact === null)).toBe(true);
    const block = Uint8Array.from([0x45, 0x78, 0x69, 0x66, 0, 0, 0x4d, 0x4d, 0, 42, 0, 0, 0, 200, 1]);
    expect(exifFacts(block)).toEqual(nothing);
    for (let end = 0; end < block.length; end++) expect(exifFacts(block.slice(0, end))).toEqual(nothing);
  });
});

describe('what is refused', () => {
  test('missing, empty, not a picture, another format', async () => {
    expect((await refusal(join(folder, 'nowhere.jpg'))).code).toBe('file-missing');
    expect((await refusal(folder)).code).toBe('file-is-folder');
    expect((await refusal(await written('empty.jpg', new Uint8Array(0)))).code).toBe('image-empty');
    const text = await written('text.jpg', new TextEncoder().encode('camera,image,corner\n'));
    expect((await refusal(text)).code).toBe('image-not-a-picture');
    const gif = await refusal(await written('moving.gif', pattern().gif().toBuffer()));
    expect([gif.code, gif.facts.format]).toEqual(['image-type-unknown', 'gif']);
  });

  test.each(['jpeg', 'png'] as const)('a %s cut short anywhere', async (format) => {
    const noise = Uint8Array.from({ length: 200 * 150 }, (_, k) => (k * 7919 + ((k * k) % 251)) % 256);
    const whole = await sharp(noise, { raw: { width: 200, height: 150, channels: 1 } })
      .toFormat(format)
      .toBuffer();
    for (const part of [0.05, 0.5, 0.9]) {
      const file = await written(`cut.${format}`, whole.subarray(0, Math.round(part * whole.length)));
      expect((await refusal(file)).code).toBe('image-damaged');
    }
  });

  test('too small, too large', async () => {
    const small = sharp({ create: { width: 20, height: 90, channels: 3, background: 'red' } })
      .png()
      .toBuffer();
    const error = await refusal(await written('small.png', small));
    expect([error.code, error.facts.width, error.facts.leastPx]).toEqual(['image-too-small', 20, 32]);
    // A header that promises 60000 × 60000 px: refused before anything is decoded.
    const header = Buffer.from(await pattern().png().toBuffer());
    header.writeUInt32BE(60000, 16);
    header.writeUInt32BE(60000, 20);
    const { crc32 } = await import('node:zlib');
    if (typeof crc32 !== 'function') return;
    header.writeUInt32BE(crc32(header.subarray(12, 29)), 29);
    expect((await refusal(await written('huge.png', header))).code).toBe('image-too-large');
  });
});
