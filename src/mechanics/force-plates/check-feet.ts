import type { BodyMotion } from '../../body/body-motion.ts';
import { type ForcePlateSurface, metresOffSurface } from '../../capture/force-plate-geometry.ts';
import type { Landmark } from '../../capture/landmarks.ts';
import type { ForcePlateTrack } from '../../capture/recording.ts';
import { forcePlateNotes, sameFootTwice, twoFeetOnForcePlate } from '../../messages/force-plates.ts';
import { GRAVITY_M_PER_S2 } from '../../numerics/constants.ts';
import { apply3Into } from '../../numerics/rotation.ts';
import { mean, median } from '../../numerics/statistics.ts';
import { groundReaction } from '../ground-wrench.ts';
import { centreOfPressure, type Wrench } from '../wrench.ts';

type Foot = 'left' | 'right';
const FOOT_POINTS = ['heel', 'big_toe', 'small_toe'] as const;

/** A foot point this far outside is beside the force plate, metres: shoes and markers reach beyond the sole (common practice, no source). */
export const FOOT_OFF_M = 0.03;
/** Share of the weight from which a force plate of one foot carries more than a foot of a two-legged lift; common practice, no source. */
export const WHOLE_WEIGHT_SHARE = 0.75;
/** Where between the ankles (0 own, 1 other) pressure lies under both feet; common practice, no source. */
export const BETWEEN = [0.25, 0.75] as const;
/** Share of the weight from which a foot stands on it; common practice, no source. */
const STANDS_SHARE = 0.15;

/**
 * Whether the feet stand as stated. Refuses ('two-feet-on-force-plate') a force plate of one foot that has both ankles above its
 * corners while no other is stated for the second foot, or that carries the weight with its pressure between the ankles.
 * 'same-foot-twice': two force plates stated for one foot of which one lies under the other, and none for that.
 * Returns notes on a foot half off, one that stands on another foot's force plate, and pressure under the other foot.
 * `turn`, `cutoffHz` as of groundReaction.
 */
export function checkFeet(
  motion: BodyMotion,
  forcePlates: readonly ForcePlateTrack[],
  turn: Float64Array,
  cutoffHz: number,
): string[] {
  const notes: string[] = [];
  const weightN = (motion.bodyMassKg + motion.barMassKg) * GRAVITY_M_PER_S2;
  const surfaces = forcePlates.map(({ surface }) => (surface ? turned(surface, turn) : null));
  forcePlates.forEach((forcePlate, index) => {
    const { file, foot } = forcePlate;
    const ground = groundReaction([forcePlate], turn, motion, cutoffHz);
    const wrench = ground[foot];
    if (!wrench) return;
    const stands = framesStanding(wrench, STANDS_SHARE * weightN);
    if (stands.length === 0) return;
    const surface = surfaces[index];
    if (foot === 'both') {
      if (surface)
        for (const one of ['left', 'right'] as const)
          notes.push(...footNotes(motion, forcePlate, surface, one, stands));
      return;
    }
    const other: Foot = foot === 'left' ? 'right' : 'left';
    const otherStated = forcePlates.some((one) => one !== forcePlate && one.foot !== foot);
    const carried = mean(stands.map((frame) => wrench.force[3 * frame + 1])) / weightN;
    const place = pressureBetweenAnkles(motion, wrench, foot, stands, STANDS_SHARE * weightN);
    if (surface && !otherStated && ankleInside(motion, surface, other, stands) && carried > WHOLE_WEIGHT_SHARE)
      throw twoFeetOnForcePlate(file, foot, 'both ankles stand above its corners');
    if (place > BETWEEN[0] && place < BETWEEN[1] && carried > WHOLE_WEIGHT_SHARE)
      throw twoFeetOnForcePlate(
        file,
        foot,
        `it carries ${(100 * carried).toFixed(0)} % of the weight with the pressure between the ankles`,
      );
    // Two force plates cannot both be under one foot: the one under the other foot is that foot's.
    const twice = forcePlates.some((one) => one !== forcePlate && one.foot === foot);
    if (place >= BETWEEN[1] && twice && !otherStated) throw sameFootTwice(file, foot, other);
    if (place >= BETWEEN[1]) notes.push(forcePlateNotes.underOtherFoot(file, foot));
    if (!surface) return;
    notes.push(...footNotes(motion, forcePlate, surface, foot, stands));
    forcePlates.forEach((neighbour, k) => {
      const theirs = surfaces[k];
      if (k === index || !theirs || neighbour.foot === foot) return;
      const there = FOOT_POINTS.find((name) => farthestOff(motion, theirs, foot, name, stands) === 0);
      if (there) notes.push(forcePlateNotes.footOnOther(file, foot, `${foot}_${there}`, neighbour.file));
    });
  });
  return notes;
}

/** The surface in lab axes. */
function turned(surface: ForcePlateSurface, turn: Float64Array): ForcePlateSurface {
  const centre = new Float64Array(3);
  apply3Into(centre, 0, turn, surface.centre, 0);
  const axes = new Float64Array(9);
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++)
      for (let k = 0; k < 3; k++) axes[3 * i + j] += turn[3 * i + k] * surface.axes[3 * k + j];
  return { ...surface, centre, axes };
}

function framesStanding({ force }: Wrench, leastN: number): number[] {
  return Array.from({ length: force.length / 3 }, (_, frame) => frame).filter(
    (frame) => force[3 * frame + 1] >= leastN,
  );
}

/** Median of where the pressure lies sideways from the own ankle (0) to the other (1); NaN where that is not known, or the feet are together. */
function pressureBetweenAnkles(
  { joints, trajectories }: BodyMotion,
  wrench: Wrench,
  foot: Foot,
  frames: readonly number[],
  leastN: number,
): number {
  const own = joints[`${foot}_ankle`];
  const other = joints[foot === 'left' ? 'right_ankle' : 'left_ankle'];
  if (!own || !other) return Number.NaN;
  const centre = centreOfPressure(wrench, trajectories.floorHeightM, leastN);
  const shares = frames
    .map((frame) => {
      const i = 3 * frame + 2;
      const apart = other[i] - own[i];
      return Math.abs(apart) > 0.1 ? (centre[i] - own[i]) / apart : Number.NaN;
    })
    .filter(Number.isFinite);
  return shares.length > 0 ? median(shares) : Number.NaN;
}

function ankleInside(motion: BodyMotion, surface: ForcePlateSurface, foot: Foot, frames: readonly number[]): boolean {
  const ankle = motion.joints[`${foot}_ankle`];
  if (!ankle) return false;
  const off = frames.map((frame) => metresOffSurface(surface, ankle, 3 * frame)).filter(Number.isFinite);
  return off.length > 0 && median(off) === 0;
}

function footNotes(
  motion: BodyMotion,
  { file }: ForcePlateTrack,
  surface: ForcePlateSurface,
  foot: Foot,
  frames: readonly number[],
): string[] {
  const off = FOOT_POINTS.map((name) => [`${foot}_${name}`, farthestOff(motion, surface, foot, name, frames)] as const);
  const [name, farM] = off.reduce((a, b) => (b[1] > a[1] ? b : a));
  return farM > FOOT_OFF_M ? [forcePlateNotes.footOff(file, foot, name, farM)] : [];
}

/** Median distance outside of a foot point while the foot stands, metres; −1 where the point is not there. */
function farthestOff(
  { trajectories: { landmarks, position } }: BodyMotion,
  surface: ForcePlateSurface,
  foot: Foot,
  name: (typeof FOOT_POINTS)[number],
  frames: readonly number[],
): number {
  const column = landmarks.indexOf(`${foot}_${name}` as Landmark);
  if (column < 0) return -1;
  const off = frames
    .map((frame) => metresOffSurface(surface, position, 3 * (frame * landmarks.length + column)))
    .filter(Number.isFinite);
  return off.length > 0 ? median(off) : -1;
}
