import type { BoardImage } from '../cameras/board.ts';
import type { DroppedView } from '../cameras/calibration.ts';
import type { ImageSize } from '../cameras/lens-calibration.ts';
import type { FilmedMode } from '../cameras/lens-file.ts';
import type { VideoInfo } from '../capture/video/probe.ts';

/** The board in the pictures of all cameras. */
export interface BoardSightings {
  readonly images: readonly BoardImage[];
  /** Pictures that are not used, with the reason. */
  readonly dropped: readonly DroppedView[];
  readonly sizes: ReadonlyMap<string, ImageSize>;
  readonly from: FilmedMode['from'];
  /** Pictures looked at, per camera. */
  readonly looked: ReadonlyMap<string, number>;
  /** Of videos: what is known of each, for the check of their mode. */
  readonly videos: ReadonlyMap<string, VideoInfo>;
  /** What a reader must know, for instance clock offsets found. */
  readonly notes: readonly string[];
}
