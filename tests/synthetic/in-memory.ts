import type { Camera, CameraRig, MeasuredQuality } from '../../src/cameras/rig.ts';
import { LANDMARKS } from '../../src/capture/landmarks.ts';
import {
  type AnalysisSettings,
  DEFAULT_SETTINGS,
  type KeypointTrack,
  type Recording,
  type RecordingData,
  type ViewSource,
} from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { type Analysed, analysedData, toldTrunk } from './analysed.ts';
import type { SyntheticCamera } from './camera.ts';
import { type FilmedView, type Filming, film } from './film.ts';
import type { VirtualLift } from './lift.ts';
import { dot } from './vector.ts';
import { BACK_AND_HANDS, BAR_ENDS, BODY_AND_FEET, type Decimals } from './write.ts';

/** What the recording says that differs from what is true: the inputs' own errors, and how large they are said to be. */
export interface Stated {
  readonly massKg?: number;
  readonly massSdKg?: number | null;
  readonly loadKg?: number;
  readonly loadSdKg?: number | null;
  readonly detector?: string | null;
  /** By view, in the order of the filming. */
  readonly clocks?: readonly (
    | Partial<Pick<ViewSource, 'offsetS' | 'offsetSdS' | 'readoutS' | 'readoutSdS'>>
    | undefined
  )[];
}

export interface InMemoryOptions {
  readonly settings?: Partial<AnalysisSettings>;
  /** Decimals of pixels, as a file would have them; default null = all digits. */
  readonly decimals?: Decimals;
  readonly stated?: Stated;
  /** The rig the analyser is given; default: the true cameras without a quality record. */
  readonly rig?: CameraRig;
  /** Films made before, where several analyses share one; default: filmed now. */
  readonly views?: readonly FilmedView[];
}

export interface InMemoryRecording {
  readonly data: RecordingData;
  readonly rig: CameraRig;
}

/**
 * What `loadRecording` and `parseRig` would give for the files of this film, without files: one test compares the two
 * to the last digit. Force plates are left out.
 */
export function recordingOf(lift: VirtualLift, filming: Filming, options: InMemoryOptions = {}): InMemoryRecording {
  const settings: AnalysisSettings = { ...DEFAULT_SETTINGS, ...toldTrunk(lift), ...options.settings };
  const sources = filming.views.map(
    ({ camera, offsetS, readoutS }, v): ViewSource => ({
      camera: camera.name,
      keypoints: keypointFiles(camera.name, lift),
      frameRateHz: filming.frameRateHz,
      offsetS,
      readoutS,
      ...options.stated?.clocks?.[v],
      firstImageId: 0,
      frameTimes: null,
    }),
  );
  const views = options.views ?? film(lift, filming);
  const data: RecordingData = {
    recording: recording(lift, sources, settings, options.stated ?? {}),
    tracks: views.map((view, v) =>
      trackOf(view, sources[v], lift, settings.minimumConfidence, options.decimals ?? null),
    ),
    rigJson: null,
    points: null,
    forcePlates: [],
    inputs: [],
  };
  return { data, rig: options.rig ?? exactRig(filming) };
}

/** `analysed` without files. */
export function analysedInMemory(lift: VirtualLift, filming: Filming, options: InMemoryOptions = {}): Analysed {
  const { data, rig } = recordingOf(lift, filming, options);
  return analysedData(lift, filming, data, rig);
}

function recording(
  lift: VirtualLift,
  views: readonly ViewSource[],
  settings: AnalysisSettings,
  stated: Stated,
): Recording {
  const { lifter, equipment } = lift.setup;
  const { id, sex, massKg, statureM } = lifter.build;
  const withBar = equipment.loadKg > 0;
  return {
    file: 'recording.yaml',
    id: 'synthetic',
    date: null,
    athlete: { id, sex, massKg: stated.massKg ?? massKg, massSdKg: stated.massSdKg ?? null, statureM },
    lift: {
      kind: 'front squat',
      set: 1,
      plannedRepetitions: lift.course.repetitions.length,
      outcome: 'made',
      grip: 'full',
      effortRpe: null,
    },
    load: {
      totalKg: stated.loadKg ?? equipment.loadKg,
      sdKg: stated.loadSdKg ?? null,
      bar: withBar
        ? { position: 'front rack', lengthM: equipment.barLengthM, massKg: equipment.barMassKg }
        : { position: 'none', lengthM: null, massKg: null },
    },
    shoes: { heelHeightM: equipment.heelHeightM },
    condition: { world: 'synthetic' },
    source: { kind: 'views', rig: 'rig.json', views },
    forcePlates: [],
    detector: stated.detector ?? null,
    segments: 'de-leva-1996',
    settings,
    synthetic: true,
  };
}

function keypointFiles(camera: string, lift: VirtualLift): string[] {
  const body = `${camera}.json.gz`;
  return lift.setup.equipment.loadKg > 0 ? [body, `${camera}-bar.csv.gz`] : [body];
}

/** Keypoints as the reader keeps them: confidence to two decimals, places of unconfident points dropped. */
function trackOf(
  view: FilmedView,
  source: ViewSource,
  lift: VirtualLift,
  minimumConfidence: number,
  decimals: Decimals,
): KeypointTrack {
  const written = lift.setup.equipment.loadKg > 0 ? [...BODY_AND_FEET, ...BAR_ENDS] : BODY_AND_FEET;
  // Points that no file of the demo has, where they are filmed.
  const beside = BACK_AND_HANDS.filter((name) => view.landmarks.includes(name));
  const landmarks = LANDMARKS.filter((name) => written.includes(name) || beside.includes(name));
  const columns = landmarks.map((name) => view.landmarks.indexOf(name));
  const width = landmarks.length;
  const { frames } = view;
  const pixel = new Float64Array(2 * frames * width).fill(Number.NaN);
  const confidence = new Float64Array(frames * width);
  const status = new Uint8Array(frames * width).fill(SampleStatus.occluded);
  const scale = decimals === null ? null : 10 ** decimals;
  const { round } = Math;
  for (let k = 0; k < frames; k++) {
    for (let l = 0; l < width; l++) {
      const at = k * view.landmarks.length + columns[l];
      if (columns[l] < 0 || Number.isNaN(view.pixel[2 * at])) continue;
      const to = k * width + l;
      const score = round(100 * view.confidence[at]) / 100;
      if (score === 0) continue;
      confidence[to] = score;
      status[to] = score >= minimumConfidence ? SampleStatus.seen : SampleStatus.lowConfidence;
      if (score < minimumConfidence) continue;
      for (let c = 0; c < 2; c++) {
        const value = view.pixel[2 * at + c];
        pixel[2 * to + c] = scale === null ? value : round(scale * value) / scale;
      }
    }
  }
  return {
    camera: view.camera.name,
    files: source.keypoints,
    frameRateHz: view.frameRateHz,
    offsetS: source.offsetS ?? 0,
    offsetStated: source.offsetS !== null,
    readoutS: source.readoutS ?? 0,
    frames,
    landmarks,
    pixel,
    confidence,
    status,
  };
}

/** The true cameras as the analyser's rig. */
export function exactRig(filming: Filming, measured?: MeasuredQuality): CameraRig {
  return rigOf(
    filming.views.map(({ camera }) => analyserCamera(camera)),
    measured,
  );
}

export function rigOf(cameras: readonly Camera[], measured?: MeasuredQuality): CameraRig {
  return {
    kneeward: 1,
    cameras,
    quality: {
      method: 'stated',
      reprojectionRmsPx: null,
      pointsUsed: null,
      notes: ['Invented cameras.'],
      ...(measured ? { measured } : {}),
    },
    synthetic: true,
  };
}

/** A synthetic camera in the analyser's terms. */
export function analyserCamera(camera: SyntheticCamera): Camera {
  const { lens, axes } = camera;
  return {
    name: camera.name,
    imageWidth: camera.imageSizePx[0],
    imageHeight: camera.imageSizePx[1],
    fx: camera.focalPx,
    fy: camera.focalPx,
    cx: camera.principalPointPx[0],
    cy: camera.principalPointPx[1],
    skew: 0,
    distortion: [lens.k1, lens.k2, lens.p1, lens.p2, lens.k3],
    rotation: Float64Array.from(axes.flat()),
    translation: Float64Array.from(axes, (axis) => -dot(axis, camera.centre)),
  };
}
