import {
  boardCamerasNotLinked,
  boardCornersReversed,
  boardPicturesExchanged,
  boardViewsDisagree,
} from '../messages/cameras.ts';
import { pairDisagrees } from '../messages/lenses.ts';
import { median } from '../numerics/statistics.ts';
import type { Board } from './board.ts';
import type { DroppedView } from './calibration.ts';
import type { LensView } from './lens-calibration.ts';
import { angleBetween, composePoses, IDENTITY_POSE, invertPose, type Pose } from './pose.ts';

/** Angle between the relative poses that two images give, above which they disagree, rad (10°). Common practice, no source. */
export const DISAGREE_RAD = (10 * Math.PI) / 180;
/** The same for their distance, as part of the distance from camera to board. Common practice, no source. */
export const DISAGREE_PART = 0.25;

/** Most shared images, of all that two cameras share, that may be left out because they contradict the others. Common practice, no source. */
export const DISAGREE_SHARE = 1 / 3;

/** The board before one camera in all its images. */
export interface CameraViews {
  readonly camera: string;
  readonly views: readonly LensView[];
}

export interface BoardStart {
  /** Images that contradict the others, one entry for each of the two cameras; empty where disagreement is refused. */
  readonly dropped: readonly DroppedView[];
  /** cameraFromFirst per camera, in the order of the lenses. */
  readonly cameras: readonly Pose[];
  /** firstFromBoard per image name. */
  readonly boards: ReadonlyMap<string, Pose>;
}

/**
 * Where cameras and boards are to begin with: the relative pose of two cameras is that of the shared image which agrees
 * best with all other shared images (the medoid); cameras hang on the first one through the links with most images.
 * Throws where cameras share no image, and where an image contradicts the others (board counted from its other end,
 * pictures exchanged, or something moved); with `outliers: 'dropped'` only where more than DISAGREE_SHARE of them do.
 */
export function linkCameras(
  lenses: readonly CameraViews[],
  board: Board,
  outliers: 'refused' | 'dropped' = 'refused',
): BoardStart {
  const dropped: DroppedView[] = [];
  const views = lenses.map((lens) => new Map(lens.views.map((view) => [view.image, view])));
  const cameras: (Pose | undefined)[] = lenses.map((_, i) => (i === 0 ? IDENTITY_POSE : undefined));
  for (;;) {
    const link = strongestLink(views, cameras);
    if (link === null) break;
    const names = [lenses[link.from].camera, lenses[link.to].camera] as const;
    const agreed = agreedPose(link.images, views[link.from], views[link.to], board, names, outliers);
    cameras[link.to] = composePoses(agreed.pose, cameras[link.from]!);
    for (const { image, reason } of agreed.dropped) {
      dropped.push(...names.map((camera) => ({ camera, image, reason })));
      views[link.from].delete(image);
      views[link.to].delete(image);
    }
  }
  const alone = lenses.filter((_, i) => cameras[i] === undefined).map((lens) => lens.camera);
  if (alone.length > 0) throw boardCamerasNotLinked(lenses[0].camera, alone);
  const boards = new Map<string, Pose>();
  views.forEach((byImage, c) => {
    for (const [image, view] of byImage) {
      if (!boards.has(image)) boards.set(image, composePoses(invertPose(cameras[c]!), view));
    }
  });
  return { cameras: cameras as Pose[], boards, dropped };
}

interface Link {
  readonly from: number;
  readonly to: number;
  readonly images: readonly string[];
}

/** The pair (placed camera, unplaced camera) that shares most images, or null where none shares any. */
function strongestLink(
  views: readonly ReadonlyMap<string, LensView>[],
  cameras: readonly (Pose | undefined)[],
): Link | null {
  let best: Link | null = null;
  for (let from = 0; from < views.length; from++) {
    for (let to = 0; to < views.length; to++) {
      if (cameras[from] === undefined || cameras[to] !== undefined) continue;
      const images = [...views[from].keys()].filter((image) => views[to].has(image));
      if (images.length > (best?.images.length ?? 0)) best = { from, to, images };
    }
  }
  return best;
}

function agreedPose(
  images: readonly string[],
  from: ReadonlyMap<string, LensView>,
  to: ReadonlyMap<string, LensView>,
  board: Board,
  names: readonly [string, string],
  outliers: 'refused' | 'dropped',
): { pose: Pose; dropped: { image: string; reason: string }[] } {
  const poses = images.map((image) => composePoses(to.get(image)!, invertPose(from.get(image)!)));
  const reach = median(images.map((image) => Math.hypot(...to.get(image)!.translation)));
  const apart = (a: Pose, b: Pose) =>
    angleBetween(a.rotation, b.rotation) / DISAGREE_RAD + distance(a, b) / (DISAGREE_PART * reach);
  const cost = poses.map((a) => poses.reduce((sum, b) => sum + Math.min(1, apart(a, b)), 0));
  const medoid = poses[cost.indexOf(Math.min(...cost))];
  const against = images
    .map((image, i) => ({ image, pose: poses[i] }))
    .filter(({ pose }) => apart(pose, medoid) > 1)
    .map(({ image, pose }) => {
      const reversed = composePoses(composePoses(to.get(image)!, otherEnd(board)), invertPose(from.get(image)!));
      if (apart(reversed, medoid) <= 1) return { image, error: boardCornersReversed(names[1], image, names[0]) };
      if (apart(invertPose(pose), medoid) <= 1) return { image, error: boardPicturesExchanged(image, names) };
      const angleDeg = (angleBetween(pose.rotation, medoid.rotation) * 180) / Math.PI;
      return { image, error: boardViewsDisagree(names[1], image, names[0], angleDeg, distance(pose, medoid)) };
    });
  const tooMany = against.length > DISAGREE_SHARE * images.length;
  if (against.length > 0 && (outliers === 'refused' || tooMany)) throw against[0].error;
  return {
    pose: medoid,
    dropped: against.map(({ image, error }) => ({ image, reason: pairDisagrees(error.message) })),
  };
}

/** The board counted from the corner diagonally opposite: half a turn about its normal. */
function otherEnd({ columns, rows, squareSizeM }: Board): Pose {
  return {
    rotation: Float64Array.of(-1, 0, 0, 0, -1, 0, 0, 0, 1),
    translation: Float64Array.of((columns - 1) * squareSizeM, (rows - 1) * squareSizeM, 0),
  };
}

function distance(a: Pose, b: Pose): number {
  return Math.hypot(
    a.translation[0] - b.translation[0],
    a.translation[1] - b.translation[1],
    a.translation[2] - b.translation[2],
  );
}
