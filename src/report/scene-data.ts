import { INNER_COLLARS_APART_M, MENS_BAR_KG, WOMENS_BAR_KG } from '../body/barbell.ts';
import type { BodyMotion } from '../body/body-motion.ts';
import type { Recording } from '../capture/recording.ts';
import type { Finding } from '../lift/findings/findings.ts';
import { liftPoints } from '../lift/landmark-points.ts';
import type { LiftRecord, Repetition } from '../lift/lift-record.ts';
import { liftSignal } from '../lift/lift-signal.ts';
import type { JointLoads } from '../mechanics/joint-loads.ts';
import { GRAVITY_M_PER_S2 } from '../numerics/constants.ts';
import { packScene } from '../web/scene/packed-scene.ts';
import type {
  SceneBar,
  SceneMark,
  ScenePayload,
  SceneRepetition,
  SceneView,
  SeriesName,
} from '../web/scene/payload.ts';
import { packedText } from './packed-text.ts';
import * as say from './wording.ts';
import { findingMark } from './wording-scene.ts';

/** Radius of a full-size disc (450 mm across: IWF Technical and Competition Rules, from memory). How the discs really looked is not recorded. */
const DISC_RADIUS_M = 0.225;
/** Whole length of a bar of which nothing is known (men's bar, IWF rules, from memory). */
const BAR_LENGTH_M = 2.2;
/** A load at most this much heavier than the bar carries no discs worth drawing, kg: two collars of 2.5 kg. */
const COLLARS_KG = 5;

/** What the moving picture of a lift is drawn from. `findings`: those that are shown or suggested become places to go to. */
export function scenePayload(
  record: LiftRecord,
  recording: Recording,
  findings: readonly Finding[] = [],
): ScenePayload {
  const { loads } = record;
  const { motion } = loads;
  const origin = originOf(motion);
  const { names, position } = pointsOf(loads, origin);
  return {
    about: {
      recording: record.recordingId,
      lifter: record.athleteId,
      lift: say.liftTitle(recording),
      date: recording.date ?? '',
      synthetic: recording.synthetic,
    },
    frames: loads.frames,
    frameRateHz: loads.frameRateHz,
    startS: loads.startS,
    points: names,
    position,
    series: seriesOf(record, recording),
    bar: barOf(recording, motion),
    weightN: (motion.bodyMassKg + motion.barMassKg) * GRAVITY_M_PER_S2,
    repetitions: record.repetitions.map(sceneRepetition),
    marks: marksOf(findings),
  };
}

/** The payload as text for an element of the page: base64 of gzip. The same payload gives the same text. */
export function sceneText(payload: ScenePayload): string {
  return packedText(packScene(payload));
}

type Origin = readonly [x: number, y: number, z: number];

/** The floor, under the mean place of the ankles: positions near it fit into few digits. */
function originOf({ joints, trajectories }: BodyMotion): Origin {
  const mean = (axis: number): number => {
    let [sum, known] = [0, 0];
    for (const ankle of [joints.left_ankle, joints.right_ankle]) {
      for (let i = axis; ankle && i < ankle.length; i += 3) {
        if (Number.isNaN(ankle[i])) continue;
        sum += ankle[i];
        known++;
      }
    }
    return known > 0 ? sum / known : 0;
  };
  return [mean(0), trajectories.floorHeightM, mean(2)];
}

/** All landmarks, each at its joint centre where one is known; bar, centres of mass and pressure. */
function pointsOf(loads: JointLoads, origin: Origin) {
  const { motion, frames } = loads;
  const { landmarks, position: tracked } = motion.trajectories;
  const joints = motion.joints as Readonly<Record<string, Float64Array | undefined>>;
  const columns: { name: string; source: Float64Array; stride: number; offset: number }[] = [];
  landmarks.forEach((name, i) => {
    const joint = joints[name];
    columns.push(
      joint
        ? { name, source: joint, stride: 3, offset: 0 }
        : { name, source: tracked, stride: 3 * landmarks.length, offset: 3 * i },
    );
  });
  const others = {
    bar: motion.barbell?.centre,
    centre_of_mass: loads.centreOfMass,
    centre_of_pressure: loads.centreOfPressure,
    measured_centre_of_pressure: loads.measuredCentreOfPressure,
  };
  for (const [name, source] of Object.entries(others)) if (source) columns.push({ name, source, stride: 3, offset: 0 });
  const known = columns.filter(({ source, stride, offset }) => isEverKnown(source, stride, offset));
  const position = new Float32Array(3 * frames * known.length);
  known.forEach(({ source, stride, offset }, p) => {
    for (let f = 0; f < frames; f++) {
      for (let axis = 0; axis < 3; axis++) {
        position[3 * (f * known.length + p) + axis] = source[stride * f + offset + axis] - origin[axis];
      }
    }
  });
  return { names: known.map(({ name }) => name), position };
}

function isEverKnown(source: Float64Array, stride: number, offset: number): boolean {
  for (let i = offset; i < source.length; i += stride) if (!Number.isNaN(source[i])) return true;
  return false;
}

/** The frame quantities that are drawn, under the scene's names. */
const QUANTITIES: readonly (readonly [SeriesName, quantity: string, side: 'both' | null])[] = [
  ['hip_moment', 'hip_moment', 'both'],
  ['knee_moment', 'knee_moment', 'both'],
  ['ankle_moment', 'ankle_moment', 'both'],
  ['hip_share', 'hip_share', 'both'],
  ['thigh_elevation', 'thigh_elevation', 'both'],
  ['trunk_lean', 'trunk_lean', null],
  ['com_along_foot', 'com_along_foot', null],
  ...(['ground_force', 'measured_force'] as const).flatMap((force) =>
    (['x', 'y', 'z'] as const).map((axis) => [`${force}_${axis}` as SeriesName, `${force}_${axis}`, null] as const),
  ),
];

function seriesOf(record: LiftRecord, recording: Recording): ScenePayload['series'] {
  const series: Partial<Record<SeriesName, Float32Array>> = {};
  const add = (name: SeriesName, values: Float64Array | undefined) => {
    if (values?.some((value) => !Number.isNaN(value))) series[name] = Float32Array.from(values);
  };
  for (const [name, quantity, side] of QUANTITIES) {
    add(name, record.quantities.find((found) => found.quantity === quantity && found.side === side)?.values);
  }
  add('height', liftSignal(record.loads, recording, liftPoints(record.loads.motion))?.height);
  return series;
}

function barOf({ load, athlete }: Recording, { barbell, barMassKg }: BodyMotion): SceneBar | null {
  if (!barbell) return null;
  const barKg = load.bar.massKg ?? (athlete.sex === 'female' ? WOMENS_BAR_KG : MENS_BAR_KG);
  const tracked = barbell.placedBy === null;
  const lengthM = load.bar.lengthM ?? (tracked ? barbell.lengthM : BAR_LENGTH_M);
  const discs =
    barMassKg > barKg + COLLARS_KG && lengthM > INNER_COLLARS_APART_M
      ? { atM: INNER_COLLARS_APART_M / 2, radiusM: DISC_RADIUS_M }
      : null;
  return { lengthM, discs, tracked };
}

function sceneRepetition(repetition: Repetition): SceneRepetition {
  const { number, descent, ascent, topFrame, bottomFrame } = repetition;
  return {
    number,
    descent: descent && [descent.from, descent.to],
    ascent: ascent && [ascent.from, ascent.to],
    top: topFrame,
    bottom: bottomFrame,
    parallelDescent: repetition.parallelDescentFrame,
    parallelAscent: repetition.parallelAscentFrame,
    sticking: repetition.stickingFrame,
  };
}

/** Measures that are best seen from in front, or from above; all others from the side. */
const VIEW_OF: Readonly<Record<string, SceneView>> = {
  knee_track: 'front',
  hip_shift: 'front',
  hips_tilt: 'front',
  shoulders_tilt: 'front',
  bar_tilt: 'front',
  elbow_width: 'front',
  hand_spacing: 'front',
  stance_per_hip_width: 'front',
  stance_per_shoulder_width: 'front',
  stance_per_leg_length: 'front',
  left_minus_right_thigh: 'front',
  left_minus_right_knee_over_toe: 'top',
  stance_stagger: 'top',
  toe_out: 'top',
  feet_moved: 'top',
  bar_turn: 'top',
};

/** From where a measure is best seen. */
export const viewOfMeasure = (measure: string): SceneView => VIEW_OF[measure] ?? 'side';

function marksOf(findings: readonly Finding[]): SceneMark[] {
  return findings
    .filter(
      ({ word, repetition, frameFirst }) =>
        (word === 'shown' || word === 'suggested') && repetition > 0 && frameFirst >= 0,
    )
    .map(({ rule, repetition, frameFirst }) => ({
      frame: frameFirst,
      label: findingMark(rule.title, repetition),
      view: viewOfMeasure(rule.measure),
    }));
}
