import { barEndsExchanged, pointsOutsideImage, sidesExchanged, sidesMirrored } from '../../messages/moving-points.ts';
import { hashSeed } from '../../numerics/random.ts';
import { median } from '../../numerics/statistics.ts';
import type { Camera } from '../rig.ts';
import type { Moments } from './image-tracks.ts';
import { pairsOf, raysOf } from './metric-start.ts';
import { type RelativePoseCandidate, relativePoseCandidates } from './relative-pose.ts';

/** Share of moments that must show an order of two points for it to count. Common practice, no source. */
const CLEAR_ORDER = 0.8;
/** An exchange explains the pictures when it lowers the robust epipolar cost below this share. Common practice, no source. */
const EXPLAINS = 0.6;
/** Pixels this far outside the picture (share of its size) belong to another camera. */
const OUTSIDE = 0.01;
const MOST_PAIRS = 240;
/** Names that meet so well need no other reading: share of pairs on their epipolar lines, and scatter about these, px. Common practice, no source. */
const FINE_INLIERS = 0.95;
const FINE_PX = 4;

/** Throws `points-outside-image` where a camera's points lie outside its picture: another camera's track, or turned pictures. */
export function refuseOutside(moments: Moments, cameras: readonly Camera[]): void {
  const { points, timeS, pixel } = moments;
  cameras.forEach(({ name, imageWidth, imageHeight }, c) => {
    let seen = 0;
    let outside = 0;
    let farthest = [0, 0];
    for (let k = 0; k < timeS.length; k++) {
      for (let p = 0; p < points.length; p++) {
        const o = 2 * ((k * cameras.length + c) * points.length + p);
        const [u, v] = [pixel[o], pixel[o + 1]];
        if (!Number.isFinite(u)) continue;
        seen++;
        const [du, dv] = [OUTSIDE * imageWidth, OUTSIDE * imageHeight];
        if (u >= -du && u <= imageWidth + du && v >= -dv && v <= imageHeight + dv) continue;
        outside++;
        farthest = [u, v];
      }
    }
    // A point may leave the picture now and then where the detector guesses on.
    if (outside > 0.05 * seen) throw pointsOutsideImage(name, outside / seen, farthest, imageWidth, imageHeight);
  });
}

/**
 * Left and right taken for each other in one camera, found without any pose.
 *
 * First by order in the picture: the bar's right end lies on the same side of its left end as the right wrist (shoulder, hip)
 * of the left one, or the camera sees the bar mirrored against the body; and a lifter whose toes are lower in the picture
 * than the heels faces the camera, right side on the picture's left. Then by geometry: the exchange that makes the rays of two
 * cameras meet while the names as given do not. (A body is nearly its own mirror image, so that a mirrored film may well fit:
 * order in the picture is the surer sign.)
 */
export function refuseExchangedSides(
  moments: Moments,
  cameras: readonly Camera[],
  rods: readonly { readonly ends: readonly [number, number] }[],
  seed: number,
): void {
  const { points } = moments;
  for (const { ends } of rods) {
    if (!points[ends[0]].includes('left') || !points[ends[1]].includes('right')) continue;
    cameras.forEach(({ name }, c) => {
      const bar = orderOf(moments, c, ends[0], ends[1]);
      const body = bodyOrder(moments, c);
      if (bar * body < 0) throw barEndsExchanged(name, [points[ends[0]], points[ends[1]]]);
    });
  }
  cameras.forEach(({ name }, c) => {
    // Facing the camera (toes lower in the picture than heels) a lifter has the right side on the picture's left.
    if (feetSide(moments, c) * bodyOrder(moments, c) > 0) throw sidesMirrored(name);
  });
  const rays = raysOf(moments, cameras);
  const bodySides = points.map((name) => points.indexOf(otherSide(name)));
  const rodEnds = new Map(rods.flatMap(({ ends }) => [[ends[0], ends[1]] as const, [ends[1], ends[0]] as const]));
  if (!points.some((_, p) => bodySides[p] >= 0 && !rodEnds.has(p))) return;
  for (let c = 1; c < cameras.length; c++) {
    const own = hashSeed(seed, cameras[0].name, cameras[c].name);
    const best = (exchange: (p: number) => number): RelativePoseCandidate | undefined =>
      relativePoseCandidates(pairsOf(moments, rays, 0, c, MOST_PAIRS, exchange), { seed: own, samples: 30 })[0];
    const asNamed = best((p) => p);
    const fine = asNamed !== undefined && asNamed.inlierShare >= FINE_INLIERS && asNamed.sd * cameras[c].fx <= FINE_PX;
    if (fine) continue;
    const cost = (found: RelativePoseCandidate | undefined) =>
      found === undefined ? Number.POSITIVE_INFINITY : found.cost * found.sd ** 2;
    const names: [string, string] = [cameras[0].name, cameras[c].name];
    const everything = best((p) => rodEnds.get(p) ?? (bodySides[p] >= 0 ? bodySides[p] : p));
    if (cost(everything) < EXPLAINS * cost(asNamed)) throw sidesExchanged(names);
    const bodyOnly = best((p) => (bodySides[p] >= 0 && !rodEnds.has(p) ? bodySides[p] : p));
    if (cost(bodyOnly) < EXPLAINS * cost(asNamed)) throw sidesExchanged(names);
    const barOnly = best((p) => rodEnds.get(p) ?? p);
    if (cost(barOnly) < EXPLAINS * cost(asNamed)) throw barEndsExchanged(names.join(' or '), ['left', 'right']);
  }
}

/** `left_knee` → `right_knee`; a name without a side stays. */
const otherSide = (name: string): string =>
  name.startsWith('left_')
    ? name.replace('left_', 'right_')
    : name.startsWith('right_')
      ? name.replace('right_', 'left_')
      : '';

/** +1 or −1: b lies right or left of a in nearly all moments of a camera; 0 where that changes or is not seen. */
function orderOf(moments: Moments, camera: number, a: number, b: number): number {
  const { cameras, points, timeS, pixel } = moments;
  let right = 0;
  let seen = 0;
  for (let k = 0; k < timeS.length; k++) {
    const row = (k * cameras.length + camera) * points.length;
    const difference = pixel[2 * (row + b)] - pixel[2 * (row + a)];
    if (!Number.isFinite(difference)) continue;
    seen++;
    if (difference > 0) right++;
  }
  if (seen < 3) return 0;
  if (right >= CLEAR_ORDER * seen) return 1;
  return right <= (1 - CLEAR_ORDER) * seen ? -1 : 0;
}

/** Toes nearer to the picture's lower edge than heels by this many pixels: the lifter faces the camera. Common practice, no source. */
const FACING_PX = 6;

/** +1: toes below heels in the picture (seen from in front), −1: above (from behind), 0: not clear. */
function feetSide(moments: Moments, camera: number): number {
  const { cameras, points, timeS, pixel } = moments;
  const differences: number[] = [];
  for (const side of ['left', 'right']) {
    const [heel, toe] = [`${side}_heel`, `${side}_big_toe`].map((name) => points.indexOf(name));
    if (heel < 0 || toe < 0) continue;
    for (let k = 0; k < timeS.length; k++) {
      const row = (k * cameras.length + camera) * points.length;
      const difference = pixel[2 * (row + toe) + 1] - pixel[2 * (row + heel) + 1];
      if (Number.isFinite(difference)) differences.push(difference);
    }
  }
  const middle = differences.length > 0 ? median(differences) : 0;
  return Math.abs(middle) < FACING_PX ? 0 : Math.sign(middle);
}

/** The order that wrists, shoulders and hips agree on; 0 where they do not. */
function bodyOrder(moments: Moments, camera: number): number {
  const orders = ['wrist', 'elbow', 'shoulder', 'hip'].map((joint) => {
    const [a, b] = [`left_${joint}`, `right_${joint}`].map((name) => moments.points.indexOf(name));
    return a < 0 || b < 0 ? 0 : orderOf(moments, camera, a, b);
  });
  const sum = orders.reduce((x, y) => x + y, 0);
  return Math.abs(sum) >= 2 || (orders.filter((x) => x !== 0).length === 1 && sum !== 0) ? Math.sign(sum) : 0;
}
