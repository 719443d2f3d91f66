/**
 * What the moving picture of a lift is drawn from: one recording, everything the scene shows, nothing more.
 * Lengths in metres in the lab frame (X forward, Y up, Z to the lifter's right), moved so that the floor is at y = 0 and
 * the feet stand about the origin. Missing = NaN; a part that needs a missing point is not drawn.
 */
export interface ScenePayload {
  readonly about: SceneAbout;
  readonly frames: number;
  readonly frameRateHz: number;
  /** Time of frame 0, seconds. */
  readonly startS: number;
  /** Landmarks, joint centres and the points of SCENE_POINTS that this recording has. */
  readonly points: readonly string[];
  /** `3 * (frame * points.length + point)`, metres. */
  readonly position: Float32Array;
  /** One value a frame, by name; only those that the recording has. */
  readonly series: Readonly<Partial<Record<SeriesName, Float32Array>>>;
  /** null where nothing is carried. */
  readonly bar: SceneBar | null;
  /** Weight of lifter and bar, N: what arrows and discs are scaled by. */
  readonly weightN: number;
  readonly repetitions: readonly SceneRepetition[];
  /** Moments worth going to that someone named, for instance findings. */
  readonly marks: readonly SceneMark[];
}

export interface SceneAbout {
  readonly recording: string;
  readonly lifter: string;
  /** 'Front squat, 60 kg' */
  readonly lift: string;
  /** '' where not stated. */
  readonly date: string;
  readonly synthetic: boolean;
}

export interface SceneBar {
  /** Whole length of the bar, metres. */
  readonly lengthM: number;
  /** Distance of a disc from the middle of the bar, and its radius, metres; null where no discs are on it. */
  readonly discs: { readonly atM: number; readonly radiusM: number } | null;
  /** False: the bar was not seen; its middle is placed by a rule, and it is drawn so. */
  readonly tracked: boolean;
}

/** Frame ranges are half-open [from, to); −1 = the repetition has no such frame. */
export interface SceneRepetition {
  readonly number: number;
  readonly descent: readonly [from: number, to: number] | null;
  readonly ascent: readonly [from: number, to: number] | null;
  readonly top: number;
  readonly bottom: number;
  readonly parallelDescent: number;
  readonly parallelAscent: number;
  readonly sticking: number;
}

export interface SceneMark {
  readonly frame: number;
  readonly label: string;
  readonly view: SceneView | null;
}

export const SCENE_VIEWS = ['side', 'front', 'top', 'free'] as const;
export type SceneView = (typeof SCENE_VIEWS)[number];

/** Points that are no landmark: middle of the bar, centre of mass of lifter and bar, where the floor's force acts. */
export const SCENE_POINTS = ['bar', 'centre_of_mass', 'centre_of_pressure', 'measured_centre_of_pressure'] as const;

/**
 * Values a frame and the step they are kept in: N·m and N and degrees; 1 along the foot; `height` in metres above the
 * floor is what the repetitions were found in (hips, or shoulders where the bar is in the hands).
 */
export const SERIES_STEP = {
  hip_moment: 0.1,
  knee_moment: 0.1,
  ankle_moment: 0.1,
  hip_share: 0.001,
  thigh_elevation: 0.02,
  trunk_lean: 0.02,
  com_along_foot: 0.001,
  height: 0.0005,
  ground_force_x: 0.5,
  ground_force_y: 0.5,
  ground_force_z: 0.5,
  measured_force_x: 0.5,
  measured_force_y: 0.5,
  measured_force_z: 0.5,
} as const;
export type SeriesName = keyof typeof SERIES_STEP;
export const SERIES_NAMES = Object.keys(SERIES_STEP) as readonly SeriesName[];
