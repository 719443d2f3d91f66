import { c3dBesideOthers, c3dLandmarkUnknown, c3dNoLabels, c3dWithForceAxes } from '../messages/c3d.ts';
import {
  barHeavierThanLoad,
  besidesRig,
  bothSources,
  duplicateCamera,
  duplicateKeypointFile,
  forceAxesWithPoints,
  loadWithoutPosition,
  noSource,
  sameAxis,
  wrongManifest,
} from '../messages/capture.ts';
import { axisIndex, LAB_AXES } from './axes.ts';
import { besideFile, type InputLedger } from './input-file.ts';
import { isLandmark, LANDMARKS, type Landmark } from './landmarks.ts';
import { checkManifest, type Manifest, readManifest } from './manifest.ts';
import { nearestName } from './nearest-name.ts';
import type {
  AnalysisSettings,
  FileAxes,
  ForcePlateSource,
  Load,
  PointsSource,
  Recording,
  ViewSource,
  ViewsSource,
} from './recording.ts';
import { type RecordingFile, recordingJsonSchema, recordingSchema } from './schema.ts';
import { applySettings } from './settings.ts';

/** Reads and checks `recording.yaml`; no other file is opened. `base` is what its own settings override. */
export function readRecordingFile(file: string, base: AnalysisSettings, ledger: InputLedger | null): Recording {
  const manifest = readManifest(file, ledger);
  if (manifest.contents.study !== undefined && manifest.contents.recording === undefined) {
    throw wrongManifest(file, 'study', 'recording');
  }
  const contents = checkManifest(manifest, recordingSchema, recordingJsonSchema);
  const source = sourceOf(manifest, contents);
  const { athlete, lift } = contents;
  return {
    file,
    id: contents.recording,
    date: contents.date ?? null,
    athlete: {
      id: athlete.id,
      sex: athlete.sex ?? 'unknown',
      massKg: athlete.mass_kg,
      massSdKg: athlete.mass_sd_kg ?? null,
      statureM: athlete.stature_m ?? null,
    },
    lift: {
      kind: lift.kind.trim().toLowerCase(),
      set: lift.set ?? null,
      plannedRepetitions: lift.planned_repetitions ?? null,
      outcome: lift.outcome ?? null,
      grip: lift.grip ?? null,
      effortRpe: lift.effort_rpe ?? null,
    },
    load: loadOf(manifest, contents),
    shoes: {
      heelHeightM: contents.shoes?.heel_height_m ?? null,
      ...(contents.shoes?.sole_thickness_m !== undefined && { soleThicknessM: contents.shoes.sole_thickness_m }),
    },
    condition: contents.condition ?? {},
    source,
    forcePlates: forcePlatesOf(file, contents, source),
    ...(contents.force_clock && { forceClock: contents.force_clock }),
    detector: contents.detector ?? null,
    segments: contents.segments ?? 'de-leva-1996',
    ...(contents.findings !== undefined && { findings: besideFile(file, contents.findings) }),
    ...(contents.stills && { stills: { consent: contents.consent ?? false } }),
    settings: applySettings(base, contents.settings),
    synthetic: contents.synthetic ?? false,
  };
}

function loadOf(manifest: Manifest, { load }: RecordingFile): Load {
  const position = load.bar?.position ?? 'none';
  const barKg = load.bar?.mass_kg ?? null;
  if (load.total_kg > 0 && position === 'none') {
    throw loadWithoutPosition(manifest.file, manifest.lineOf(['load', 'bar', 'position']), load.total_kg);
  }
  if (barKg !== null && barKg > load.total_kg) {
    throw barHeavierThanLoad(manifest.file, manifest.lineOf(['load', 'bar', 'mass_kg']), barKg, load.total_kg);
  }
  return {
    totalKg: load.total_kg,
    sdKg: load.sd_kg ?? null,
    bar: { position, lengthM: load.bar?.length_m ?? null, massKg: barKg },
  };
}

function sourceOf(manifest: Manifest, contents: RecordingFile): ViewsSource | PointsSource {
  const { file } = manifest;
  const { landmarks_3d: points, c3d, views, rig, force_axes: forceAxes } = contents;
  if (points && (views || rig)) throw bothSources(file, manifest.lineOf(['landmarks_3d']));
  if (c3d && (points || views || rig)) throw c3dBesideOthers(file, manifest.lineOf(['c3d']));
  if (c3d) {
    checkAxes(manifest, 'c3d.axes', c3d.axes);
    if (forceAxes) throw c3dWithForceAxes(file, manifest.lineOf(['force_axes']));
    return c3dSource(manifest, c3d);
  }
  if (points) {
    checkAxes(manifest, 'landmarks_3d.axes', points.axes);
    if (forceAxes) throw forceAxesWithPoints(file, manifest.lineOf(['force_axes']));
    return {
      kind: 'landmarks_3d',
      file: besideFile(file, points.file),
      frameRateHz: points.frame_rate_hz,
      unit: points.unit,
      axes: points.axes,
      sdM: points.sd_m ?? null,
    };
  }
  if (!views && !rig) throw noSource(file);
  if (!views || !rig) throw besidesRig(file, manifest.lineOf([rig ? 'rig' : 'views']), rig ? 'views' : 'rig');
  if (forceAxes) checkAxes(manifest, 'force_axes', forceAxes);
  return { kind: 'views', rig: besideFile(file, rig), views: viewsOf(manifest, views) };
}

function viewsOf(manifest: Manifest, views: NonNullable<RecordingFile['views']>): ViewSource[] {
  const { file, lineOf } = manifest;
  const usedBy = new Map<string, string>();
  return views.map((view, index) => {
    if (views.findIndex((other) => other.camera === view.camera) !== index) {
      throw duplicateCamera(file, lineOf(['views', index, 'camera']), view.camera);
    }
    const keypoints = view.keypoints.map((path, k) => {
      const resolved = besideFile(file, path);
      const other = usedBy.get(resolved);
      if (other !== undefined) {
        throw duplicateKeypointFile(file, lineOf(['views', index, 'keypoints', k]), path, other, view.camera);
      }
      usedBy.set(resolved, view.camera);
      return resolved;
    });
    return {
      camera: view.camera,
      keypoints,
      frameRateHz: view.frame_rate_hz,
      offsetS: view.offset_s ?? null,
      offsetSdS: view.offset_sd_s ?? null,
      readoutS: view.readout_s ?? null,
      readoutSdS: view.readout_sd_s ?? null,
      firstImageId: view.first_image_id ?? 0,
      frames: view.frames ?? null,
      frameTimes: view.frame_times === undefined ? null : besideFile(file, view.frame_times),
      ...(view.video !== undefined && { video: besideFile(file, view.video) }),
    };
  });
}

/** What the file itself says, rate and unit, is not known before it is read. */
function c3dSource(manifest: Manifest, c3d: NonNullable<RecordingFile['c3d']>): PointsSource {
  const labels: Partial<Record<Landmark, readonly string[]>> = {};
  if (Object.keys(c3d.labels).length === 0) throw c3dNoLabels(manifest.file, manifest.lineOf(['c3d', 'labels']));
  for (const [name, label] of Object.entries(c3d.labels)) {
    if (!isLandmark(name)) {
      const line = manifest.lineOf(['c3d', 'labels', name]);
      throw c3dLandmarkUnknown(manifest.file, line, name, nearestName(name, LANDMARKS), LANDMARKS);
    }
    labels[name] = typeof label === 'string' ? [label] : label;
  }
  return {
    kind: 'landmarks_3d',
    file: besideFile(manifest.file, c3d.file),
    frameRateHz: Number.NaN,
    unit: c3d.unit ?? 'mm',
    axes: c3d.axes,
    sdM: c3d.sd_m ?? null,
    c3d: { labels, unit: c3d.unit ?? null },
  };
}

function forcePlatesOf(file: string, contents: RecordingFile, source: ViewsSource | PointsSource): ForcePlateSource[] {
  const axes = source.kind === 'landmarks_3d' ? source.axes : (contents.force_axes ?? LAB_AXES);
  const inC3d = (contents.c3d?.force_plates ?? []).map(({ number, foot, force, unloaded, offset_s: offsetS }) => ({
    file: besideFile(file, contents.c3d!.file),
    foot,
    frameRateHz: Number.NaN,
    unit: contents.c3d!.unit ?? ('mm' as const),
    offsetS: offsetS ?? 0,
    axes,
    c3d: {
      number,
      force: force ?? ('on the body' as const),
      unloaded: typeof unloaded === 'object' ? { fromS: unloaded.from_s, toS: unloaded.to_s } : (unloaded ?? null),
    },
  }));
  const tables = (contents.force_plates ?? []).map((forcePlate) => ({
    file: besideFile(file, forcePlate.file),
    foot: forcePlate.foot,
    frameRateHz: forcePlate.frame_rate_hz,
    unit: forcePlate.unit ?? 'm',
    offsetS: forcePlate.offset_s ?? 0,
    axes,
    ...(forcePlate.unloaded && { unloaded: { fromS: forcePlate.unloaded.from_s, toS: forcePlate.unloaded.to_s } }),
    ...(forcePlate.corners && { corners: forcePlate.corners.flat() }),
    ...(forcePlate.surface_height_m !== undefined && { surfaceHeightM: forcePlate.surface_height_m }),
  }));
  return [...inC3d, ...tables];
}

function checkAxes(manifest: Manifest, field: string, axes: FileAxes): void {
  if (axisIndex(axes.forward) === axisIndex(axes.up)) {
    throw sameAxis(manifest.file, manifest.lineOf([...field.split('.'), 'up']), field, axes.forward, axes.up);
  }
}
