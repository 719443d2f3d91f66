import { DataError } from '../errors.ts';

// Lens files

export const lensFileKind = (file: string, kind: string) =>
  new DataError(
    'lens-file-kind',
    `${file}: this is not a lens file ("kind": "camera lenses" is wanted, found ${kind}). Make one with kneeward calibrate lens.`,
    { file, kind },
  );

export const lensFieldWrong = (file: string, field: string, reason: string) =>
  new DataError('lens-field-wrong', `${file}, ${field}: ${reason}. See docs/lens.schema.json.`, { file, field });

export const lensMissing = (file: string, camera: string, known: readonly string[]) =>
  new DataError(
    'lens-missing',
    `${file}: it has no lens for camera "${camera}" (it has ${known.join(', ')}). Calibrate that camera's lens too, or spell the names alike.`,
    { file, camera },
  );

export const imageDoesNotFitLens = (camera: string, image: string, rmsPx: number, limitPx: number, dropped: number) =>
  new DataError(
    'image-does-not-fit-lens',
    `camera ${camera}: ${dropped} images were left out because their corners do not fit the others, and image ${image} does not fit either (${rmsPx.toFixed(1)} px r.m.s., limit ${limitPx.toFixed(1)} px). Are all images of one board and one zoom, sharp, and the counts of inner corners right? Was the phone's focus locked?`,
    { camera, image, rmsPx, limitPx, dropped },
  );

/** Why a pair of pictures was left out; `reason` is the message that refuses it elsewhere. */
export const pairDisagrees = (reason: string) =>
  reason.replace(/ (Leave the image out|Count both|Exchange the two).*$/, '');
