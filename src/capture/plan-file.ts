import * as z from 'zod';
import { planBarTooHeavy, planCameraTwice, planLensTwice, planOutsideRoom } from '../messages/plan.ts';
import type { InputLedger } from './input-file.ts';
import { checkManifest, readManifest } from './manifest.ts';
import type { BarPosition, Sex, Smoothing } from './recording.ts';
import { DEFAULT_SETTINGS } from './recording.ts';
import { BAR_POSITIONS, CUTOFF_RANGE_HZ } from './schema.ts';

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

const metres = (what: string, low: number, high: number) =>
  z.number().min(low).max(high).describe(`${what}, metres, ${low} to ${high}`);
const cutoff = z.number().min(CUTOFF_RANGE_HZ[0]).max(CUTOFF_RANGE_HZ[1]);

const camera = z
  .strictObject({
    name: z
      .string()
      .regex(/^[\p{L}\p{N}][\p{L}\p{N}._-]*$/u)
      .max(100)
      .describe('Name of the camera: letters, digits, ".", "_" and "-"'),
    side: z.enum(['left', 'right']).describe("Side of the lifter the camera stands on: the lifter's own left or right"),
    angle_deg: z
      .number()
      .min(-90)
      .max(90)
      .optional()
      .describe(
        'Degrees off straight sideways, −90 to 90: 0 beside the lifter, 90 straight ahead, negative behind; 45 when left out',
      ),
    distance_m: metres('From the middle of the lifter, along the floor', 0.5, 30).optional(),
    height_m: metres('Height of the lens above the floor', 0.05, 5).optional(),
    aim_height_m: metres("Height over the lifter's middle that the middle of the picture shows", 0, 3).optional(),
    image_size_px: z
      .array(z.int().min(100).max(10_000))
      .length(2)
      .optional()
      .describe('Width and height of the video as it is held, px; [1080, 1920] (upright) when left out'),
    focal_px: z.number().min(50).max(50_000).optional().describe('Focal length in pixels of this video, 50 to 50000'),
    field_of_view_deg: z
      .number()
      .min(5)
      .max(150)
      .optional()
      .describe(
        "Angle of view along the picture's longer side, degrees, 5 to 150; 66 when neither it nor focal_px is given",
      ),
    frame_rate_hz: z
      .number()
      .min(10)
      .max(2000)
      .optional()
      .describe('Frames a second, Hz, 10 to 2000; 60 when left out'),
    shutter_s: z
      .number()
      .min(1e-5)
      .max(0.1)
      .optional()
      .describe('Shutter time, seconds, 0.00001 to 0.1, for the warning of blur'),
  })
  .describe('One camera');

const lifter = z
  .strictObject({
    sex: z.enum(['female', 'male', 'unknown']).optional().describe('Chooses the segment table; unknown when left out'),
    stature_m: metres('Body height', 1, 2.5).optional(),
    mass_kg: z.number().min(20).max(300).optional().describe('Body mass without the load, kg, 20 to 300'),
    lengths_m: z
      .strictObject({
        thigh: metres('Hip centre to knee centre', 0.2, 0.7).optional(),
        shank: metres('Knee centre to ankle centre', 0.2, 0.7).optional(),
        trunk: metres('Mid-hip to mid-shoulder', 0.25, 0.9).optional(),
        upper_arm: metres('Shoulder to elbow', 0.15, 0.5).optional(),
        forearm: metres('Elbow to wrist', 0.13, 0.45).optional(),
        foot: metres('Heel to toe tip', 0.15, 0.4).optional(),
        hip_width: metres('Between the hip centres', 0.1, 0.3).optional(),
        shoulder_width: metres('Between the shoulder centres', 0.2, 0.6).optional(),
      })
      .optional()
      .describe('Lengths measured on the lifter; the others follow from stature'),
    ankle_distance_m: metres('Between the ankle centres when squatting', 0.05, 1.2).optional(),
    toe_out_deg: z
      .number()
      .min(-10)
      .max(60)
      .optional()
      .describe('Each foot turned outward, degrees, −10 to 60; 20 when left out'),
  })
  .describe('The lifter');

export const planSchema = z
  .strictObject({
    kneeward: z.literal(1).describe('Version of this file format: 1'),
    plan: z
      .string()
      .regex(/^[\p{L}\p{N}][\p{L}\p{N}._-]*$/u)
      .max(100)
      .describe('Name of the plan: letters, digits, ".", "_" and "-"'),
    lifter: lifter.optional(),
    load: z
      .strictObject({
        total_kg: z.number().min(0).max(600).describe('Bar, discs and collars together, kg, 0 to 600; 0 = no load'),
        bar: z
          .strictObject({
            position: z.enum(BAR_POSITIONS).optional().describe('Where the bar is; front rack when left out'),
            length_m: metres('Length of the bar', 0.5, 3).optional(),
            mass_kg: z.number().min(0).max(100).optional().describe('Mass of the bar without discs, kg, 0 to 100'),
          })
          .optional()
          .describe('The bar'),
      })
      .optional()
      .describe('The load; a bar of 60 kg in the front rack when left out'),
    cameras: z
      .array(camera)
      .min(2)
      .max(20)
      .optional()
      .describe('The cameras, two or more; two like phones when left out'),
    noise: z
      .strictObject({
        white_px: z
          .number()
          .min(0)
          .max(50)
          .optional()
          .describe('Error of a body point that is new in every frame, px, 0 to 50; 0.8 when left out'),
        slow_px: z
          .number()
          .min(0)
          .max(50)
          .optional()
          .describe('Error that stays for some frames, px, 0 to 50; 0.6 when left out'),
        slow_s: z
          .number()
          .min(0.01)
          .max(5)
          .optional()
          .describe('How long the slow error stays, seconds, 0.01 to 5; 0.15 when left out'),
      })
      .optional()
      .describe('Expected errors of the body points in the picture, standard deviations of one coordinate'),
    smoothing: z
      .strictObject({
        cutoff_hz: z
          .union([
            cutoff,
            z.strictObject({
              legs: cutoff.optional().describe('Knees, ankles, feet; Hz, 0.5 to 50'),
              trunk: cutoff.optional().describe('Head, shoulders, arms, hips; Hz, 0.5 to 50'),
              bar: cutoff.optional().describe('Bar ends; Hz, 0.5 to 50'),
            }),
          ])
          .describe(
            'Cut-off of the low-pass filter of the analysis, Hz, 0.5 to 50: one number, or { legs, trunk, bar }',
          ),
      })
      .optional()
      .describe('How the points will be smoothed; as the analysis does when left out'),
    room: z
      .strictObject({
        front_m: metres('Free floor ahead of the lifter', 0.5, 50),
        behind_m: metres('Free floor behind the lifter', 0.5, 50),
        left_m: metres("Free floor on the lifter's left", 0.5, 50),
        right_m: metres("Free floor on the lifter's right", 0.5, 50),
      })
      .optional()
      .describe("Free floor from the lifter's middle in which a phone may stand"),
  })
  .describe('How a set is going to be filmed');

type PlanFile = z.infer<typeof planSchema>;
type CameraFile = z.infer<typeof camera>;

/** JSON Schema (draft 2020-12) of `plan.yaml`. */
export function planJsonSchema(): Record<string, unknown> {
  return { title: 'Kneeward filming plan', ...z.toJSONSchema(planSchema) };
}

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
export function likePhones(both: Partial<Omit<CameraFile, 'name' | 'side'>>): CameraFile[] {
  return (['left', 'right'] as const).map((side) => ({ name: side, side, ...both }));
}

function plannedCamera(one: CameraFile): PlannedCamera {
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
