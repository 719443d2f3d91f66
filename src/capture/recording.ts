import type { StudyComparison } from './comparison-file.ts';
import type { ForcePlateSurface } from './force-plate-geometry.ts';
import type { Landmark } from './landmarks.ts';

/** One lifter, one set, filmed by all views: the checked contents of `recording.yaml`, in SI units. */
export interface Recording {
  /** Path as the user gave it: every message starts with it. */
  readonly file: string;
  readonly id: string;
  /** ISO 8601 day, or null where not stated. */
  readonly date: string | null;
  readonly athlete: Athlete;
  readonly lift: LiftDescription;
  readonly load: Load;
  /** Heel above forefoot; sole under the forefoot. null = not stated. */
  readonly shoes: { readonly heelHeightM: number | null; readonly soleThicknessM?: number | null };
  /** Free factors of the study, for instance `{ heel: 'raised' }`. */
  readonly condition: Readonly<Record<string, string | number | boolean>>;
  readonly source: ViewsSource | PointsSource;
  readonly forcePlates: readonly ForcePlateSource[];
  /** 'estimate': the force plates' clock is shifted to agree with the movement; absent = as stated by offset_s. */
  readonly forceClock?: 'as stated' | 'estimate';
  /** What found the points; absent or null = not stated. Chooses the table of offsets between points and joint centres. */
  readonly detector?: string | null;
  readonly segments: SegmentTableName;
  /** File of the user's own rules for findings; absent or null = that of the study, else the built-in rules. */
  readonly findings?: string | null;
  /** Pictures of the videos were asked for in the report, and whether the person filmed agreed; absent = not asked for. */
  readonly stills?: { readonly consent: boolean };
  readonly settings: AnalysisSettings;
  /** True for invented data; shown wherever the recording is shown. */
  readonly synthetic: boolean;
}

export type Sex = 'female' | 'male' | 'unknown';
export const SEGMENT_TABLES = ['de-leva-1996', 'dempster-winter-2009', 'dumas-2007'] as const;
export type SegmentTableName = (typeof SEGMENT_TABLES)[number];

export interface Athlete {
  readonly id: string;
  readonly sex: Sex;
  readonly massKg: number;
  /** Standard deviation of the mass, kg; absent or null = not stated. */
  readonly massSdKg?: number | null;
  readonly statureM: number | null;
}

export type LiftKind = string;

export interface LiftDescription {
  /** Words of the user, lower case, for instance 'front squat', 'back squat', 'deadlift'. */
  readonly kind: LiftKind;
  readonly set: number | null;
  readonly plannedRepetitions: number | null;
  readonly outcome: 'made' | 'failed' | null;
  readonly grip: string | null;
  readonly effortRpe: number | null;
}

export type BarPosition = 'front rack' | 'high back' | 'low back' | 'overhead' | 'hands' | 'none';

export interface Load {
  /** Bar, discs and collars together; 0 = no load. */
  readonly totalKg: number;
  /** Standard deviation of the load, kg; absent or null = not stated. */
  readonly sdKg?: number | null;
  readonly bar: { readonly position: BarPosition; readonly lengthM: number | null; readonly massKg: number | null };
}

export interface ViewSource {
  readonly camera: string;
  /** Paths, resolved against the recording file's folder. */
  readonly keypoints: readonly string[];
  readonly frameRateHz: number;
  /** Seconds added to frame / rate to give the recording's common clock; null = not stated (taken as 0). */
  readonly offsetS: number | null;
  /** Standard deviation of the offset, seconds; absent or null = not stated. */
  readonly offsetSdS?: number | null;
  /** Time between the first and the last image row being read (rolling shutter); null = not stated (taken as 0). */
  readonly readoutS: number | null;
  readonly readoutSdS?: number | null;
  /** Image id of frame 0 in keypoint JSON files; absent = 0. */
  readonly firstImageId?: number;
  /** Frames of the view where the file states them; absent or null = last frame seen + 1. */
  readonly frames?: number | null;
  /** Path of a table of true frame times; absent or null = frames are equally spaced. */
  readonly frameTimes?: string | null;
  /** Path of the video that the keypoints were found in; absent or null = not stated. */
  readonly video?: string | null;
}

export interface ViewsSource {
  readonly kind: 'views';
  readonly rig: string;
  readonly views: readonly ViewSource[];
}

/** A signed axis of the file, for instance '-y'. */
export type SignedAxis = '+x' | '-x' | '+y' | '-y' | '+z' | '-z';

export interface FileAxes {
  readonly forward: SignedAxis;
  readonly up: SignedAxis;
}

export type LengthUnit = 'm' | 'cm' | 'mm';

/** 3D points of a CSV, or of a C3D file where `c3d` says so: then rate and unit are the file's own, known once it is read. */
export interface PointsSource {
  readonly kind: 'landmarks_3d';
  readonly file: string;
  /** NaN until a C3D file is read. */
  readonly frameRateHz: number;
  readonly unit: LengthUnit;
  readonly axes: FileAxes;
  /** Standard deviation of a coordinate, metres; null = not stated. */
  readonly sdM: number | null;
  readonly c3d?: C3dSource;
}

export interface C3dSource {
  /** Labels of the file for each landmark; of several the mean is taken. */
  readonly labels: Readonly<Partial<Record<Landmark, readonly string[]>>>;
  /** As stated in the recording; null = as the file states. */
  readonly unit: LengthUnit | null;
}

/** A force plate inside a C3D file. */
export interface C3dForcePlateSource {
  /** From 1, in the order of the file. */
  readonly number: number;
  /** Which force the file holds. */
  readonly force: 'on the body' | 'on the force plate';
  /** When nothing stood on it: the frames the file states, or seconds from the first frame; null = no offset is taken off. */
  readonly unloaded: 'file' | { readonly fromS: number; readonly toS: number } | null;
}

export interface ForcePlateSource {
  readonly file: string;
  readonly foot: 'left' | 'right' | 'both';
  /** NaN until a C3D file is read. */
  readonly frameRateHz: number;
  readonly unit: LengthUnit;
  /** Seconds added to `time_s` to give the recording's common clock. */
  readonly offsetS: number;
  /** Axes of the file: those of the points, or `force_axes` beside views; absent = lab (or rig world) axes already. */
  readonly axes?: FileAxes;
  /** Absent: a CSV. */
  readonly c3d?: C3dForcePlateSource;
  /** Of a CSV: seconds of its time_s column in which nothing stood on it; absent or null = no offset is taken off. */
  readonly unloaded?: { readonly fromS: number; readonly toS: number } | null;
  /** Of a CSV: four corners round the edge, `3 * corner`, in the file's unit and axes; absent or null = not stated. */
  readonly corners?: readonly number[] | null;
  /** Of a CSV: height of the surface along the up axis, metres; absent or null = not stated. */
  readonly surfaceHeightM?: number | null;
}

/** How points are smoothed; the cut-off is the −3 dB point of the whole smoother with each (docs/method/derivatives.md). */
export const SMOOTHING_METHODS = ['zero-lag filter', 'smoothing spline', 'state-space'] as const;
export type SmoothingMethod = (typeof SMOOTHING_METHODS)[number];

/**
 * Cut-offs of the smoother in Hz (its −3 dB point), by group; or 'residual' = chosen per landmark by residual analysis
 * within stated bounds; or 'none'. `method` absent = 'zero-lag filter'.
 */
export type Smoothing =
  | {
      readonly kind: 'fixed';
      readonly legsHz: number;
      readonly trunkHz: number;
      readonly barHz: number;
      readonly method?: SmoothingMethod;
    }
  | { readonly kind: 'residual'; readonly method?: SmoothingMethod }
  | { readonly kind: 'none' };

/** The method of a smoothing; null where nothing is smoothed. */
export function smoothingMethod(smoothing: Smoothing): SmoothingMethod | null {
  return smoothing.kind === 'none' ? null : (smoothing.method ?? 'zero-lag filter');
}

/**
 * 'skeleton': limbs of constant length, feet that stand still while they do, fitted to all points by their covariance;
 * 'free': every point by itself.
 */
export type PointsKind = 'skeleton' | 'free';

/** How the floor's force is shared between the feet where no force plates tell it (docs/method/leg-sharing.md). */
export const LEG_SHARINGS = ['proportional', 'least effort', 'none'] as const;
export type LegSharingName = (typeof LEG_SHARINGS)[number];

/**
 * 'bends': the trunk's mass follows a spine that flexes as the lifter leans, and shoulders that rise with the arms
 * (docs/method/trunk.md); 'straight': one rigid trunk from mid-hip to mid-shoulder.
 */
export type TrunkKind = 'bends' | 'straight';

/** Axes and unit of moments.csv (docs/method/mechanics.md). */
export const MOMENT_AXES = ['joint', 'segment', 'lab'] as const;
export type MomentAxes = (typeof MOMENT_AXES)[number];
/** N·m; per kg of body mass; or per body weight and body height, a pure number. */
export const MOMENT_UNITS = ['nm', 'nm_per_kg', 'per_weight_and_height'] as const;
export type MomentUnit = (typeof MOMENT_UNITS)[number];

/** Where the moments of both legs in the tables come from, where both ways are known: summed from the bar down, or from the measured floor up. */
export const MOMENT_SOURCES = ['movement', 'force plates'] as const;
export type MomentSource = (typeof MOMENT_SOURCES)[number];

export interface AnalysisSettings {
  readonly smoothing: Smoothing;
  readonly points: PointsKind;
  readonly trunk: TrunkKind;
  /** Longest gap, in seconds, that is interpolated. */
  readonly gapLimitS: number;
  /** Least confidence of a keypoint that is used, 0–1. */
  readonly minimumConfidence: number;
  readonly legSharing: LegSharingName;
  readonly momentAxes: MomentAxes;
  readonly momentUnit: MomentUnit;
  readonly momentsFrom: MomentSource;
  /** Study seed; results of a recording use hash(seed, recording id). */
  readonly seed: number;
}

export const DEFAULT_SETTINGS: AnalysisSettings = {
  smoothing: { kind: 'fixed', legsHz: 6, trunkHz: 3, barHz: 3 },
  points: 'skeleton',
  trunk: 'bends',
  gapLimitS: 0.15,
  minimumConfidence: 0.3,
  legSharing: 'proportional',
  momentAxes: 'joint',
  momentUnit: 'nm',
  momentsFrom: 'movement',
  seed: 1,
};

/** Keypoints of one view. Layout `2 * (frame * landmarks.length + landmark)`, pixels, (0, 0) = centre of the top-left pixel, y down. */
export interface KeypointTrack {
  readonly camera: string;
  readonly files: readonly string[];
  readonly frameRateHz: number;
  readonly offsetS: number;
  /** True where the recording file states offset_s for this view. */
  readonly offsetStated: boolean;
  readonly readoutS: number;
  readonly frames: number;
  /**
   * When each frame was taken, seconds since frame 0, rising, `frames` long; absent = frame / frameRateHz. `frameTime`
   * (frame-time.ts) gives a frame's time on the common clock either way.
   */
  readonly frameTimesS?: Float64Array;
  readonly landmarks: readonly Landmark[];
  readonly pixel: Float64Array;
  /** `frame * landmarks.length + landmark`, 0–1. */
  readonly confidence: Float64Array;
  /** SampleStatus: seen, occluded or lowConfidence. */
  readonly status: Uint8Array;
}

/** 3D points as read and turned to lab axes. Layout `3 * (frame * landmarks.length + landmark)`, metres, X forward, Y up, Z right. */
export interface PointTrack {
  readonly file: string;
  readonly frameRateHz: number;
  readonly frames: number;
  readonly landmarks: readonly Landmark[];
  readonly position: Float64Array;
  /** SampleStatus: seen or occluded. */
  readonly status: Uint8Array;
  readonly sdM: number | null;
}

/**
 * One force plate: force on the body. Layout `3 * sample`, newtons and metres. Beside `landmarks_3d` the axes are the lab's;
 * beside `views` they are those of the rig's world (Y up), which is turned to the lifter's heading together with the points.
 */
export interface ForcePlateTrack {
  readonly file: string;
  readonly foot: 'left' | 'right' | 'both';
  readonly frameRateHz: number;
  readonly samples: number;
  readonly timeS: Float64Array;
  readonly force: Float64Array;
  /** Centre of pressure; NaN where the force plate is not loaded. Its height is floor height unless the file gives one. */
  readonly centreOfPressure: Float64Array;
  /** Free moment about the vertical, N·m, positive about the upward axis; zero-filled where the file has none. */
  readonly freeMoment: Float64Array;
  readonly hasFreeMoment: boolean;
  /** Where its surface lies, same axes as the force; absent = not stated. */
  readonly surface?: ForcePlateSurface;
  /** Sole between its surface and the foot, metres; absent = not stated. */
  readonly soleThicknessM?: number;
}

/** A digest of one input file, for the provenance record. */
export interface InputDigest {
  /** Path from the recording file's folder, forward slashes. */
  readonly file: string;
  readonly sha256: string;
}

/** Everything read for one recording. Exactly one of `tracks` and `points` is non-null. */
export interface RecordingData {
  readonly recording: Recording;
  readonly tracks: readonly KeypointTrack[] | null;
  /** Text of the rig file, parsed JSON, where there are views; `cameras` turns it into a CameraRig. */
  readonly rigJson: unknown;
  readonly points: PointTrack | null;
  readonly forcePlates: readonly ForcePlateTrack[];
  readonly inputs: readonly InputDigest[];
  /** What was done with the files that their reader should know; absent = nothing. */
  readonly notes?: readonly string[];
}

/** What a recording file tells of the lifter, the lift and the conditions. */
export type RecordingCard = Pick<Recording, 'id' | 'date' | 'athlete' | 'lift' | 'load' | 'shoes' | 'condition'>;

/** A study: many recordings under one seed. */
export interface Study {
  readonly file: string;
  readonly id: string;
  readonly title: string;
  readonly synthetic: boolean;
  readonly seed: number;
  /** Paths of recording files, sorted, resolved. */
  readonly recordings: readonly string[];
  /** File of the user's own rules for findings; absent or null = the built-in rules. */
  readonly findings?: string | null;
  /** What is compared over all recordings; absent = nothing. */
  readonly comparison?: StudyComparison;
  /** What each recording file states, where the comparison names levels: they are looked up before anything is analysed. */
  readonly cards?: readonly RecordingCard[];
  /** What is likely a slip of the pen in the recording files, as it is said; absent = nothing. */
  readonly remarks?: readonly string[];
  readonly settings: AnalysisSettings;
}
