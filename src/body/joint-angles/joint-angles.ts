import {
  armAlongTrunk,
  axesNearlyParallel,
  hingeAssumed,
  pelvisTiltUnseen,
  pointsMissing,
  rollAssumed,
} from '../../messages/angles.ts';
import { needsLandmarks } from '../../messages/lift.ts';
import type { Attitude, AttitudePart } from '../attitude.ts';
import { axesFrom, axisOf, unknownAxes } from '../attitudes/axes.ts';
import { hipLine } from '../attitudes/hip-line.ts';
import { madeWhenAsked } from '../attitudes/made-when-asked.ts';
import type { BodyMotion } from '../body-motion.ts';
import { SIDES, type Side } from '../body-points.ts';
import { unknownSeries } from '../point-series.ts';
import { angleBetween } from './angle-between.ts';
import type { JointAngle } from './joint-angle.ts';
import { pelvisAngles } from './pelvis-angles.ts';
import { LEAST_SHOULDER_ELEVATION_DEG, shoulderAngles } from './shoulder-angles.ts';
import { threeAngles } from './three-angles.ts';
import { unwrapInPlace } from './unwrap.ts';

/** Names of the angles that left and right have, and of those that belong to the whole. */
export const SIDED_ANGLES = [
  'hip_flexion',
  'hip_adduction',
  'hip_rotation',
  'trunk_thigh_flexion',
  'knee_adduction',
  'knee_rotation',
  'ankle_dorsiflexion',
  'ankle_inversion',
  'ankle_rotation',
  'shoulder_plane',
  'shoulder_elevation',
  'shoulder_rotation',
  'elbow_flexion',
] as const;
export const WHOLE_ANGLES = [
  'pelvis_tilt',
  'pelvis_obliquity',
  'pelvis_rotation',
  'spine_flexion',
  'spine_side_bend',
  'spine_rotation',
  'trunk_side_lean',
  'trunk_rotation',
] as const;

export type SidedAngle = (typeof SIDED_ANGLES)[number];
export type WholeAngle = (typeof WHOLE_ANGLES)[number];

/** `hip_flexion/left`, `pelvis_tilt`. */
export type AngleKey = `${SidedAngle}/${Side}` | WholeAngle;

/**
 * Every joint angle, made when it is first read. Joint coordinate systems after Grood and Suntay (1983) and ISB (Wu et al. 2002,
 * 2005); the left side is mirrored first, so that a mirrored lift gives equal values. Signs and limits: docs/method/angles.md.
 *
 * What the landmarks do not determine is NaN with its reason: an angle that a hinge assumption rules out is unknown, not 0.
 */
export function jointAngles(motion: BodyMotion): Readonly<Record<AngleKey, JointAngle>> {
  const body = bodyOf(motion);
  const makers = {} as Record<AngleKey, () => JointAngle>;
  const add = (name: SidedAngle | WholeAngle, side: Side | null, make: () => Found) => {
    const key = (side ? `${name}/${side}` : name) as AngleKey;
    makers[key] = () => {
      const { radians, unknownBecause } = make();
      return { name, side, radians: unwrapInPlace(radians), unknownBecause };
    };
  };
  for (const side of SIDES) {
    const sided = { ...legAngles(body, side), ...armAngles(body, side) };
    for (const name of SIDED_ANGLES) add(name, side, sided[name]);
  }
  const torso = torsoAngles(body);
  for (const name of WHOLE_ANGLES) add(name, null, torso[name]);
  return madeWhenAsked(makers);
}

interface Found {
  readonly radians: Float64Array;
  readonly unknownBecause: string;
}

/** The parts as the angles see them. */
interface Body {
  readonly frames: number;
  part(name: AttitudePart): Attitude;
  /** Along the part, proximal end up (feet: toes ahead); NaN where an end is not known. */
  along(name: AttitudePart): Float64Array;
  /** Z of the pelvis: by its markers, else the line of the hips. */
  pelvisRight(): Float64Array;
  readonly hipsMissing: string;
}

function bodyOf(motion: BodyMotion): Body {
  const { frames, attitudes, joints } = motion;
  const absent: Attitude = { labFromPart: unknownAxes(frames), fixedBy: '', unknownBecause: pointsMissing() };
  const part = (name: AttitudePart) => attitudes?.[name] ?? absent;
  const noHips = (['left_hip', 'right_hip'] as const).filter((name) => !joints[name]);
  return {
    frames,
    part,
    along: (name) => {
      const { longAxis, labFromPart, unknownBecause } = part(name);
      if (longAxis) return longAxis;
      return unknownBecause === '' || labFromPart.some(Number.isFinite)
        ? axisOf(labFromPart, name.endsWith('_foot') ? 0 : 1)
        : unknownSeries(frames);
    },
    pelvisRight: () => {
      const pelvis = part('pelvis').labFromPart;
      return pelvis.some(Number.isFinite) ? axisOf(pelvis, 2) : (hipLine(joints) ?? unknownSeries(frames));
    },
    hipsMissing: noHips.length > 0 ? needsLandmarks(noHips) : pointsMissing(),
  };
}

type LegAngle = Exclude<SidedAngle, `shoulder_${string}` | 'elbow_flexion'>;

function legAngles(body: Body, side: Side): Record<LegAngle, () => Found> {
  const inward = side === 'right' ? 1 : -1;
  const thigh = () => body.part(`${side}_thigh`);
  const shank = () => body.part(`${side}_shank`);
  const foot = () => body.part(`${side}_foot`);
  const isHinge = ({ evidence }: Attitude) => evidence === 'hinge';
  const hip = once(() =>
    threeAngles(body.part('pelvis').labFromPart, body.pelvisRight(), thigh().labFromPart, body.along(`${side}_thigh`)),
  );
  const knee = once(() =>
    threeAngles(null, axisOf(thigh().labFromPart, 2), shank().labFromPart, body.along(`${side}_shank`)),
  );
  const ankle = once(() =>
    threeAngles(shank().labFromPart, axisOf(shank().labFromPart, 2), foot().labFromPart, axisOf(foot().labFromPart, 1)),
  );
  const ankleReason = () => firstUnknown([shank(), foot()]) ?? axesNearlyParallel(`${side}_ankle`);
  const kneeMarkers = [`${side}_knee_medial`, `${side}_knee_lateral`];
  const ankleMarkers = [`${side}_ankle_medial`, `${side}_ankle_lateral`];
  return {
    hip_flexion: () => ({ radians: hip().aboutE1, unknownBecause: reasonOfTilt(body.part('pelvis')) }),
    hip_adduction: () => ({
      radians: times(inward, hip().aboutE2),
      unknownBecause: body.hipsMissing,
    }),
    hip_rotation: () => ({ radians: times(inward, hip().aboutE3), unknownBecause: thigh().unknownBecause }),
    trunk_thigh_flexion: () => ({
      radians: trunkThighFlexion(body, side),
      unknownBecause: body.part('trunk').unknownBecause,
    }),
    knee_adduction: () =>
      isHinge(thigh())
        ? unknown(body.frames, hingeAssumed('knee', kneeMarkers))
        : { radians: times(inward, knee().aboutE2), unknownBecause: thigh().unknownBecause },
    knee_rotation: () =>
      isHinge(shank())
        ? unknown(body.frames, hingeAssumed('knee', ankleMarkers))
        : {
            radians: times(inward, knee().aboutE3),
            unknownBecause: firstUnknown([thigh(), shank()]) ?? pointsMissing(),
          },
    ankle_dorsiflexion: () => ({ radians: ankle().aboutE1, unknownBecause: ankleReason() }),
    ankle_inversion: () =>
      foot().evidence === 'ankle over sole'
        ? unknown(body.frames, rollAssumed(side))
        : { radians: times(inward, ankle().aboutE2), unknownBecause: ankleReason() },
    ankle_rotation: () => ({ radians: times(inward, ankle().aboutE3), unknownBecause: ankleReason() }),
  };
}

type ArmAngle = Exclude<SidedAngle, LegAngle>;

function armAngles(body: Body, side: Side): Record<ArmAngle, () => Found> {
  const outward = side === 'right' ? 1 : -1;
  const upperArm = () => body.part(`${side}_upper_arm`);
  const shoulder = once(() =>
    shoulderAngles(body.part('trunk').labFromPart, upperArm().labFromPart, body.along(`${side}_upper_arm`), outward),
  );
  const along = armAlongTrunk(LEAST_SHOULDER_ELEVATION_DEG);
  return {
    shoulder_plane: () => ({ radians: shoulder().plane, unknownBecause: along }),
    shoulder_elevation: () => ({
      radians: shoulder().elevation,
      unknownBecause: body.part('trunk').unknownBecause,
    }),
    shoulder_rotation: () => ({
      radians: shoulder().rotation,
      unknownBecause: `${along}; or ${upperArm().unknownBecause}`,
    }),
    elbow_flexion: () => ({
      radians: angleBetween(body.along(`${side}_upper_arm`), body.along(`${side}_forearm`)),
      unknownBecause: body.part(`${side}_forearm`).unknownBecause,
    }),
  };
}

function torsoAngles(body: Body): Record<WholeAngle, () => Found> {
  const pelvis = () => body.part('pelvis');
  const trunk = () => body.part('trunk');
  const againstLab = once(() => pelvisAngles(body.pelvisRight(), pelvis().labFromPart));
  const spine = once(() =>
    threeAngles(pelvis().labFromPart, body.pelvisRight(), trunk().labFromPart, body.along('trunk')),
  );
  const inLab = once(() => threeAngles(null, labRight(body.frames), trunk().labFromPart, body.along('trunk')));
  const trunkReason = () => trunk().unknownBecause;
  return {
    pelvis_tilt: () => ({ radians: againstLab().tilt, unknownBecause: reasonOfTilt(pelvis()) }),
    pelvis_obliquity: () => ({ radians: againstLab().obliquity, unknownBecause: body.hipsMissing }),
    pelvis_rotation: () => ({ radians: againstLab().rotation, unknownBecause: body.hipsMissing }),
    spine_flexion: () => ({
      radians: times(-1, spine().aboutE1),
      unknownBecause: reasonOfTilt(pelvis()),
    }),
    spine_side_bend: () => ({ radians: spine().aboutE2, unknownBecause: trunkReason() }),
    spine_rotation: () => ({ radians: spine().aboutE3, unknownBecause: trunkReason() }),
    trunk_side_lean: () => ({ radians: inLab().aboutE2, unknownBecause: trunkReason() }),
    trunk_rotation: () => ({ radians: inLab().aboutE3, unknownBecause: trunkReason() }),
  };
}

/** The thigh against the trunk's line about the line of the hips: what hip and spine bend together. */
function trunkThighFlexion(body: Body, side: Side): Float64Array {
  const right = body.pelvisRight();
  const upright = axesFrom(2, right, 1, body.along('trunk'));
  return threeAngles(upright, right, null, body.along(`${side}_thigh`)).aboutE1;
}

function reasonOfTilt(pelvis: Attitude): string {
  return pelvis.labFromPart.some(Number.isFinite) ? pelvis.unknownBecause : pelvisTiltUnseen();
}

function unknown(frames: number, unknownBecause: string): Found {
  return { radians: new Float64Array(frames).fill(Number.NaN), unknownBecause };
}

/** The reason of the first part that is somewhere unknown. */
function firstUnknown(parts: readonly Attitude[]): string | null {
  return parts.find(({ labFromPart }) => labFromPart.some(Number.isNaN))?.unknownBecause ?? null;
}

function labRight(frames: number): Float64Array {
  const out = new Float64Array(3 * frames);
  for (let i = 2; i < out.length; i += 3) out[i] = 1;
  return out;
}

/** A copy: several angles are read from one result. */
function times(sign: 1 | -1, angles: Float64Array): Float64Array {
  const out = new Float64Array(angles.length);
  for (let f = 0; f < out.length; f++) out[f] = sign * angles[f];
  return out;
}

/** The result of `make`, made at the first call. */
function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | null = null;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}
