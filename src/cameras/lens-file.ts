import { z } from 'zod';
import { lensFieldWrong, lensFileKind } from '../messages/lenses.ts';
import type { FreeLensParameter } from './fit-camera.ts';
import { type Camera, NO_DISTORTION } from './rig.ts';

/** How the pictures were taken that a lens was fitted to. A phone crops photographs and video differently. */
export interface FilmedMode {
  readonly from: 'photographs' | 'video' | 'corners';
  readonly width: number;
  readonly height: number;
}

/** One camera's lens with its uncertainty. */
export interface KnownLensRecord {
  /** The lens as a camera at the world's origin, looking along +Z. */
  readonly camera: Camera;
  readonly mode: FilmedMode;
  /** Fitted parameters, in the order of `covariance`; the other distortion terms are held at 0. */
  readonly parameters: readonly FreeLensParameter[];
  /** Square, row-major, px² and so on; as wide as `parameters`. */
  readonly covariance: Float64Array;
  /** Root mean square distance of the corners it was fitted to, px. */
  readonly rmsPx: number;
  readonly views: number;
  /** Share of a 10 × 10 grid over the picture in which corners lay, 0–1. */
  readonly coverage: number;
  /** Largest angle between the normals of two boards, degrees. */
  readonly tiltRangeDeg: number;
  readonly notes: readonly string[];
}

const LARGEST = 1e6;
const finite = z.number().min(-LARGEST).max(LARGEST);
const focal = z.number().positive().max(LARGEST);
const pixelCount = z.number().int().min(2).max(100_000);
const PARAMETERS = ['f', 'fx', 'fy', 'cx', 'cy', 'k1', 'k2', 'p1', 'p2', 'k3'] as const;

const lensSchema = z.strictObject({
  name: z.string().min(1).describe('As the views of a recording call the camera'),
  made_from: z.enum(['photographs', 'video', 'corners']),
  image_size_px: z.tuple([pixelCount, pixelCount]).describe('Width, height, upright'),
  focal_px: z.tuple([focal, focal]),
  principal_point_px: z.tuple([finite, finite]),
  distortion: z.strictObject({
    model: z.literal('brown-conrady'),
    k1: finite,
    k2: finite,
    p1: finite,
    p2: finite,
    k3: finite,
  }),
  fitted: z.array(z.enum(PARAMETERS)).min(1).describe('Parameters that were fitted; the others are held'),
  covariance: z.array(z.array(finite)).describe('Of the fitted parameters, rows of a square matrix'),
  reprojection_rms_px: z.number().nonnegative(),
  views: z.number().int().positive(),
  coverage: z.number().min(0).max(1),
  tilt_range_deg: z.number().min(0).max(180),
  notes: z.array(z.string()).default([]),
});

/** Schema of a lens file, published as docs/lens.schema.json. */
export const lensFileSchema = z.strictObject({
  kneeward: z.literal(1).describe('Version of this format'),
  kind: z.literal('camera lenses'),
  lenses: z.array(lensSchema).min(1),
});

/** JSON Schema (draft 2020-12) of a lens file. */
export const lensJsonSchema = (): unknown => ({
  title: 'Kneeward camera lenses',
  ...z.toJSONSchema(lensFileSchema, { io: 'input' }),
});

/** Lenses from parsed JSON. `file` is named in messages only. Throws lens-file-kind, lens-field-wrong. */
export function parseLenses(json: unknown, file: string): KnownLensRecord[] {
  const kind = typeof json === 'object' && json !== null && 'kind' in json ? json.kind : undefined;
  if (kind !== 'camera lenses') throw lensFileKind(file, String(kind ?? 'none'));
  const read = lensFileSchema.safeParse(json);
  if (!read.success) {
    const [issue] = read.error.issues;
    throw lensFieldWrong(file, issue.path.join('.') || 'whole file', issue.message);
  }
  return read.data.lenses.map((lens, i) => {
    const n = lens.fitted.length;
    if (lens.covariance.length !== n || lens.covariance.some((row) => row.length !== n)) {
      throw lensFieldWrong(file, `lenses.${i}.covariance`, `must be ${n} rows of ${n} numbers, as "fitted" has ${n}`);
    }
    const d = lens.distortion;
    return {
      camera: {
        ...AT_ORIGIN,
        name: lens.name,
        imageWidth: lens.image_size_px[0],
        imageHeight: lens.image_size_px[1],
        fx: lens.focal_px[0],
        fy: lens.focal_px[1],
        cx: lens.principal_point_px[0],
        cy: lens.principal_point_px[1],
        distortion: [d.k1, d.k2, d.p1, d.p2, d.k3],
      },
      mode: { from: lens.made_from, width: lens.image_size_px[0], height: lens.image_size_px[1] },
      parameters: lens.fitted,
      covariance: Float64Array.from(lens.covariance.flat()),
      rmsPx: lens.reprojection_rms_px,
      views: lens.views,
      coverage: lens.coverage,
      tiltRangeDeg: lens.tilt_range_deg,
      notes: lens.notes,
    };
  });
}

const AT_ORIGIN = {
  skew: 0,
  distortion: NO_DISTORTION,
  rotation: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1),
  translation: new Float64Array(3),
};

/** The text of a lens file, every digit kept. */
export function serialiseLenses(lenses: readonly KnownLensRecord[]): string {
  const json = {
    kneeward: 1,
    kind: 'camera lenses',
    lenses: lenses.map((lens) => {
      const { camera, parameters, covariance } = lens;
      const [k1, k2, p1, p2, k3] = camera.distortion;
      const n = parameters.length;
      return {
        name: camera.name,
        made_from: lens.mode.from,
        image_size_px: [camera.imageWidth, camera.imageHeight],
        focal_px: [camera.fx, camera.fy],
        principal_point_px: [camera.cx, camera.cy],
        distortion: { model: 'brown-conrady', k1, k2, p1, p2, k3 },
        fitted: parameters,
        covariance: parameters.map((_, row) => [...covariance.subarray(row * n, row * n + n)]),
        reprojection_rms_px: lens.rmsPx,
        views: lens.views,
        coverage: lens.coverage,
        tilt_range_deg: lens.tiltRangeDeg,
        notes: lens.notes,
      };
    }),
  };
  // Rows of numbers on one line: a person reads this file too.
  const text = JSON.stringify(json, null, 2);
  return `${text.replace(/\[\s+((?:-?[\d.e+-]+,?\s+)+)\]/g, (_, row: string) => `[${row.trim().split(/,\s+/).join(', ')}]`)}\n`;
}
