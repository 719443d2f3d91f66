import { DataError } from '../errors.ts';

// Image files

export const imageEmpty = (file: string) =>
  new DataError('image-empty', `${file}: the picture file is empty (0 bytes). Copy it from the camera again.`, {
    file,
  });

export const imageNotAPicture = (file: string, reason: string) =>
  new DataError(
    'image-not-a-picture',
    `${file}: this is not a picture (${reason}). Name JPEG or PNG files; phones that store HEIC can export JPEG ("most compatible").`,
    { file, reason },
  );

export const imageTypeUnknown = (file: string, format: string) =>
  new DataError(
    'image-type-unknown',
    `${file}: a picture of type ${format}; JPEG and PNG are read. Export it as one of these at full size, without editing.`,
    { file, format },
  );

export const imageDamaged = (file: string, reason: string) =>
  new DataError(
    'image-damaged',
    `${file}: the picture is damaged or was cut short while copying (${reason}). Copy it from the camera again.`,
    { file, reason },
  );

export const imageOfSeveralFrames = (file: string, frames: number) =>
  new DataError(
    'image-of-several-frames',
    `${file}: holds ${frames} frames; one picture a file is read. Save the wanted frame as its own file.`,
    { file, frames },
  );

export const imageTooSmall = (file: string, width: number, height: number, leastPx: number) =>
  new DataError(
    'image-too-small',
    `${file}: ${width} × ${height} px; each side needs at least ${leastPx} px. Is it a preview? Use the original picture.`,
    { file, width, height, leastPx },
  );

export const imageTooLarge = (file: string, width: number, height: number, limitMegapixels: number) =>
  new DataError(
    'image-too-large',
    `${file}: ${width} × ${height} px is ${Math.round((width * height) / 1e6)} megapixels; up to ${limitMegapixels} are read. Use the picture as the camera stored it.`,
    { file, width, height, limitMegapixels },
  );

// Pictures of boards

export const chessboardSymmetric = (columns: number, rows: number, cameras: number) =>
  new DataError(
    'chessboard-symmetric',
    `A chessboard of ${columns} × ${rows} inner corners looks the same after half a turn${columns === rows ? ' (and its corners after a quarter turn too)' : ''}, so ${cameras} cameras cannot agree on which corner is the first. Use a board with an even count one way and an odd count the other (9 × 6, 7 × 10), or a board with markers. For the lens of a single camera this board will do.`,
    { columns, rows, cameras },
  );

export const boardPictureNameUnclear = (file: string) =>
  new DataError(
    'board-picture-name-unclear',
    `${file}: the name does not say which camera took it and which moment it shows. Call the files left01.jpg, right01.jpg … (camera, then number), or put each camera's pictures in a folder of its own: left/01.jpg, right/01.jpg.`,
    { file },
  );

export const boardPictureTwice = (camera: string, image: string, first: string, second: string) =>
  new DataError(
    'board-picture-twice',
    `${first} and ${second}: both are camera ${camera}, image ${image}. Rename one of them, or leave it out.`,
    { camera, image, first, second },
  );

export const imageSizeDiffers = (
  camera: string,
  image: string,
  size: readonly [number, number],
  usual: readonly [number, number],
  count: number,
) => {
  const [w, h] = size;
  const [uw, uh] = usual;
  const cause = w === uh && h === uw ? 'turned' : Math.abs((w * uh) / (h * uw) - 1) < 0.01 ? 'resized' : 'other-mode';
  const advice = {
    turned:
      'It is turned by a quarter: take all pictures the same way round as the lift, or correct its orientation flag.',
    resized: 'It was resized: use the picture as the camera stored it.',
    'other-mode':
      'It was cropped or taken in another mode (photo instead of video, another zoom): a lens holds for one mode only.',
  }[cause];
  return new DataError(
    'image-size-differs',
    `camera ${camera}, image ${image}: ${w} × ${h} px, but ${count} other ${count === 1 ? 'picture' : 'pictures'} of this camera ${count === 1 ? 'is' : 'are'} ${uw} × ${uh} px. ${advice}`,
    { camera, image, width: w, height: h, usualWidth: uw, usualHeight: uh, cause },
  );
};

export const imageOrientationDiffers = (
  camera: string,
  image: string,
  orientation: number,
  usual: number,
  count: number,
) =>
  new DataError(
    'image-orientation-differs',
    `camera ${camera}, image ${image}: the camera was held another way round (orientation flag ${orientation}; ${usual} in ${count} other ${count === 1 ? 'picture' : 'pictures'}), so the lens sits elsewhere in the picture. Take all pictures with the camera in the same position, or leave this one out.`,
    { camera, image, orientation, usual },
  );

export const boardPicturesMirrored = (
  camera: string,
  against: string,
  images: number,
  asTheyAreDeg: number,
  turnedOverDeg: number,
) =>
  new DataError(
    'board-pictures-mirrored',
    `cameras ${against} and ${camera}: one of them stores mirrored pictures. As they are, ${images} shared images disagree by ${asTheyAreDeg.toFixed(0)}° on how the cameras stand; with one camera's pictures turned over they agree within ${turnedOverDeg.toFixed(1)}°. Look for writing in the pictures, switch off "mirror front camera", and film again: left and right would be exchanged.`,
    { camera, against, images, asTheyAreDeg, turnedOverDeg },
  );

/** Why a board was not measured in a picture. */
export function boardMissed(
  missed: {
    readonly reason: string | null;
    readonly seen: { readonly columns: number; readonly rows: number } | null;
    readonly cornersSeen: number;
    readonly edgeWidthPx: number;
  },
  board: { readonly columns: number; readonly rows: number },
): string {
  const { reason, seen, cornersSeen, edgeWidthPx } = missed;
  const [wanted, found] = [`${board.columns} × ${board.rows}`, seen === null ? '' : `${seen.columns} × ${seen.rows}`];
  const texts: Record<string, string> = {
    'flat-picture': 'the whole picture is of one grey: lens covered, or far too dark or bright',
    'no-corners': `no board of ${wanted} inner corners is in it, or it is too small or too dark`,
    'too-blurred': `too blurred (edges ${edgeWidthPx.toFixed(0)} px wide): hold the board still, lock the focus, more light`,
    'too-small': 'the squares are under 6 px wide: bring the board nearer',
    'other-size': `shows a board of ${found} inner corners instead of ${wanted}: another board, or part of it is covered`,
    'cut-off': `only ${cornersSeen} corners (${found}) are in the picture; the board reaches over its border`,
    'partly-hidden': `only ${cornersSeen} of ${board.columns * board.rows} corners are seen: fingers, glare or shadow on the board`,
    'several-boards': `two boards of ${wanted} corners are in it: leave one`,
    mirrored: 'the colours of the squares are those of a mirrored picture: switch off mirroring, or leave it out',
  };
  return texts[reason ?? ''] ?? 'the board was not found';
}
