import { DataError } from '../errors.ts';

/** No posture of the planned lifter stands in balance. `lowCm`, `highCm`: centre of mass ahead of mid-foot at the two limits. */
export const postureUnbalanced = (lowDeg: number, highDeg: number, lowCm: number, highCm: number) =>
  new DataError(
    'posture-unbalanced',
    `The planned lifter cannot stand in balance: with the trunk anywhere from ${lowDeg} to ${highDeg}° from upright the centre of mass stays ` +
      `${Math.min(lowCm, highCm).toFixed(0)} to ${Math.max(lowCm, highCm).toFixed(0)} cm ahead of the middle of the foot. ` +
      'Look at the limb lengths of the lifter (metres, between joint centres), the load and the place of the bar.',
    { lowDeg, highDeg, lowCm, highCm },
  );

const at = (file: string, line: number) => (line > 0 ? `${file}, line ${line}` : file);

export const planCameraTwice = (file: string, line: number, camera: string) =>
  new DataError(
    'plan-camera-twice',
    `${at(file, line)}: two cameras are named "${camera}". Give each a name of its own.`,
    { line, camera },
  );

export const planLensTwice = (file: string, line: number, camera: string) =>
  new DataError(
    'plan-lens-twice',
    `${at(file, line)}: the camera "${camera}" has both focal_px and field_of_view_deg, which say the same thing. Leave one out.`,
    { line, camera },
  );

export const planBarTooHeavy = (file: string, line: number, barKg: number, totalKg: number) =>
  new DataError(
    'plan-bar-too-heavy',
    `${at(file, line)}: the bar alone is ${barKg} kg, more than the whole load of ${totalKg} kg. load.total_kg counts bar, discs and collars together.`,
    { line, barKg, totalKg },
  );

export const planOutsideRoom = (
  file: string,
  line: number,
  camera: string,
  direction: string,
  atM: number,
  limitM: number,
) =>
  new DataError(
    'plan-outside-room',
    `${at(file, line)}: the camera "${camera}" stands ${atM.toFixed(2)} m ${direction} the lifter, and the room ends there at ${limitM} m. ` +
      'Place it nearer, turn its angle, or correct the room.',
    { line, camera, atM, limitM },
  );

export const planLimbLength = (file: string, part: string, lengthM: number, shortestM: number, longestM: number) =>
  new DataError(
    'plan-limb-length',
    `${file}: the ${part} of the planned lifter is ${lengthM.toFixed(2)} m; people have ${shortestM.toFixed(2)} to ${longestM.toFixed(2)} m. ` +
      'Correct it under lifter.lengths_m (metres, between joint centres), or the stature that it follows from.',
    { part, lengthM, shortestM, longestM },
  );

/** Millimetres, degrees and so on as they are printed. */
const mm = (metres: number) => (1000 * metres).toFixed(1);
/** Without the minus of a rounded zero. */
const fixed = (value: number, digits: number) => value.toFixed(digits).replace(/^-(?=0(\.0*)?$)/, '');
const names = (list: readonly string[]) => list.map((name) => name.replaceAll('_', ' ')).join(', ');

/** A phone's move as a coach says it: distance, angle off straight sideways, height; each by how much, the angle also to what. */
export interface MoveWords {
  readonly distanceM: number;
  readonly fromDeg: number;
  readonly toDeg: number;
  readonly heightM: number;
}

/** '0.8 m further away and 15° towards the front (to 60°)'. */
export const moveWords = ({ distanceM, fromDeg, toDeg, heightM }: MoveWords): string => {
  const steps: string[] = [];
  if (Math.abs(distanceM) > 0.04)
    steps.push(`${fixed(Math.abs(distanceM), 1)} m ${distanceM > 0 ? 'further away' : 'closer'}`);
  if (Math.abs(toDeg - fromDeg) > 2) {
    const inward = Math.abs(toDeg) < Math.abs(fromDeg) && fromDeg * toDeg >= 0;
    const way = inward ? 'straight sideways' : toDeg > fromDeg ? 'the front' : 'the back';
    steps.push(`${fixed(Math.abs(toDeg - fromDeg), 0)}° towards ${way} (to ${fixed(toDeg, 0)}°)`);
  }
  if (Math.abs(heightM) > 0.04) steps.push(`${fixed(Math.abs(heightM), 1)} m ${heightM > 0 ? 'higher' : 'lower'}`);
  return steps.join(' and ');
};

/** Phones that move alike share a phrase. */
export const moveTogether = (moves: readonly { readonly camera: string; readonly words: string }[]): string => {
  const alike = new Map<string, string[]>();
  for (const { camera, words } of moves) alike.set(words, [...(alike.get(words) ?? []), camera]);
  const phrases = [...alike].map(([words, cameras]) =>
    cameras.length === 1 ? `the ${cameras[0]} phone ${words}` : `the ${cameras.join(' and ')} phones ${words} each`,
  );
  return `Move ${phrases.join(', ')}`;
};

/** What a move brings: in the picture, behind discs, rays, hip share. */
export interface ScoreWords {
  readonly outside: number;
  readonly hidden: number;
  readonly rayAngleOff: number;
  readonly hipShareHalfWidth95: number;
}

export const suggestionLine = (move: string, now: ScoreWords, then: ScoreWords): string => {
  const brings: string[] = [];
  if (then.outside < now.outside)
    brings.push(then.outside === 0 ? 'everything is in the picture' : 'more is in the picture');
  if (then.hidden < now.hidden) {
    brings.push(
      then.hidden === 0
        ? 'no joint or bar end is behind a disc'
        : `fewer joints and bar ends are behind a disc (${then.hidden} sights instead of ${now.hidden})`,
    );
  }
  if (then.rayAngleOff < now.rayAngleOff) brings.push('the views cross at a better angle');
  const share = (half: number) => (Number.isFinite(half) ? `± ${half.toPrecision(2)}` : 'unknown');
  brings.push(`hip share ${share(now.hipShareHalfWidth95)} → ${share(then.hipShareHalfWidth95)}`);
  return `${move}: ${brings.join(', ')}.`;
};

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

export const noBetterPlace = () =>
  'No move tried would bring anything worth the trouble (a tenth of the interval); the phones can stay.';

export const planHeading = (
  id: string,
  lifter: { readonly statureM: number; readonly massKg: number; readonly sex: string },
  load: { readonly totalKg: number; readonly position: string },
): string =>
  `Plan "${id}": lifter ${lifter.statureM} m, ${lifter.massKg} kg, sex ${lifter.sex}; ` +
  (load.totalKg > 0 ? `${load.totalKg} kg, ${load.position}.` : 'no load.');

export const foreseenHeading = (whitePx: number, slowPx: number, slowS: number): string =>
  `Foreseen 95 % intervals from errors of the points in the pictures alone (${whitePx} px new in every frame, ${slowPx} px that stay about ${slowS} s):`;

/** Heading of the table of all kinds of doubt. */
export const wholeChainHeading = (): string =>
  'All kinds of doubt at parallel, with a calibration that keeps its limits (part of the variance, %):';

/** Half width of an interval with its unit. */
export const halfWidthText = (half: number, quantity: string): string =>
  quantity.endsWith('_deg')
    ? `${half.toFixed(1)}°`
    : quantity.endsWith('_nm')
      ? `${half.toFixed(0)} N·m`
      : half.toFixed(3);

/** A share of a variance, whole per cent. */
export const shareText = (share: number): string => (share < 0.005 ? '<1' : (100 * share).toFixed(0));

/** What the numbers leave out, and what one of these is worth. */
export const planLeavesOut = (perDegree: number, limitDeg: number): string =>
  `Points count as seen even where they are hidden. ` +
  `A vertical that is 1° wrong moves the hip share at parallel by ${fixed(perDegree, 3)}; the accepted ${limitDeg}° by ${fixed(limitDeg * perDegree, 3)}.`;

export const viewFits = (camera: string, marginShare: number, what: string, posture: string): string =>
  `${camera}: everything is in the picture (nearest to its border: ${what}, ${posture}, ${(100 * marginShare).toFixed(0)} % of the picture away).`;

export const viewTight = (
  camera: string,
  marginShare: number,
  what: string,
  posture: string,
  border: string,
  limit: number,
): string => {
  const where =
    marginShare < 0 ? 'is outside the picture' : `is only ${(100 * marginShare).toFixed(1)} % from the border`;
  return (
    `${camera}: the ${what} (${posture}) ${where}, at the ${border}; ${(100 * limit).toFixed(0)} % are wanted. ` +
    'Move the phone back, use a wider lens, or hold it upright.'
  );
};

export const pointsHidden = (camera: string, landmarks: readonly string[], postures: readonly string[]): string =>
  `${camera}: behind a disc or at its edge: ${names(landmarks)} (${postures.join(', ')}). ` +
  'A point needs two views: turn the phone towards the front, or add a third.';

export const raysCross = (angleDeg: number, least: number, most: number): string => {
  const text = `The views cross at ${fixed(angleDeg, 0)}° at the joints`;
  if (angleDeg < least)
    return `${text}, less than ${least}°: how far away a point is stays poorly known. Spread the phones further apart.`;
  if (angleDeg > most) return `${text}, more than ${most}°: they almost face each other. Turn both towards the front.`;
  return `${text}.`;
};

export const fewPixels = (camera: string, pxPerMetre: number, least: number): string =>
  `${camera}: ${pxPerMetre.toFixed(0)} px a metre at the lifter, fewer than ${least}. Move the phone closer or film at a higher resolution.`;

export const motionBlur = (camera: string, blurPx: number, limitPx: number, shutterS: number): string =>
  `${camera}: at a shutter time of ${shutterS} s the fastest points smear over ${fixed(blurPx, 1)} px, more than ${limitPx}. Add light and shorten it to ${((shutterS * limitPx) / blurPx).toPrecision(1)} s.`;

export const planFilesWritten = (folder: string): string =>
  `Written: ${folder}/plan.json, plan.csv, plan-causes.csv, plan.svg.`;

export const intervalText = (halfWidth: number, unit: 'm' | 'deg' | 'nm' | '1', value: number): string => {
  if (!Number.isFinite(halfWidth)) return 'unknown';
  if (unit === 'm') return `± ${mm(halfWidth)} mm`;
  if (unit === 'deg') return `${fixed(value, 0)} ± ${fixed(halfWidth, 2)}°`;
  if (unit === 'nm') return `${fixed(value, 0)} ± ${fixed(halfWidth, 1)} N·m`;
  return `${fixed(value, 2)} ± ${fixed(halfWidth, 3)}`;
};

/** Why a foreseen number is not there. */
export const planReasons = {
  shareUndefined: 'hip and knee moment together are near zero',
  notDetermined: 'the rays of the cameras do not determine a point',
} as const;

/** Words of the warm-up check. */
export const adviceWords = {
  verdict: (verdict: 'good' | 'usable' | 'poor', half: number, good: number, usable: number): string =>
    ({
      good: `Good enough: the hip share at parallel is known to ± ${fixed(half, 3)} (95 %, from the points in the pictures), within ± ${good}.`,
      usable: `Usable, not good: the hip share at parallel is known to ± ${fixed(half, 3)} (95 %, from the points in the pictures); good is within ± ${good}.`,
      poor: `Not good enough: the hip share at parallel is known only to ± ${fixed(half, 3)} (95 %, from the points in the pictures); within ± ${usable} is usable.`,
    })[verdict],
  unknown:
    'The hip share at parallel cannot be foreseen from this recording: its joints are not determined in any frame.',
  joints: (name: string, sdM: number): string =>
    `${capital(name)}: ± ${mm(1.96 * sdM)} mm along the worst direction, after smoothing.`,
  noise: (whitePx: number, slowPx: number): string =>
    `Errors of the points in the pictures: ${fixed(whitePx, 2)} px new in every frame and ${fixed(slowPx, 2)} px that stay (taken to last 0.15 s), as far as the views can contradict each other.`,
  notParallel: (deg: number): string =>
    `No frame reaches parallel: judged at the lowest frame with all joints, thighs at ${fixed(deg, 0)}°.`,
  tooFewFrames: (frames: number, least: number): string =>
    `Only ${frames} samples show how the views contradict each other; ${least} are needed to tell the errors of the points.`,
  vertical: (perDegree: number, stated: number | null): string =>
    `A vertical that is 1° wrong moves this share by ${fixed(perDegree, 3)}` +
    (stated === null
      ? '; how well this rig knows the vertical is not stated.'
      : `; this rig knows it to ± ${fixed(stated, 2)}° (95 %), which is ± ${fixed(stated * perDegree, 3)}.`),
  leavesOut:
    'Not in these numbers: calibration, vertical, clocks, joint centres that are seen in a wrong place, segment masses.',
} as const;
