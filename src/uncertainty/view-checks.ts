import { INNER_COLLARS_APART_M } from '../body/barbell.ts';
import { cameraCentre, projectInto } from '../cameras/camera-model.ts';
import type { Camera } from '../cameras/rig.ts';
import { type Landmark, MOMENT_LANDMARKS } from '../capture/landmarks.ts';
import { type Posture, pointOf } from '../predict/posture.ts';

/** Radius of competition discs, metres: IWF Technical and Competition Rules (restated specification), 450 mm. */
export const DISC_RADIUS_M = 0.225;
/** A point this near to a disc's edge, metres, counts as hidden: no lifter stands exactly as foreseen. Common practice, no source. */
const HIDING_MARGIN_M = 0.02;
/** Thickness of a pack of discs a kilogram on its side. Common practice, no source (a 25 kg disc is some 65 mm thick). */
const DISC_THICKNESS_M_PER_KG = 0.0028;

/** Margin to the picture's border that everything must keep, share of width and of height. Common practice, no source. */
export const PICTURE_MARGIN = 0.03;
/** Rays should cross at an angle in between, degrees. Common practice, no source. */
export const GOOD_RAY_ANGLE_DEG = [50, 130] as const;
/** Fewest pixels a metre at the lifter. Common practice, no source. */
export const LEAST_PX_PER_M = 200;
/** Fastest movement of hips and bar in a squat, m/s, for blur. Common practice, no source. */
export const FASTEST_M_PER_S = 1.2;
/** Largest smear of a moving point that is harmless, px. Common practice, no source. */
export const LARGEST_BLUR_PX = 2;

/** Points above the ears that must be seen too: crown of the head above the ears, metres. Common practice, no source. */
const CROWN_ABOVE_EARS_M = 0.14;

/** Landmarks whose hiding costs moments: the joints and, where it is filmed, the bar's ends. */
const NEEDED: readonly Landmark[] = [...MOMENT_LANDMARKS, 'bar_left_end', 'bar_right_end'];

/** The bar as something that hides and must fit. null where there is none. */
export interface DiscPack {
  readonly loadKg: number;
  readonly barKg: number;
}

/** One posture as the cameras must see it; made once by `watch`, since many placements are tried on it. */
export interface Watched {
  /** As it is printed: 'standing', 'parallel' … */
  readonly name: string;
  /** Names and places (`3 * i`, metres) of all that a picture must hold: landmarks, crown of the head, rims of the discs. */
  readonly parts: readonly string[];
  readonly places: Float64Array;
  /** Joints and bar ends, whose hiding costs moments: names and places. */
  readonly needed: readonly Landmark[];
  readonly neededPlaces: Float64Array;
  readonly midHip: readonly [number, number, number];
  /** Middle of the bar and how thick the pack of discs on each side is, metres; null where nothing can hide. */
  readonly discs: { readonly bar: readonly [number, number, number]; readonly thicknessM: number } | null;
}

export interface ViewCheck {
  readonly camera: string;
  /** Least distance of anything that must be seen to the border, as a share of width or height; negative = outside. */
  readonly marginShare: number;
  /** What comes nearest to the border, in which posture, and at which border. */
  readonly nearest: {
    readonly what: string;
    readonly posture: string;
    readonly border: 'left' | 'right' | 'top' | 'bottom';
  };
  /** Needed landmarks behind a disc, with the postures in which they are. */
  readonly hidden: readonly { readonly landmark: Landmark; readonly postures: readonly string[] }[];
  /** At the lifter's mid-hip in the last posture, in the plane square to the ray. */
  readonly pxPerMetre: number;
}

/** A posture prepared for `checkView`. discs: null where there is no bar. */
export function watch(name: string, posture: Posture, discs: DiscPack | null): Watched {
  const seen = [...mustBeSeen(posture, discs)];
  const needed = NEEDED.filter((landmark) => Number.isFinite(pointOf(posture, landmark)[0]));
  const bar = barCentre(posture);
  const perSideKg = discs === null ? 0 : (discs.loadKg - discs.barKg) / 2;
  return {
    name,
    parts: seen.map(([part]) => part),
    places: Float64Array.from(seen.flatMap(([, x, y, z]) => [x, y, z])),
    needed,
    neededPlaces: Float64Array.from(needed.flatMap((landmark) => pointOf(posture, landmark))),
    midHip: middle(pointOf(posture, 'left_hip'), pointOf(posture, 'right_hip')),
    discs: bar && perSideKg > 0 ? { bar, thicknessM: DISC_THICKNESS_M_PER_KG * perSideKg } : null,
  };
}

/** Highest point of all postures that must be seen, metres. */
export function topOf(watched: readonly Watched[]): number {
  let top = 0;
  for (const { places } of watched) for (let i = 1; i < places.length; i += 3) top = Math.max(top, places[i]);
  return top;
}

const pixel = new Float64Array(2);

/** What one camera sees of the postures. */
export function checkView(camera: Camera, watched: readonly Watched[]): ViewCheck {
  let marginShare = Number.POSITIVE_INFINITY;
  let nearest: ViewCheck['nearest'] = { what: '', posture: '', border: 'left' };
  for (const { name, parts, places } of watched) {
    for (let i = 0; i < parts.length; i++) {
      const depth = projectInto(pixel, 0, camera, places[3 * i], places[3 * i + 1], places[3 * i + 2]);
      for (let border = 0; border < BORDERS.length; border++) {
        const share = depth > 0 ? borderShare(camera, border, pixel) : BEHIND_SHARE;
        if (share >= marginShare) continue;
        marginShare = share;
        nearest = { what: parts[i], posture: name, border: BORDERS[border] };
      }
    }
  }
  const eye = cameraCentre(camera);
  const { midHip } = watched[watched.length - 1];
  const distanceM = Math.hypot(midHip[0] - eye[0], midHip[1] - eye[1], midHip[2] - eye[2]);
  return {
    camera: camera.name,
    marginShare,
    nearest,
    hidden: hiddenPoints(eye, watched),
    pxPerMetre: camera.fx / distanceM,
  };
}

/** Stands for the margin of a point behind the lens. */
const BEHIND_SHARE = -1;

/** Landmarks the discs hide from a lens, each with the postures in which they do. */
function hiddenPoints(eye: Float64Array, watched: readonly Watched[]): ViewCheck['hidden'] {
  const found = new Map<Landmark, string[]>();
  for (const { name, needed, neededPlaces, discs } of watched) {
    if (discs === null) continue;
    needed.forEach((landmark, i) => {
      const isHidden = isBehindDisc(eye, neededPlaces.subarray(3 * i, 3 * i + 3), discs.bar, discs.thicknessM);
      if (isHidden) found.set(landmark, [...(found.get(landmark) ?? []), name]);
    });
  }
  return [...found].map(([landmark, postures]) => ({ landmark, postures }));
}

/** The points of a posture that a picture must hold, by name. */
function* mustBeSeen(posture: Posture, discs: DiscPack | null): Generator<[string, number, number, number]> {
  for (const landmark of posture.landmarks) {
    const [x, y, z] = pointOf(posture, landmark);
    if (Number.isFinite(x)) yield [landmark.replaceAll('_', ' '), x, y, z];
  }
  const ears = middle(pointOf(posture, 'left_ear'), pointOf(posture, 'right_ear'));
  if (Number.isFinite(ears[0])) yield ['top of the head', ears[0], ears[1] + CROWN_ABOVE_EARS_M, ears[2]];
  const bar = barCentre(posture);
  if (discs === null || bar === null) return;
  for (const side of ['left', 'right'] as const) {
    const z = bar[2] + ((side === 'left' ? -1 : 1) * INNER_COLLARS_APART_M) / 2;
    yield [`${side} disc`, bar[0], bar[1] + DISC_RADIUS_M, z];
    yield [`${side} disc`, bar[0], bar[1] - DISC_RADIUS_M, z];
    yield [`${side} disc`, bar[0] + DISC_RADIUS_M, bar[1], z];
    yield [`${side} disc`, bar[0] - DISC_RADIUS_M, bar[1], z];
  }
}

function barCentre(posture: Posture): readonly [number, number, number] | null {
  const centre = middle(pointOf(posture, 'bar_left_end'), pointOf(posture, 'bar_right_end'));
  return Number.isFinite(centre[0]) ? centre : null;
}

function middle(a: readonly [number, number, number], b: readonly [number, number, number]): [number, number, number] {
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
}

const BORDERS = ['left', 'right', 'top', 'bottom'] as const;

/** Distance of a pixel to a border of the picture (index into BORDERS), as a share of width or height; negative = outside. */
function borderShare({ imageWidth, imageHeight }: Camera, border: number, uv: Float64Array): number {
  if (border === 0) return (uv[0] + 0.5) / imageWidth;
  if (border === 1) return (imageWidth - 0.5 - uv[0]) / imageWidth;
  return border === 2 ? (uv[1] + 0.5) / imageHeight : (imageHeight - 0.5 - uv[1]) / imageHeight;
}

/**
 * True where the line from the lens to a point passes through a pack of discs: a cylinder about the bar (taken to lie along
 * lab Z) from the inner collar outward. The part of the line within the pack's width is found first, then whether it comes
 * within the radius there. All in metres.
 */
export function isBehindDisc(
  eye: ArrayLike<number>,
  point: ArrayLike<number>,
  bar: readonly [number, number, number],
  thicknessM: number,
): boolean {
  const [dx, dy, dz] = [point[0] - eye[0], point[1] - eye[1], point[2] - eye[2]];
  const [ex, ey] = [eye[0] - bar[0], eye[1] - bar[1]];
  for (const side of [-1, 1]) {
    const inner = bar[2] + (side * INNER_COLLARS_APART_M) / 2;
    const a = (inner - eye[2]) / dz;
    const b = (inner + side * thicknessM - eye[2]) / dz;
    // A point on the near face of a pack is in front of it, not behind.
    const from = Math.max(0, Math.min(a, b));
    const to = Math.min(0.999, Math.max(a, b));
    if (!(from < to)) continue;
    const nearest = -(ex * dx + ey * dy) / (dx * dx + dy * dy);
    const t = Math.min(to, Math.max(from, nearest));
    if (Math.hypot(ex + t * dx, ey + t * dy) < DISC_RADIUS_M + HIDING_MARGIN_M) return true;
  }
  return false;
}

/** Angle between the rays of the best pair of cameras at a point, degrees, 0–180: the pair nearest to a right angle. */
export function bestRayAngleDeg(cameras: readonly Camera[], point: readonly [number, number, number]): number {
  const rays = cameras.map((camera) => {
    const eye = cameraCentre(camera);
    const d = [point[0] - eye[0], point[1] - eye[1], point[2] - eye[2]];
    const length = Math.hypot(d[0], d[1], d[2]);
    return d.map((value) => value / length);
  });
  let best = 0;
  for (let a = 0; a < rays.length; a++) {
    for (let b = a + 1; b < rays.length; b++) {
      const cosine = rays[a][0] * rays[b][0] + rays[a][1] * rays[b][1] + rays[a][2] * rays[b][2];
      const angle = (Math.acos(Math.max(-1, Math.min(1, cosine))) * 180) / Math.PI;
      if (Math.abs(angle - 90) < Math.abs(best - 90)) best = angle;
    }
  }
  return best;
}
