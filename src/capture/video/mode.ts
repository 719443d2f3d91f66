import {
  modeAspect,
  modePixelShape,
  modeScaled,
  modeTurned,
  modeUpsideDown,
  videoNotes,
} from '../../messages/video.ts';
import type { PictureSize, VideoInfo } from './probe.ts';

/** What a lens was calibrated from. */
export interface LensMode {
  /** Upright size of the pictures. */
  readonly imageSize: PictureSize;
  /** In words or as a file name, for the message: 'lens-left.mp4', 'the photographs in board/left'. */
  readonly madeFrom: string;
  /** Clockwise turn that made them upright, degrees; absent or null = not known (pictures, older lens files). */
  readonly clockwiseDeg?: number | null;
  /** Width over height of a pixel; absent = square. */
  readonly pixelAspect?: number;
  /** Frames a second; absent or null = photographs, or not known. */
  readonly rateHz?: number | null;
}

/** Sides differing by no more than this share have the same shape: encoders round 1080 to 1088. Common practice, no source. */
const SAME_SHAPE = 0.002;
/** Rates differing by more are another mode: 59.94 is 60. Common practice, no source. */
const SAME_RATE = 0.02;

/**
 * Refuses a video whose picture is visibly not that of the lens: other size, shape or way up. Nothing is scaled or turned to
 * fit. Returns notes on what the numbers leave open: they cannot tell a crop of equal size (stabilisation, zoom, another of
 * the phone's lenses) from the whole picture.
 * Errors: video-mode-turned, video-mode-upside-down, video-mode-aspect, video-mode-scaled, video-mode-pixel-shape.
 */
export function checkSameMode(
  lens: LensMode,
  video: Pick<VideoInfo, 'file' | 'uprightSize' | 'turn' | 'pixelAspect' | 'spacing'>,
): string[] {
  const { imageSize: lensSize, madeFrom } = lens;
  const { file, uprightSize: size } = video;
  const factor = lensSize.width / size.width;
  if (lensSize.width !== size.width || lensSize.height !== size.height) {
    if (isSameShape(lensSize, size)) throw modeScaled(madeFrom, lensSize, file, size, factor);
    const turned = { width: lensSize.height, height: lensSize.width };
    if (isSameShape(turned, size)) throw modeTurned(madeFrom, lensSize, file, size, turned.width !== size.width);
    throw modeAspect(madeFrom, lensSize, file, size);
  }
  const lensAspect = lens.pixelAspect ?? 1;
  if (Math.abs(lensAspect / video.pixelAspect - 1) > SAME_SHAPE) {
    throw modePixelShape(madeFrom, lensAspect, file, video.pixelAspect);
  }
  const lensDeg = lens.clockwiseDeg ?? null;
  if (lensDeg !== null && lensDeg !== video.turn.clockwiseDeg) {
    throw modeUpsideDown(madeFrom, lensDeg, file, video.turn.clockwiseDeg, size);
  }
  const notes = [videoNotes.sameSizeOnly(file)];
  const videoHz = video.spacing.gridHz;
  if (lens.rateHz && Math.abs(lens.rateHz / videoHz - 1) > SAME_RATE) {
    notes.push(videoNotes.rateDiffers(madeFrom, lens.rateHz, file, videoHz));
  }
  return notes;
}

const isSameShape = (a: PictureSize, b: PictureSize): boolean =>
  Math.abs((a.width * b.height) / (a.height * b.width) - 1) <= SAME_SHAPE;
