import { gzipSync } from 'node:zlib';
import { COCO_BODY_AND_FEET_COUNT, LANDMARKS, type Landmark } from '../../src/capture/landmarks.ts';
import type { SyntheticCamera } from './camera.ts';
import type { FilmedView } from './film.ts';
import type { VirtualLift } from './lift.ts';
import { loadsAt } from './truth.ts';
import { dot } from './vector.ts';

/** Body and feet of COCO-WholeBody, and the ends of the bar: what the demo is filmed with. */
export const BODY_AND_FEET: readonly Landmark[] = LANDMARKS.slice(0, COCO_BODY_AND_FEET_COUNT);
export const BAR_ENDS: readonly Landmark[] = ['bar_left_end', 'bar_right_end'];
/** Optional points: third knuckles, neck and back. */
export const BACK_AND_HANDS: readonly Landmark[] = ['left_hand', 'right_hand', 'neck_base', 'mid_back'];

/** A file to be written: path inside the folder, and contents before compression. */
export interface SyntheticFile {
  readonly path: string;
  readonly text: string;
}

/** Bytes on disk: gzip without a clock time where the name ends in .gz. */
export function bytesOf({ path, text }: SyntheticFile): Buffer {
  return path.endsWith('.gz') ? gzipSync(text, { level: 9 }) : Buffer.from(text);
}

/** Decimals of pixels in files; null = all digits, for exact comparisons. */
export type Decimals = number | null;

const rounded = (value: number, decimals: Decimals) => (decimals === null ? value : Number(value.toFixed(decimals)));

/** COCO keypoint results: one entry a frame, image id = frame, the first 23 of COCO-WholeBody, absent points 0, 0, 0. */
export function keypointResults(view: FilmedView, decimals: Decimals): string {
  const columns = BODY_AND_FEET.map((landmark) => view.landmarks.indexOf(landmark));
  const entries: string[] = [];
  for (let k = 0; k < view.frames; k++) {
    const keypoints: number[] = [];
    let sum = 0;
    for (const column of columns) {
      const at = k * view.landmarks.length + column;
      const seen = column >= 0 && !Number.isNaN(view.pixel[2 * at]);
      const score = seen ? Number(view.confidence[at].toFixed(2)) : 0;
      if (score > 0) {
        keypoints.push(rounded(view.pixel[2 * at], decimals), rounded(view.pixel[2 * at + 1], decimals), score);
      } else keypoints.push(0, 0, 0);
      sum += score;
    }
    if (sum === 0) continue;
    const score = Number((sum / columns.length).toFixed(2));
    entries.push(JSON.stringify({ image_id: k, category_id: 1, keypoints, score }));
  }
  return `[\n${entries.join(',\n')}\n]\n`;
}

/** Tidy CSV of some landmarks: frame, landmark, x_px, y_px, confidence; absent points have no row. */
export function keypointCsv(view: FilmedView, landmarks: readonly Landmark[], decimals: Decimals): string {
  const rows = ['frame,landmark,x_px,y_px,confidence'];
  for (let k = 0; k < view.frames; k++) {
    for (const landmark of landmarks) {
      const column = view.landmarks.indexOf(landmark);
      const at = k * view.landmarks.length + column;
      if (column < 0 || Number.isNaN(view.pixel[2 * at])) continue;
      const x = rounded(view.pixel[2 * at], decimals);
      const y = rounded(view.pixel[2 * at + 1], decimals);
      rows.push(`${k},${landmark},${x},${y},${Number(view.confidence[at].toFixed(2))}`);
    }
  }
  return `${rows.join('\n')}\n`;
}

/** rig.json. */
export function rigFile(cameras: readonly SyntheticCamera[]): string {
  const contents = {
    kneeward: 1,
    kind: 'camera rig',
    synthetic: true,
    cameras: cameras.map((camera) => ({
      name: camera.name,
      image_size_px: camera.imageSizePx,
      focal_px: [camera.focalPx, camera.focalPx],
      principal_point_px: camera.principalPointPx,
      skew_px: 0,
      distortion: {
        model: 'brown-conrady',
        k1: camera.lens.k1,
        k2: camera.lens.k2,
        p1: camera.lens.p1,
        p2: camera.lens.p2,
        k3: camera.lens.k3,
      },
      camera_from_world: {
        rotation: camera.axes,
        translation_m: camera.axes.map((axis) => -dot(axis, camera.centre)),
      },
    })),
    quality: {
      method: 'stated',
      reprojection_rms_px: null,
      points_used: null,
      notes: ['Invented cameras: this calibration is exact, as no real one is.'],
    },
  };
  return `${JSON.stringify(contents, null, 2)}\n`;
}

/** What recording.yaml says besides the views. */
export interface RecordingHeader {
  readonly id: string;
  readonly date: string | null;
  readonly condition: Readonly<Record<string, string>>;
  /** Path of rig.json from the recording's folder. */
  readonly rig: string;
  /** Lines added under `settings:`; empty = none. */
  readonly settings: readonly string[];
  readonly forcePlates: boolean;
}

/** recording.yaml; views as written by `viewFiles`. */
export function recordingFile(lift: VirtualLift, views: readonly FilmedView[], header: RecordingHeader): string {
  const { lifter, equipment } = lift.setup;
  const { id, sex, massKg, statureM } = lifter.build;
  const withBar = equipment.loadKg > 0;
  const lines = [
    '# Invented lifter, invented set: no one was filmed.',
    'kneeward: 1',
    `recording: ${header.id}`,
    'synthetic: true',
    ...(header.date ? [`date: ${header.date}`] : []),
    `athlete: { id: "${id}", sex: ${sex}, mass_kg: ${massKg}, stature_m: ${statureM} }`,
    `lift: { kind: front squat, set: 1, planned_repetitions: ${lift.course.repetitions.length}, outcome: made, grip: full }`,
    withBar
      ? `load: { total_kg: ${equipment.loadKg}, bar: { position: front rack, length_m: ${equipment.barLengthM}, mass_kg: ${equipment.barMassKg} } }`
      : 'load: { total_kg: 0 }',
    `shoes: { heel_height_m: ${equipment.heelHeightM} }`,
    `condition: { ${Object.entries(header.condition)
      .map(([factor, level]) => `${factor}: ${level}`)
      .join(', ')} }`,
    `rig: ${header.rig}`,
    'views:',
    ...views.map((view) => {
      const files = viewFiles(view, withBar).join(', ');
      const clock = `offset_s: ${view.offsetS}, readout_s: ${view.readoutS}`;
      return `  - { camera: ${view.camera.name}, keypoints: [${files}], frame_rate_hz: ${view.frameRateHz}, ${clock}, frames: ${view.frames} }`;
    }),
    ...(header.forcePlates
      ? [
          'force_axes: { forward: "+x", up: "+y" }',
          'force_plates:',
          ...['left', 'right'].map(
            (foot) => `  - { file: force-${foot}.csv.gz, foot: ${foot}, frame_rate_hz: ${FORCE_RATE_HZ}, unit: m }`,
          ),
        ]
      : []),
    'segments: de-leva-1996',
    ...(header.settings.length > 0 ? ['settings:', ...header.settings.map((line) => `  ${line}`)] : []),
  ];
  return `${lines.join('\n')}\n`;
}

function viewFiles(view: FilmedView, withBar: boolean): string[] {
  const name = view.camera.name;
  return withBar ? [`${name}.json.gz`, `${name}-bar.csv.gz`] : [`${name}.json.gz`];
}

/** All files of one recording: recording.yaml, keypoints and bar ends per view, force plates where the header says so. */
export function recordingFiles(
  lift: VirtualLift,
  views: readonly FilmedView[],
  header: RecordingHeader,
  decimals: Decimals = 2,
): SyntheticFile[] {
  const withBar = lift.setup.equipment.loadKg > 0;
  return [
    { path: 'recording.yaml', text: recordingFile(lift, views, header) },
    ...views.flatMap((view) => [
      { path: `${view.camera.name}.json.gz`, text: keypointResults(view, decimals) },
      ...(withBar ? [{ path: `${view.camera.name}-bar.csv.gz`, text: keypointCsv(view, BAR_ENDS, decimals) }] : []),
    ]),
    ...(header.forcePlates ? forcePlateFiles(lift) : []),
  ];
}

export const FORCE_RATE_HZ = 100;

/**
 * One force plate a foot, in lab axes, so only for a lifter who stands unturned at the middle of the world. Each foot takes
 * half of the exact total; its pressure lies at the total's place forward, and sideways under the middle of the foot.
 */
export function forcePlateFiles(lift: VirtualLift): SyntheticFile[] {
  const samples = Math.floor(lift.course.durationS * FORCE_RATE_HZ);
  const rows: Record<'left' | 'right', string[]> = { left: [], right: [] };
  for (let k = 0; k < samples; k++) {
    const t = k / FORCE_RATE_HZ;
    const { groundForce, centreOfPressure } = loadsAt(lift, t);
    const { ankle } = lift.postureAt(t).legs;
    for (const foot of ['left', 'right'] as const) {
      const sideways = foot === 'left' ? -ankle[2] : ankle[2];
      const values = [groundForce[0] / 2, groundForce[1] / 2, groundForce[2] / 2, centreOfPressure[0], 0, sideways];
      rows[foot].push([t, ...values].map((value) => Number(value.toFixed(6))).join(','));
    }
  }
  const head = 'time_s,fx_n,fy_n,fz_n,copx_m,copy_m,copz_m';
  return (['left', 'right'] as const).map((foot) => ({
    path: `force-${foot}.csv.gz`,
    text: `${[head, ...rows[foot]].join('\n')}\n`,
  }));
}
