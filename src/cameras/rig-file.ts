import { z } from 'zod';
import { rigLensFolds, rigNumberNotFinite } from '../messages/acceptance.ts';
import {
  rigCameraNamedTwice,
  rigFieldWrong,
  rigRotationMirrored,
  rigRotationNotOrthonormal,
  rigVersionUnknown,
} from '../messages/cameras.ts';
import { nearestRotation } from '../numerics/rotation.ts';
import { lensFold } from './lens-fold.ts';
import type { Camera, CameraRig, Distortion, PixelLens } from './rig.ts';
import { measuredFrom, measuredJson, measuredSchema } from './rig-quality-file.ts';

/** No pixel, metre or lens term of a camera is larger (common practice, no source). */
const LARGEST = 1e6;
const finite = z.number().min(-LARGEST).max(LARGEST);
const positive = z.number().positive().max(LARGEST);
const pixelCount = z.number().int().min(2).max(100_000);
const pair = (number: typeof finite) => z.tuple([number, number]);
const triple = z.tuple([finite, finite, finite]);

const distortionSchema = z
  .strictObject({
    model: z.literal('brown-conrady'),
    k1: finite.default(0),
    k2: finite.default(0),
    p1: finite.default(0),
    p2: finite.default(0),
    k3: finite.default(0),
  })
  .describe('Brown–Conrady coefficients on normalised image coordinates, order of OpenCV; absent ones are 0');

const cameraSchema = z.strictObject({
  name: z.string().min(1).describe('As the views of a recording call it'),
  image_size_px: z.tuple([pixelCount, pixelCount]).describe('Width, height'),
  focal_px: pair(positive).describe('fx, fy'),
  principal_point_px: pair(finite).describe('cx, cy; (0, 0) is the centre of the top-left pixel, y down'),
  skew_px: finite.default(0),
  distortion: distortionSchema.default({ model: 'brown-conrady', k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 }),
  pixel_lens: z
    .strictObject({ focal_px: pair(positive), principal_point_px: pair(finite), distortion: distortionSchema })
    .optional()
    .describe(
      'Only for published coefficients that hold for undistorted pixels: the lens between those and the pixels seen. "distortion" of the camera is then 0',
    ),
  camera_from_world: z
    .strictObject({
      rotation: z.tuple([triple, triple, triple]).describe('Rows of R in x = R X + t'),
      translation_m: triple,
    })
    .describe('World: Y up, origin on the floor, right-handed, metres'),
});

/** Schema of `rig.json`, published as docs/rig.schema.json. */
export const rigSchema = z.strictObject({
  kneeward: z.literal(1).describe('Version of this format'),
  kind: z.literal('camera rig'),
  synthetic: z.boolean().default(false).describe('true for invented rigs'),
  cameras: z.array(cameraSchema).min(1),
  quality: z
    .strictObject({
      method: z.string().default('stated'),
      reprojection_rms_px: z.number().nonnegative().nullable().default(null),
      points_used: z.number().int().nonnegative().nullable().default(null),
      notes: z.array(z.string()).default([]),
      measured: measuredSchema.optional(),
    })
    .default({ method: 'stated', reprojection_rms_px: null, points_used: null, notes: [] }),
});

/** Largest element of R Rᵀ − I that is still taken as rounding; R is then replaced by the nearest rotation. Common practice, no source. */
export const ROTATION_LIMIT = 1e-4;
/** Below this R is kept to the last digit. */
const ROTATION_ROUNDING = 1e-12;

/**
 * A rig from parsed JSON. `file` is named in messages only. Throws a DataError naming file and field; a lens that folds
 * the picture inside its border is refused, because points beyond the fold would be silently missing.
 */
export function parseRig(json: unknown, file: string): CameraRig {
  refuseOtherVersions(json, file);
  const read = rigSchema.safeParse(json);
  if (!read.success) {
    // A misspelt field is also a missing one: the misspelling is the news.
    const { issues } = read.error;
    const issue = issues.find((one) => one.code === 'unrecognized_keys') ?? issues[0];
    throw rigFieldWrong(file, fieldName(issue.path, issue), reasonOf(issue, valueAt(json, issue.path)));
  }
  const { cameras, quality, synthetic } = read.data;
  const names = cameras.map((camera) => camera.name);
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) throw rigCameraNamedTwice(file, twice);
  return {
    kneeward: 1,
    cameras: cameras.map((camera, i) => withoutFold(cameraFrom(camera, i, file), file)),
    quality: {
      method: quality.method,
      reprojectionRmsPx: quality.reprojection_rms_px,
      pointsUsed: quality.points_used,
      notes: quality.notes,
      ...(quality.measured === undefined ? {} : { measured: measuredFrom(quality.measured, names, file) }),
    },
    synthetic,
  };
}

function withoutFold(camera: Camera, file: string): Camera {
  const fold = lensFold(camera);
  if (fold !== null) throw rigLensFolds(file, camera.name, fold.radiusPx, fold.borderPx);
  return camera;
}

function cameraFrom(read: z.output<typeof cameraSchema>, index: number, file: string): Camera {
  const lens = read.pixel_lens;
  const distortion = distortionFrom(read.distortion);
  if (lens !== undefined && distortion.some((term) => term !== 0)) {
    throw rigFieldWrong(
      file,
      `cameras[${index}].distortion`,
      'must be 0 beside a pixel_lens, which holds the distortion',
    );
  }
  return {
    name: read.name,
    imageWidth: read.image_size_px[0],
    imageHeight: read.image_size_px[1],
    fx: read.focal_px[0],
    fy: read.focal_px[1],
    cx: read.principal_point_px[0],
    cy: read.principal_point_px[1],
    skew: read.skew_px,
    distortion,
    ...(lens === undefined
      ? {}
      : {
          pixelLens: {
            fx: lens.focal_px[0],
            fy: lens.focal_px[1],
            cx: lens.principal_point_px[0],
            cy: lens.principal_point_px[1],
            distortion: distortionFrom(lens.distortion),
          },
        }),
    rotation: checkedRotation(Float64Array.from(read.camera_from_world.rotation.flat()), read.name, file),
    translation: Float64Array.from(read.camera_from_world.translation_m),
  };
}

function distortionFrom(read: z.output<typeof distortionSchema>): Distortion {
  return [read.k1, read.k2, read.p1, read.p2, read.k3];
}

function checkedRotation(r: Float64Array, camera: string, file: string): Float64Array {
  let error = 0;
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      const product = r[3 * a] * r[3 * b] + r[3 * a + 1] * r[3 * b + 1] + r[3 * a + 2] * r[3 * b + 2];
      error = Math.max(error, Math.abs(product - (a === b ? 1 : 0)));
    }
  }
  if (error > ROTATION_LIMIT) throw rigRotationNotOrthonormal(file, camera, error, ROTATION_LIMIT);
  const determinant =
    r[0] * (r[4] * r[8] - r[5] * r[7]) - r[1] * (r[3] * r[8] - r[5] * r[6]) + r[2] * (r[3] * r[7] - r[4] * r[6]);
  if (determinant < 0) throw rigRotationMirrored(file, camera);
  return error <= ROTATION_ROUNDING ? r : nearestRotation(r);
}

/**
 * The text of `rig.json`: one short line for each vector and row, every digit kept, newline at the end.
 * Throws `rigNumberNotFinite` naming the field: JSON would turn NaN into null without a word.
 */
export function serialiseRig(rig: CameraRig): string {
  const json = {
    kneeward: 1,
    kind: 'camera rig',
    synthetic: rig.synthetic,
    cameras: rig.cameras.map((camera) => ({
      name: camera.name,
      image_size_px: [camera.imageWidth, camera.imageHeight],
      focal_px: [camera.fx, camera.fy],
      principal_point_px: [camera.cx, camera.cy],
      skew_px: camera.skew,
      distortion: distortionJson(camera.distortion),
      ...(camera.pixelLens === undefined ? {} : { pixel_lens: pixelLensJson(camera.pixelLens) }),
      camera_from_world: {
        rotation: [0, 3, 6].map((o) => [...camera.rotation.subarray(o, o + 3)]),
        translation_m: [...camera.translation],
      },
    })),
    quality: {
      method: rig.quality.method,
      reprojection_rms_px: rig.quality.reprojectionRmsPx,
      points_used: rig.quality.pointsUsed,
      notes: rig.quality.notes,
      ...(rig.quality.measured === undefined ? {} : { measured: measuredJson(rig.quality.measured) }),
    },
  };
  refuseNotFinite(json, '');
  return `${lines(json, '')}\n`;
}

function refuseNotFinite(value: unknown, field: string): void {
  if (typeof value === 'number' && !Number.isFinite(value)) throw rigNumberNotFinite(field);
  if (value === null || typeof value !== 'object') return;
  for (const [key, item] of Object.entries(value)) {
    refuseNotFinite(item, Array.isArray(value) ? `${field}[${key}]` : `${field}${field === '' ? '' : '.'}${key}`);
  }
}

function distortionJson(d: Distortion) {
  return { model: 'brown-conrady', k1: d[0], k2: d[1], p1: d[2], p2: d[3], k3: d[4] };
}

function pixelLensJson(lens: PixelLens) {
  return {
    focal_px: [lens.fx, lens.fy],
    principal_point_px: [lens.cx, lens.cy],
    distortion: distortionJson(lens.distortion),
  };
}

/** JSON with two spaces of indent, but arrays of numbers and objects of plain values on one line. */
function lines(value: unknown, indent: string): string {
  if (value === null || typeof value !== 'object') return JSON.stringify(value);
  const inner = `${indent}  `;
  if (Array.isArray(value)) {
    if (value.every((item) => typeof item === 'number'))
      return `[${value.map((item) => JSON.stringify(item)).join(', ')}]`;
    return `[\n${value.map((item) => inner + lines(item, inner)).join(',\n')}\n${indent}]`;
  }
  const entries = Object.entries(value);
  const isPlain = (item: unknown) => item === null || typeof item !== 'object';
  if (indent.length > 2 && entries.every(([, item]) => isPlain(item))) {
    return `{ ${entries.map(([key, item]) => `${JSON.stringify(key)}: ${JSON.stringify(item)}`).join(', ')} }`;
  }
  const text = entries.map(([key, item]) => `${inner}${JSON.stringify(key)}: ${lines(item, inner)}`);
  return `{\n${text.join(',\n')}\n${indent}}`;
}

/** JSON Schema (draft 2020-12) of `rig.json` as users write it. */
export function rigJsonSchema(): unknown {
  return { title: 'Kneeward camera rig', ...z.toJSONSchema(rigSchema, { io: 'input' }) };
}

function refuseOtherVersions(json: unknown, file: string): void {
  if (json === null || typeof json !== 'object' || Array.isArray(json)) {
    throw rigFieldWrong(file, 'whole file', 'is not a rig (an object with "kneeward": 1 and "cameras" is expected)');
  }
  const version = (json as { kneeward?: unknown }).kneeward;
  if (version !== 1) throw rigVersionUnknown(file, version === undefined ? 'is missing' : JSON.stringify(version));
}

type Issue = z.core.$ZodIssue;

function fieldName(path: readonly PropertyKey[], issue: Issue): string {
  const keys = issue.code === 'unrecognized_keys' ? [...path, issue.keys[0]] : path;
  let name = '';
  for (const key of keys) name += typeof key === 'number' ? `[${key}]` : `${name === '' ? '' : '.'}${String(key)}`;
  return name;
}

function reasonOf(issue: Issue, found: unknown): string {
  if (issue.code === 'unrecognized_keys') return 'is not a field of a rig: check its spelling';
  if (found === undefined) return 'is missing';
  const shown = JSON.stringify(found);
  const value = shown.length > 60 ? `${shown.slice(0, 57)}…` : shown;
  return `${value} ${wanted(issue)}`;
}

const KINDS: Readonly<Record<string, string>> = {
  number: 'a number',
  int: 'a whole number',
  string: 'text',
  boolean: 'true or false',
  array: 'a list [ … ]',
  tuple: 'a list [ … ]',
  object: 'an object { … }',
};

/** What a field must be, in words. */
function wanted(issue: Issue): string {
  if (issue.code === 'invalid_type') return `must be ${KINDS[issue.expected] ?? issue.expected}`;
  if (issue.code === 'invalid_value') return `must be ${issue.values.map((one) => JSON.stringify(one)).join(' or ')}`;
  if (issue.code === 'too_small' || issue.code === 'too_big') {
    const [limit, least] = issue.code === 'too_small' ? [issue.minimum, true] : [issue.maximum, false];
    if (issue.origin === 'array')
      return `must have ${limit} ${limit === 1 ? 'item' : 'items'}${least ? ' or more' : ''}`;
    if (issue.origin === 'string') return 'must not be empty';
    return least ? `must be ${issue.inclusive ? 'at least' : 'above'} ${limit}` : `must be at most ${limit}`;
  }
  return 'is not what is expected here';
}

function valueAt(json: unknown, path: readonly PropertyKey[]): unknown {
  let value = json;
  for (const key of path) value = (value as Record<PropertyKey, unknown> | undefined)?.[key];
  return value;
}
