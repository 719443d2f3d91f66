import { planBarTooHeavy, planCameraTwice, planLensTwice, planOutsideRoom } from '../messages/plan.ts';
import type { InputLedger } from './input-file.ts';
import { checkManifest, readManifest } from './manifest.ts';
import { type PlanCameraFile, type PlanFile, planJsonSchema, planSchema } from './plan-schema.ts';
import type { BarPosition, Sex, Smoothing } from './recording.ts';
import { DEFAULT_SETTINGS } from './recording.ts';

/** How a set is going to be filmed: the checked contents of `plan.yaml`, every default filled in. SI units, angles in degrees. */
export interface FilmingPlan {
  /** Path as the user gave it, or the command's name: every message starts with it. */
  readonly file: string;
  readonly id: string;
  readonly lifter: {
    readonly sex: Sex;
    readonly statureM: number;
    readonly massKg: number;
    /** Lengths that were measured, metres; the others follow from stature. */
    readonly lengthsM: Readonly<Partial<Record<MeasuredLengthName, number>>>;
    /** Distance of the ankle centres, metres; null = shoulder width. */
    readonly ankleDistanceM: number | null;
    readonly toeOutDeg: number;
  };
  readonly load: {
    readonly totalKg: number;
    readonly bar: { readonly position: BarPosition; readonly lengthM: number | null; readonly massKg: number | null };
  };
  readonly cameras: readonly PlannedCamera[];
  readonly noise: { readonly whitePx: number; readonly slowPx: number; readonly slowS: number };
  readonly smoothing: Extract<Smoothing, { kind: 'fixed' }>;
  readonly room: PlannedRoom | null;
}

export interface PlannedCamera {
  readonly name: string;
  readonly side: 'left' | 'right';
  /** Off straight sideways: 0 beside the lifter, 90 straight ahead, negative behind. */
  readonly angleDeg: number;
  readonly distanceM: number;
  readonly heightM: number;
  /** Height of the point in the lifter's middle that the picture's middle shows; null = half the height of what must be seen. */
  readonly aimHeightM: number | null;
  readonly imageWidth: number;
  readonly imageHeight: number;
  readonly focalPx: number;
  readonly frameRateHz: number;
  /** Shutter time, seconds; null = not stated. */
  readonly shutterS: number | null;
}

/** Free floor from the lifter's middle, metres, in which a phone may stand. */
export interface PlannedRoom {
  readonly frontM: number;
  readonly behindM: number;
  readonly leftM: number;
  readonly rightM: number;
}

export const MEASURED_LENGTHS = [
  'thigh',
  'shank',
  'trunk',
  'upper_arm',
  'forearm',
  'foot',
  'hip_width',
  'shoulder_width',
] as const;
export type MeasuredLengthName = (typeof MEASURED_LENGTHS)[number];

/**
 * What a plan says that does not say it. Noise: a detector on a good day, 1 px in all (common practice, no source). Lens: the
 * main camera of a phone filming at 1080 × 1920, 66° along the picture's longer side (common practice, no source).
 */
export const PLAN_DEFAULTS = {
  distanceM: 4,
  angleDeg: 45,
  heightM: 1,
  imageSizePx: [1080, 1920],
  fieldOfViewDeg: 66,
  frameRateHz: 60,
  noise: { whitePx: 0.8, slowPx: 0.6, slowS: 0.15 },
  sex: 'unknown',
  statureM: 1.75,
  massKg: 75,
  loadKg: 60,
  barPosition: 'front rack',
  toeOutDeg: 20,
} as const;

/**
 * Reads and checks `plan.yaml`. Errors: those of every manifest, plan-camera-twice, plan-lens-twice, plan-bar-too-heavy,
 * plan-outside-room. `room` replaces the one in the file.
 */
export function readPlanFile(file: string, ledger: InputLedger | null, room?: PlanFile['room']): FilmingPlan {
  const manifest = readManifest(file, ledger);
  const contents = checkManifest(manifest, planSchema, planJsonSchema);
  return filmingPlan({ ...contents, room: room ?? contents.room }, file, manifest.lineOf);
}

/** A plan as the file would be with nothing but what is given. */
export function filmingPlan(
  given: PlanFile,
  file: string,
  lineOf: (path: readonly (string | number)[]) => number = () => 0,
): FilmingPlan {
  const cameras = (given.cameras ?? likePhones({})).map((one, index): PlannedCamera => {
    const line = lineOf(['cameras', index]);
    if (one.focal_px !== undefined && one.field_of_view_deg !== undefined) throw planLensTwice(file, line, one.name);
    if (given.cameras?.findIndex(({ name }) => name === one.name) !== index && given.cameras !== undefined) {
      throw planCameraTwice(file, line, one.name);
    }
    return plannedCamera(one);
  });
  const load = plannedLoad(given.load);
  if (load.bar.massKg !== null && load.bar.massKg > load.totalKg) {
    throw planBarTooHeavy(file, lineOf(['load', 'bar', 'mass_kg']), load.bar.massKg, load.totalKg);
  }
  const room = given.room
    ? { frontM: given.room.front_m, behindM: given.room.behind_m, leftM: given.room.left_m, rightM: given.room.right_m }
    : null;
  cameras.forEach((one, index) => {
    const beyond = room && beyondRoom(one, room);
    if (beyond)
      throw planOutsideRoom(file, lineOf(['cameras', index]), one.name, beyond.direction, beyond.atM, beyond.limitM);
  });
  const who = given.lifter ?? {};
  return {
    file,
    id: given.plan,
    lifter: {
      sex: who.sex ?? PLAN_DEFAULTS.sex,
      statureM: who.stature_m ?? PLAN_DEFAULTS.statureM,
      massKg: who.mass_kg ?? PLAN_DEFAULTS.massKg,
      lengthsM: who.lengths_m ?? {},
      ankleDistanceM: who.ankle_distance_m ?? null,
      toeOutDeg: who.toe_out_deg ?? PLAN_DEFAULTS.toeOutDeg,
    },
    load,
    cameras,
    noise: {
      whitePx: given.noise?.white_px ?? PLAN_DEFAULTS.noise.whitePx,
      slowPx: given.noise?.slow_px ?? PLAN_DEFAULTS.noise.slowPx,
      slowS: given.noise?.slow_s ?? PLAN_DEFAULTS.noise.slowS,
    },
    smoothing: plannedSmoothing(given.smoothing),
    room,
  };
}

/** Two phones of one make, one on each side of the lifter, placed alike. */
export function likePhones(both: Partial<Omit<PlanCameraFile, 'name' | 'side'>>): PlanCameraFile[] {
  return (['left', 'right'] as const).map((side) => ({ name: side, side, ...both }));
}

function plannedCamera(one: PlanCameraFile): PlannedCamera {
  const [imageWidth, imageHeight] = one.image_size_px ?? PLAN_DEFAULTS.imageSizePx;
  const halfAngle = ((one.field_of_view_deg ?? PLAN_DEFAULTS.fieldOfViewDeg) * Math.PI) / 360;
  return {
    name: one.name,
    side: one.side,
    angleDeg: one.angle_deg ?? PLAN_DEFAULTS.angleDeg,
    distanceM: one.distance_m ?? PLAN_DEFAULTS.distanceM,
    heightM: one.height_m ?? PLAN_DEFAULTS.heightM,
    aimHeightM: one.aim_height_m ?? null,
    imageWidth,
    imageHeight,
    focalPx: one.focal_px ?? Math.max(imageWidth, imageHeight) / 2 / Math.tan(halfAngle),
    frameRateHz: one.frame_rate_hz ?? PLAN_DEFAULTS.frameRateHz,
    shutterS: one.shutter_s ?? null,
  };
}

function plannedLoad(given: PlanFile['load']): FilmingPlan['load'] {
  const bar = given?.bar;
  return {
    totalKg: given?.total_kg ?? PLAN_DEFAULTS.loadKg,
    bar: {
      position: bar?.position ?? PLAN_DEFAULTS.barPosition,
      lengthM: bar?.length_m ?? null,
      massKg: bar?.mass_kg ?? null,
    },
  };
}

function plannedSmoothing(given: PlanFile['smoothing']): FilmingPlan['smoothing'] {
  const standard = DEFAULT_SETTINGS.smoothing as FilmingPlan['smoothing'];
  const hz = given?.cutoff_hz;
  if (typeof hz === 'number') return { kind: 'fixed', legsHz: hz, trunkHz: hz, barHz: hz };
  return {
    kind: 'fixed',
    legsHz: hz?.legs ?? standard.legsHz,
    trunkHz: hz?.trunk ?? standard.trunkHz,
    barHz: hz?.bar ?? standard.barHz,
  };
}

/** Which wall a phone stands beyond; null where it stands in the room. */
export function beyondRoom(
  { side, angleDeg, distanceM }: Pick<PlannedCamera, 'side' | 'angleDeg' | 'distanceM'>,
  room: PlannedRoom,
): { direction: string; atM: number; limitM: number } | null {
  const ahead = distanceM * Math.sin((angleDeg * Math.PI) / 180);
  const aside = distanceM * Math.cos((angleDeg * Math.PI) / 180);
  const sideM = side === 'left' ? room.leftM : room.rightM;
  const tolerance = 1e-9;
  if (ahead > room.frontM + tolerance) return { direction: 'ahead of', atM: ahead, limitM: room.frontM };
  if (-ahead > room.behindM + tolerance) return { direction: 'behind', atM: -ahead, limitM: room.behindM };
  if (aside > sideM + tolerance) return { direction: `to the ${side} of`, atM: aside, limitM: sideM };
  return null;
}
