import { boardCamerasNotLinked, boardCornersReversed, boardViewsDisagree } from '../messages/cameras.ts';
import { median } from '../numerics/statistics.ts';
import type { Board } from './board.ts';
import type { LensCalibration, LensView } from './lens-calibration.ts';
import { angleBetween, composePoses, IDENTITY_POSE, invertPose, type Pose } from './pose.ts';

/** Angle between the relative poses that two images give, above which they disagree, rad (10°). Common practice, no source. */
export const DISAGREE_RAD = (10 * Math.PI) / 180;
/** The same for their distance, as part of the distance from camera to board. Common practice, no source. */
export const DISAGREE_PART = 0.25;

export interface BoardStart {
  /** cameraFromFirst per camera, in the order of the lenses. */
  readonly cameras: readonly Pose[];
  /** firstFromBoard per image name. */
  readonly boards: ReadonlyMap<string, Pose>;
}

/**
 * Where cameras and boards are to begin with: the relative pose of two cameras is that of the shared image which agrees
 * best with all other shared images (the medoid); cameras hang on the first one through the links with most images.
 * Throws where cameras share no image, and where an image contradicts the others (board counted from its other end, or
 * something moved).
 */
export function linkCameras(lenses: readonly LensCalibration[], board: Board): BoardStart {
  const views = lenses.map((lens) => new Map(lens.views.map((view) => [view.image, view])));
  const cameras: (Pose | undefined)[] = lenses.map((_, i) => (i === 0 ? IDENTITY_POSE : undefined));
  for (;;) {
    const link = strongestLink(views, cameras);
    if (link === null) break;
    const between = agreedPose(link.images, views[link.from], views[link.to], board, [
      lenses[link.from].camera,
      lenses[link.to].camera,
    ]);
    cameras[link.to] = composePoses(between, cameras[link.from]!);
  }
  const alone = lenses.filter((_, i) => cameras[i] === undefined).map((lens) => lens.camera);
  if (alone.length > 0) throw boardCamerasNotLinked(lenses[0].camera, alone);
  const boards = new Map<string, Pose>();
  views.forEach((byImage, c) => {
    for (const [image, view] of byImage) {
      if (!boards.has(image)) boards.set(image, composePoses(invertPose(cameras[c]!), view));
    }
  });
  return { cameras: cameras as Pose[], boards };
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
): Pose {
  const poses = images.map((image) => composePoses(to.get(image)!, invertPose(from.get(image)!)));
  const reach = median(images.map((image) => Math.hypot(...to.get(image)!.translation)));
  const apart = (a: Pose, b: Pose) =>
    angleBetween(a.rotation, b.rotation) / DISAGREE_RAD + distance(a, b) / (DISAGREE_PART * reach);
  const cost = poses.map((a) => poses.reduce((sum, b) => sum + Math.min(1, apart(a, b)), 0));
  const medoid = poses[cost.indexOf(Math.min(...cost))];
  images.forEach((image, i) => {
    if (apart(poses[i], medoid) <= 1) return;
    const reversed = composePoses(composePoses(to.get(image)!, otherEnd(board)), invertPose(from.get(image)!));
    if (apart(reversed, medoid) <= 1) throw boardCornersReversed(names[1], image, names[0]);
    const angleDeg = (angleBetween(poses[i].rotation, medoid.rotation) * 180) / Math.PI;
    throw boardViewsDisagree(names[1], image, names[0], angleDeg, distance(poses[i], medoid));
  });
  return medoid;
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
