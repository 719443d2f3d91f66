import * as z from 'zod';
import { SIGNED_AXES } from './axes.ts';
import { comparisonSchema } from './comparison-file.ts';
import {
  LEG_SHARINGS,
  MOMENT_AXES,
  MOMENT_SOURCES,
  MOMENT_UNITS,
  SEGMENT_TABLES,
  SMOOTHING_METHODS,
} from './recording.ts';

/**
 * The two file formats a user writes, `recording.yaml` and `study.yaml`: names, units, limits. The limits refuse what no
 * lifter and no camera can be (common practice, no source); they are no judgement on what is usual.
 */

export const BAR_POSITIONS = ['front rack', 'high back', 'low back', 'overhead', 'hands', 'none'] as const;

/** Becomes a folder name: letters, digits, '.', '_' and '-', beginning with a letter or digit. */
const NAME = /^[\p{L}\p{N}][\p{L}\p{N}._-]*$/u;
const FACTOR = /^[a-z][a-z0-9_]*$/;

// One letter with its accent may be written as two characters: ids are compared and become folder names.
const name = (what: string) =>
  z.string().normalize('NFC').regex(NAME).max(100).describe(`${what}: letters, digits, ".", "_" and "-"`);
const path = (what: string) => z.string().min(1).describe(`${what}; path from this file's folder`);
const findings = path('File of own rules for findings (docs/method/findings.md); the built-in rules when left out');
const version = z.literal(1).describe('Version of this file format: 1');
const synthetic = z.boolean().optional().describe('true for invented data; shown wherever the data are shown');
const cameraRateHz = z.number().min(10).max(2000).describe('Frames a second, Hz, 10 to 2000');
const forceRateHz = z.number().min(10).max(20000).describe('Samples a second, Hz, 10 to 20000');
const unit = z.enum(['m', 'cm', 'mm']).describe('Unit of length in the file');
const foot = z.enum(['left', 'right', 'both']).describe('Foot on this force plate: left, right, or both');
const offsetS = z
  .number()
  .min(-3600)
  .max(3600)
  .optional()
  .describe("Seconds added to this file's own time to give the recording's common clock");

const axes = z
  .strictObject({
    forward: z.enum(SIGNED_AXES).describe('File axis that points where the lifter faces, for instance "-y"'),
    up: z.enum(SIGNED_AXES).describe('File axis that points up, for instance "+z"'),
  })
  .describe('Which axes of the file point forward and up; the third is taken right-handed');

/** Lowest and highest cut-off accepted, Hz: wide limits that find a mistaken unit (common practice, no source). */
export const CUTOFF_RANGE_HZ = [0.5, 50] as const;

const cutoff = z.number().min(CUTOFF_RANGE_HZ[0]).max(CUTOFF_RANGE_HZ[1]);
const settings = z
  .strictObject({
    smoothing: z
      .strictObject({
        cutoff_hz: z
          .union([
            z.literal('residual'),
            z.literal('none'),
            cutoff,
            z.strictObject({
              legs: cutoff.optional().describe('Knees, ankles, feet; Hz, 0.5 to 50'),
              trunk: cutoff.optional().describe('Hips, shoulders, head, trunk, arms; Hz, 0.5 to 50'),
              bar: cutoff.optional().describe('Bar ends; Hz, 0.5 to 50'),
            }),
          ])
          .optional()
          .describe(
            'Cut-off of the low-pass smoother, Hz (0.5 to 50; the −3 dB point of the whole smoother): one number, ' +
              'or { legs, trunk, bar }, or residual (chosen per landmark from the data), or none',
          ),
        method: z
          .enum(SMOOTHING_METHODS)
          .optional()
          .describe(
            'zero-lag filter (Butterworth, forward and backward), smoothing spline (fifth-degree) or state-space (Kalman ' +
              'smoother); the last two need no gap filled first. No effect with cutoff_hz: none',
          ),
      })
      .optional()
      .describe('How the points are smoothed'),
    points: z
      .enum(['skeleton', 'free'])
      .optional()
      .describe('skeleton: limbs of constant length and feet that stand still; free: every point by itself'),
    trunk: z
      .enum(['bends', 'straight'])
      .optional()
      .describe(
        'bends: the mass of the trunk follows a spine that flexes as the lifter leans; straight: one rigid trunk from ' +
          'mid-hip to mid-shoulder',
      ),
    gap_limit_s: z.number().min(0).max(2).optional().describe('Longest gap that is interpolated, seconds, 0 to 2'),
    minimum_confidence: z
      .number()
      .min(0)
      .max(1)
      .optional()
      .describe('Least confidence of a keypoint that is used, 0 to 1'),
    moments: z
      .strictObject({
        axes: z
          .enum(MOMENT_AXES)
          .optional()
          .describe(
            'joint: axes of the joint coordinate system; segment: of the part beyond the joint; lab: forward, up, right',
          ),
        from: z
          .enum(MOMENT_SOURCES)
          .optional()
          .describe(
            'Moments of both legs in all tables: movement (from the bar down, the default) or force plates (from the measured ' +
              'floor force up; needs force plates under both feet)',
          ),
        unit: z
          .enum(MOMENT_UNITS)
          .optional()
          .describe('nm; nm_per_kg: by body mass; per_weight_and_height: by body weight and stature_m, a pure number'),
      })
      .optional()
      .describe(
        'How moments.csv gives moments in three dimensions (joint and nm when left out), and where those of both legs come from',
      ),
    leg_sharing: z
      .enum(LEG_SHARINGS)
      .optional()
      .describe(
        "How the floor's force is shared between the feet where no force plates tell it: proportional (shear by the " +
          'vertical share), least effort (shear for which the joints work least) or none; proportional when left out',
      ),
  })
  .optional()
  .describe('Settings of the analysis');

const athlete = z
  .strictObject({
    id: name('Name or code of the lifter'),
    sex: z.enum(['female', 'male', 'unknown']).optional().describe('Chooses the segment table; unknown when left out'),
    mass_kg: z.number().min(20).max(300).describe('Body mass without the load, kg, 20 to 300'),
    mass_sd_kg: z
      .number()
      .min(0)
      .max(20)
      .optional()
      .describe('Standard deviation of mass_kg, kg, 0 to 20; left out: 0.5, as weighed in clothes'),
    stature_m: z.number().min(1).max(2.5).optional().describe('Body height, metres, 1.0 to 2.5'),
  })
  .describe('The lifter');

const lift = z
  .strictObject({
    kind: z.string().min(1).max(100).describe('The lift in words, for instance front squat, back squat, deadlift'),
    set: z.int().min(1).max(1000).optional().describe('Number of the set'),
    planned_repetitions: z.int().min(1).max(1000).optional().describe('Repetitions planned'),
    outcome: z.enum(['made', 'failed']).optional().describe('How the set ended: made or failed'),
    grip: z.string().min(1).max(100).optional().describe('Grip in words, for instance full, hook, two fingers'),
    effort_rpe: z.number().min(0).max(10).optional().describe('Perceived effort, 0 to 10'),
  })
  .describe('What was lifted, and how it went');

const load = z
  .strictObject({
    total_kg: z.number().min(0).max(600).describe('Bar, discs and collars together, kg, 0 to 600; 0 = nothing carried'),
    sd_kg: z
      .number()
      .min(0)
      .max(50)
      .optional()
      .describe('Standard deviation of total_kg, kg, 0 to 50; left out: 1 % of it, as discs of a gym differ'),
    bar: z
      .strictObject({
        position: z.enum(BAR_POSITIONS).describe('Where the bar lies'),
        length_m: z.number().min(0.3).max(3).optional().describe('Length of the bar, metres, 0.3 to 3'),
        mass_kg: z.number().min(0).max(600).optional().describe('Mass of the bar alone, kg; not more than total_kg'),
      })
      .optional()
      .describe('The bar; needed where total_kg is above 0'),
  })
  .describe('What the lifter carried');

const view = z
  .strictObject({
    camera: z.string().min(1).describe('Name of the camera in the rig'),
    keypoints: z
      .array(path('Keypoint file, .json or .csv (.gz too)'))
      .min(1)
      .describe('One file, or several that add landmarks'),
    frame_rate_hz: cameraRateHz,
    offset_s: offsetS,
    offset_sd_s: z.number().min(0).max(1).optional().describe('Standard deviation of offset_s, seconds, 0 to 1'),
    readout_s: z
      .number()
      .min(0)
      .max(0.2)
      .optional()
      .describe('Time between the first and the last image row being read (rolling shutter), seconds, 0 to 0.2'),
    readout_sd_s: z.number().min(0).max(0.1).optional().describe('Standard deviation of readout_s, seconds, 0 to 0.1'),
    first_image_id: z
      .int()
      .min(0)
      .optional()
      .describe('Image id of frame 0 in keypoint JSON files, a whole number from 0; 0 when left out'),
    frames: z
      .int()
      .min(1)
      .max(200_000)
      .optional()
      .describe('Frames of the video, a whole number from 1 to 200000; last frame in the files + 1 when left out'),
    frame_times: path(
      'CSV frame,time_s (.gz too): when each frame was taken, for frames not equally spaced',
    ).optional(),
    video: path('The video that the keypoints were found in; only stills of it are ever shown').optional(),
  })
  .describe('One camera view');

const landmarks3d = z
  .strictObject({
    file: path('CSV of 3D points (.gz too)'),
    frame_rate_hz: cameraRateHz,
    unit,
    axes,
    sd_m: z.number().min(0).max(0.1).optional().describe('Standard deviation of one coordinate, metres, 0 to 0.1'),
  })
  .describe('3D points from a marker system or a published data set, instead of rig and views');

/** More force plates than any lab has (common practice, no source). */
const MOST_FORCE_PLATES = 100;

const c3dForcePlate = z
  .strictObject({
    number: z.int().min(1).max(MOST_FORCE_PLATES).describe('Number of the force plate in the C3D file, from 1'),
    foot,
    offset_s: offsetS,
    force: z
      .enum(['on the body', 'on the force plate'])
      .optional()
      .describe('Which of the two forces the file holds; on the body (upward when standing) when left out'),
    unloaded: z
      .union([
        z.literal('file'),
        z.strictObject({
          from_s: z.number().min(0).max(3600).describe('Seconds from the first frame, 0 to 3600'),
          to_s: z.number().min(0).max(3600).describe('Seconds from the first frame, 0 to 3600'),
        }),
      ])
      .optional()
      .describe(
        'When nothing stood on it: its mean then is taken off as offset. file (frames of FORCE_PLATFORM:ZERO) or { from_s, to_s }; nothing is taken off when left out',
      ),
  })
  .describe('One force plate of the C3D file');

const c3dLabel = z.string().min(1).max(255);
const c3d = z
  .strictObject({
    file: path('C3D file (.gz too)'),
    labels: z
      .record(
        z.string(),
        z
          .union([c3dLabel, z.array(c3dLabel).min(1)])
          .describe('Label in the file, or a list of labels whose mean it is'),
      )
      .describe('Landmark: label in the file, for instance { left_hip: LHIP, left_knee: [LKNE, LKNM] }'),
    axes,
    unit: unit.optional().describe('Unit of length where the file states none (POINT:UNITS)'),
    sd_m: z.number().min(0).max(0.1).optional().describe('Standard deviation of one coordinate, metres, 0 to 0.1'),
    force_plates: z.array(c3dForcePlate).min(1).optional().describe('Force plates of the C3D file'),
  })
  .describe('A C3D file of a marker system, with or without force plates, instead of rig and views');

const forcePlate = z
  .strictObject({
    file: path('CSV of a force plate (.gz too): force on the body'),
    foot,
    frame_rate_hz: forceRateHz,
    unit: unit.optional().describe('Unit of the centre of pressure, as in the column names; m when left out'),
    offset_s: offsetS,
    unloaded: z
      .strictObject({
        from_s: z.number().min(-3600).max(3600).describe('Seconds of its time_s column, -3600 to 3600'),
        to_s: z.number().min(-3600).max(3600).describe('Seconds of its time_s column, -3600 to 3600'),
      })
      .optional()
      .describe('When nothing stood on it: its mean then is taken off as offset; nothing is taken off when left out'),
    corners: z
      .array(z.array(z.number().min(-100_000).max(100_000)).length(3))
      .length(4)
      .optional()
      .describe(
        'Its four corners one after the other round the edge, each [x, y, z] in unit and axes of the centre of pressure',
      ),
    surface_height_m: z
      .number()
      .min(-5)
      .max(5)
      .optional()
      .describe(
        'Height of its surface where the file has no column of it, metres, -5 to 5; that of the corners, else 0, when left out',
      ),
  })
  .describe('One force plate');

export const recordingSchema = z
  .strictObject({
    kneeward: version,
    recording: name('Name of the recording, unique in a study'),
    synthetic,
    date: z.iso.date().optional().describe('Day of the recording, YYYY-MM-DD'),
    athlete,
    lift,
    load,
    shoes: z
      .strictObject({
        heel_height_m: z.number().min(0).max(0.1).optional().describe('Heel above forefoot, metres, 0 to 0.1'),
        sole_thickness_m: z
          .number()
          .min(0)
          .max(0.1)
          .optional()
          .describe(
            'Sole under the forefoot, metres, 0 to 0.1: centres of pressure of force plates are then given at the foot',
          ),
      })
      .optional()
      .describe('The shoes'),
    condition: z
      .record(z.string().regex(FACTOR), z.union([z.string().normalize('NFC').trim().min(1), z.number(), z.boolean()]))
      .optional()
      .describe('Free factors of the study, for instance { heel: raised }; names in small letters, digits and "_"'),
    rig: path('Rig file, .json').optional(),
    views: z.array(view).min(1).optional().describe('Camera views; two or more for anything in 3D'),
    landmarks_3d: landmarks3d.optional(),
    c3d: c3d.optional(),
    force_axes: axes
      .optional()
      .describe(
        'Beside views only: axes of the force plates that point along the rig world X ("forward") and Y ("up")',
      ),
    force_plates: z
      .array(forcePlate)
      .min(1)
      .optional()
      .describe('Force plates; force on the body, same axes as the points'),
    force_clock: z
      .enum(['as stated', 'estimate'])
      .optional()
      .describe(
        'as stated: by offset_s of each force plate; estimate: all force plates shifted together so that their force agrees with the movement; as stated when left out',
      ),
    detector: z
      .string()
      .min(1)
      .max(100)
      .optional()
      .describe('What found the points: chooses how far they may lie from the joint centres (docs/method/skeleton.md)'),
    segments: z.enum(SEGMENT_TABLES).optional().describe('Segment table; de-leva-1996 when left out'),
    findings: findings.optional(),
    stills: z
      .boolean()
      .optional()
      .describe('true: pictures of the videos at parallel and bottom are put into the report; needs consent: true'),
    consent: z
      .boolean()
      .optional()
      .describe('true: the person filmed has agreed that pictures of them stand in the report, face included'),
    settings,
  })
  .describe('One lifter, one set, filmed by all views');

export const studySchema = z
  .strictObject({
    kneeward: version,
    study: name('Name of the study'),
    title: z.string().min(1).max(200).optional().describe('Title shown in tables and reports; the name when left out'),
    synthetic,
    seed: z
      .int()
      .min(0)
      .max(2 ** 32 - 1)
      .optional()
      .describe('Seed of all random draws, 0 to 4294967295; 1 when left out'),
    recordings: z
      .array(z.string().min(1).describe("Path or pattern: * within a name, ** across folders; from this file's folder"))
      .min(1)
      .describe('The recording files'),
    findings: findings.optional(),
    comparison: comparisonSchema.optional(),
    settings,
  })
  .describe('Many recordings under one seed');

export type RecordingFile = z.infer<typeof recordingSchema>;
export type StudyFile = z.infer<typeof studySchema>;

/** JSON Schema (draft 2020-12) of `recording.yaml`, with the either–or of its three kinds of source. */
export function recordingJsonSchema(): Record<string, unknown> {
  return {
    title: 'Kneeward recording',
    ...z.toJSONSchema(recordingSchema),
    oneOf: [{ required: ['rig', 'views'] }, { required: ['landmarks_3d'] }, { required: ['c3d'] }],
  };
}

/** JSON Schema (draft 2020-12) of `study.yaml`. */
export function studyJsonSchema(): Record<string, unknown> {
  return { title: 'Kneeward study', ...z.toJSONSchema(studySchema) };
}
