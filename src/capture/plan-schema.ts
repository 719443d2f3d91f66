import * as z from 'zod';
import { BAR_POSITIONS, CUTOFF_RANGE_HZ } from './schema.ts';

/**
 * The file format `plan.yaml`: names, units, limits. The limits refuse what no lifter and no phone can be (common practice, no
 * source); every field but the name of the plan may be left out.
 */

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

export type PlanFile = z.infer<typeof planSchema>;
export type PlanCameraFile = z.infer<typeof camera>;

/** JSON Schema (draft 2020-12) of `plan.yaml`. */
export function planJsonSchema(): Record<string, unknown> {
  return { title: 'Kneeward filming plan', ...z.toJSONSchema(planSchema) };
}
