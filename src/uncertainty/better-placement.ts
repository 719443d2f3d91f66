import type { Camera } from '../cameras/rig.ts';
import { beyondRoom, type PlannedRoom } from '../capture/plan-file.ts';
import { pointOf } from '../predict/posture.ts';
import { cameraMoved, type Stand } from './camera-stand.ts';
import { hipShareHalfWidth } from './foresee.ts';
import type { Scene } from './foreseen-scene.ts';
import { bestRayAngleDeg, checkView, GOOD_RAY_ANGLE_DEG, PICTURE_MARGIN } from './view-checks.ts';

/** A camera that may be moved: where it stands now, and what it is. */
export interface Movable {
  readonly camera: Camera;
  readonly stand: Stand;
}

/** How good a placement is, in the order in which it counts: smaller is better in each. */
export interface PlacementScore {
  /** Beyond the picture's margin, summed over the cameras, share of the picture. */
  readonly outside: number;
  /** Needed landmarks behind a disc, counted over cameras and postures. */
  readonly hidden: number;
  /** Degrees by which the rays at the hips cross too flat or too steep. */
  readonly rayAngleOff: number;
  readonly hipShareHalfWidth95: number;
}

export interface Move {
  readonly camera: string;
  readonly from: Stand;
  readonly to: Stand;
}

export interface Suggestion {
  readonly moves: readonly Move[];
  readonly after: PlacementScore;
}

export interface BetterPlacement {
  readonly now: PlacementScore;
  /** Moving one phone; null where that brings nothing worth the trouble. */
  readonly one: Suggestion | null;
  /** Moving every phone; null where that brings nothing over moving one. */
  readonly all: Suggestion | null;
}

/** Ways tried from where a phone stands, metres and degrees, first coarsely, then finely about the best; heights of the lens, metres. */
const COARSE = { distancesM: steps(5, 0.4), anglesDeg: steps(4, 10), heightsM: [0.7, 1, 1.3] } as const;
const FINE = { distancesM: steps(3, 0.1), anglesDeg: steps(1, 5), heightsM: [] } as const;
/** A phone no nearer to the lifter than this, metres, nor more than this off sideways, degrees: safety, and both legs in sight. Common practice, no source. */
const NEAREST_M = 1.5;
const LARGEST_ANGLE_DEG = 80;
/** A move is worth the trouble from this share of the half width on; moves this near to the best count as equal to it. Common practice, no source. */
const WORTH_SHARE = 0.1;
const NEARLY_BEST = 1.05;
const ROUNDS = 3;

/**
 * The best place of one phone, and of all phones, by trying: distance, angle and height of each within the room.
 *
 * First everything must be in the picture, then as little as possible behind discs, then rays must cross well; among what is
 * left the hip share's interval decides. Of moves that are nearly as good the smallest is taken. Lenses and pixel noise stay as
 * they are: a detector that does better on larger pictures would favour nearer places more.
 * variances: as in `foresee`.
 */
export function betterPlacement(
  scene: Scene,
  movables: readonly Movable[],
  variances: Float64Array,
  room: PlannedRoom | null,
): BetterPlacement {
  const now = scoreOf(scene, movables, variances);
  const singles = movables.map((_, index) => bestMove(scene, movables, index, variances, room));
  const one = singles.reduce((best, tried) => (isBetter(tried.score, best.score) ? tried : best));
  const suggestionOne = isWorth(now, one.score) ? suggestion(movables, one.placed, one.score) : null;

  let all = one;
  for (let round = 0; round < ROUNDS; round++) {
    const before = all;
    for (let index = 0; index < movables.length; index++) {
      const tried = bestMove(scene, all.placed, index, variances, room, movables[index].stand);
      if (isBetter(tried.score, all.score)) all = tried;
    }
    if (all === before) break;
  }
  const moved = suggestion(movables, all.placed, all.score);
  const isMore = moved.moves.length > 1 && isWorth(suggestionOne?.after ?? now, all.score);
  return { now, one: suggestionOne, all: isMore ? moved : null };
}

interface Tried {
  readonly placed: readonly Movable[];
  readonly score: PlacementScore;
}

/** `origin`: where the phone stood at first; the least way is counted from there, and the places tried lie around it. */
function bestMove(
  scene: Scene,
  movables: readonly Movable[],
  index: number,
  variances: Float64Array,
  room: PlannedRoom | null,
  origin: Stand = movables[index].stand,
): Tried {
  const others = movables.map((one, i) => (i === index ? null : viewScore(scene, one.camera)));
  const tryAt = (to: Stand) => {
    const stand = aimed(scene, to);
    const camera = cameraMoved(movables[index].camera, stand, ...scene.middle);
    const placed = movables.map((one, i) => (i === index ? { camera, stand } : one));
    const views = others.map((view) => view ?? viewScore(scene, camera));
    return { placed, score: combine(scene, placed, views, variances), way: wayBetween(origin, to) };
  };
  const here = {
    placed: movables,
    score: scoreOf(scene, movables, variances),
    way: wayBetween(origin, movables[index].stand),
  };
  const coarse = [here, ...placesAround(origin, room, COARSE).map(tryAt)];
  // Also finely about the best of those that leave the height as it is: a tripod is not raised for a fiftieth.
  const bestOf = (some: readonly (typeof here)[]) => some.reduce((a, b) => (isBetter(b.score, a.score) ? b : a));
  const level = coarse.filter(({ placed }) => placed[index].stand.heightM === origin.heightM);
  const middles = new Set([bestOf(coarse), ...(level.length > 0 ? [bestOf(level)] : [])]);
  const fine = [...middles].flatMap(({ placed }) => placesAround(placed[index].stand, room, FINE).map(tryAt));
  const tried = [...coarse, ...fine];
  const best = bestOf(tried);
  const nearly = tried.filter(
    ({ score }) =>
      sameGround(score, best.score) && score.hipShareHalfWidth95 <= NEARLY_BEST * best.score.hipShareHalfWidth95,
  );
  return nearly.reduce((a, b) => (b.way < a.way ? b : a), best);
}

/** 2 n + 1 numbers about 0, `step` apart, without the crumbs of binary fractions. */
function steps(n: number, step: number): number[] {
  return Array.from({ length: 2 * n + 1 }, (_, i) => Number(((i - n) * step).toFixed(9)));
}

function placesAround(from: Stand, room: PlannedRoom | null, around: typeof COARSE | typeof FINE): Stand[] {
  const found: Stand[] = [];
  for (const heightM of [from.heightM, ...around.heightsM]) {
    for (const more of around.distancesM) {
      for (const turn of around.anglesDeg) {
        const to = { ...from, distanceM: from.distanceM + more, angleDeg: from.angleDeg + turn, heightM };
        if (to.distanceM < NEAREST_M || Math.abs(to.angleDeg) > LARGEST_ANGLE_DEG) continue;
        if (room === null || beyondRoom(to, room) === null) found.push(to);
      }
    }
  }
  return found;
}

/** The stand with the picture's middle halfway, in angle, between the floor and the highest point that must be seen. */
export function aimed(scene: Scene, stand: Stand): Stand {
  const up = Math.atan2(scene.topM - stand.heightM, stand.distanceM);
  const down = Math.atan2(-stand.heightM, stand.distanceM);
  return { ...stand, aimHeightM: stand.heightM + stand.distanceM * Math.tan((up + down) / 2) };
}

interface ViewScore {
  readonly outside: number;
  readonly hidden: number;
}

function viewScore(scene: Scene, camera: Camera): ViewScore {
  const { marginShare, hidden } = checkView(camera, scene.watched);
  return {
    outside: Math.max(0, PICTURE_MARGIN - marginShare),
    hidden: hidden.reduce((sum, { postures }) => sum + postures.length, 0),
  };
}

export function scoreOf(scene: Scene, movables: readonly Movable[], variances: Float64Array): PlacementScore {
  return combine(
    scene,
    movables,
    movables.map(({ camera }) => viewScore(scene, camera)),
    variances,
  );
}

function combine(
  scene: Scene,
  placed: readonly Movable[],
  views: readonly ViewScore[],
  variances: Float64Array,
): PlacementScore {
  const cameras = placed.map(({ camera }) => camera);
  const [left, right] = [pointOf(scene.postures.parallel, 'left_hip'), pointOf(scene.postures.parallel, 'right_hip')];
  const angle = bestRayAngleDeg(cameras, [
    (left[0] + right[0]) / 2,
    (left[1] + right[1]) / 2,
    (left[2] + right[2]) / 2,
  ]);
  const [least, most] = GOOD_RAY_ANGLE_DEG;
  return {
    outside: views.reduce((sum, view) => sum + view.outside, 0),
    hidden: views.reduce((sum, view) => sum + view.hidden, 0),
    rayAngleOff: Math.max(0, least - angle, angle - most),
    hipShareHalfWidth95: hipShareHalfWidth(scene, cameras, variances),
  };
}

function isBetter(a: PlacementScore, b: PlacementScore): boolean {
  if (a.outside !== b.outside) return a.outside < b.outside;
  if (a.hidden !== b.hidden) return a.hidden < b.hidden;
  if (a.rayAngleOff !== b.rayAngleOff) return a.rayAngleOff < b.rayAngleOff;
  if (Number.isNaN(b.hipShareHalfWidth95)) return !Number.isNaN(a.hipShareHalfWidth95);
  return a.hipShareHalfWidth95 < b.hipShareHalfWidth95;
}

const sameGround = (a: PlacementScore, b: PlacementScore): boolean =>
  a.outside === b.outside && a.hidden === b.hidden && a.rayAngleOff === b.rayAngleOff;

function isWorth(now: PlacementScore, then: PlacementScore): boolean {
  if (!isBetter(then, now)) return false;
  return !sameGround(now, then) || !(then.hipShareHalfWidth95 > (1 - WORTH_SHARE) * now.hipShareHalfWidth95);
}

function suggestion(from: readonly Movable[], to: readonly Movable[], after: PlacementScore): Suggestion {
  const moves = from.flatMap(({ camera, stand }, i): Move[] =>
    wayBetween(stand, to[i].stand) > 1e-9 ? [{ camera: camera.name, from: stand, to: to[i].stand }] : [],
  );
  return { moves, after };
}

/** How much trouble a move is: a metre, a third of a right angle and a fifth of a metre of height count alike. */
function wayBetween(a: Stand, b: Stand): number {
  return (
    Math.abs(a.distanceM - b.distanceM) + Math.abs(a.angleDeg - b.angleDeg) / 30 + 5 * Math.abs(a.heightM - b.heightM)
  );
}
