import type { BodyMotion } from '../../body/body-motion.ts';
import type { ForcePlateTrack } from '../../capture/recording.ts';
import { forceClockUnknown, forcePlateNotes } from '../../messages/force-plates.ts';
import type { JointLoads } from '../joint-loads.ts';
import { forceCutoffHz, jointLoads } from '../joint-loads-from-motion.ts';
import { checkFeet } from './check-feet.ts';
import { forceClock } from './force-clock.ts';
import { soleHeight, surfaceHeightM } from './sole-height.ts';

/** Force plates as they are used, and the loads that follow. */
export interface SettledForcePlates {
  readonly forcePlates: readonly ForcePlateTrack[];
  readonly loads: JointLoads;
}

/** An offset is told from this many standard errors on, and from so many seconds: the movement itself is known no better (common practice, no source). */
const TOLD_CLOCK = { sds: 2, leastS: 0.003 } as const;
/** Floor and surface farther apart than this are told, metres; common practice, no source. */
const TOLD_HEIGHT_M = 0.02;
/** Surfaces this far apart are not one plane, metres; common practice, no source. */
const SAME_PLANE_M = 0.005;

/**
 * Done once a recording, before any draw: the clock of the force plates is estimated, applied where asked, and the feet are
 * checked. Throws as jointLoads, 'two-feet-on-force-plate', and 'force-clock-unknown' where the clock was to be estimated and cannot.
 */
export function settleForcePlates(
  motion: BodyMotion,
  forcePlates: readonly ForcePlateTrack[],
  turn: Float64Array,
  clockChoice: 'as stated' | 'estimate' = 'as stated',
): SettledForcePlates {
  const stated = jointLoads(motion, forcePlates, turn);
  if (forcePlates.length === 0) {
    if (clockChoice === 'estimate') throw forceClockUnknown('there is no force plate');
    return { forcePlates, loads: stated };
  }
  const clock = forceClock(stated);
  const notes: string[] = [];
  if (clockChoice === 'estimate' && clock.reason !== '') throw forceClockUnknown(clock.reason);
  const apply = clockChoice === 'estimate';
  const used = apply ? forcePlates.map((one) => shifted(one, clock.offsetS)) : forcePlates;
  if (apply) notes.push(forcePlateNotes.clockApplied(clock.offsetS, clock.sdS));
  else if (Math.abs(clock.offsetS) > Math.max(TOLD_CLOCK.leastS, TOLD_CLOCK.sds * clock.sdS))
    notes.push(forcePlateNotes.clockOff(clock.offsetS, clock.sdS));
  notes.push(...heightNotes(motion, used), ...checkFeet(motion, used, turn, forceCutoffHz(motion)));
  const loads = apply ? jointLoads(motion, used, turn) : stated;
  const { quality } = loads;
  return {
    forcePlates: used,
    loads: {
      ...loads,
      quality: { ...quality, forcePlates: { clock, clockApplied: apply }, notes: [...quality.notes, ...notes] },
    },
  };
}

function shifted(forcePlate: ForcePlateTrack, offsetS: number): ForcePlateTrack {
  return { ...forcePlate, timeS: forcePlate.timeS.map((time) => time + offsetS) };
}

function heightNotes(motion: BodyMotion, forcePlates: readonly ForcePlateTrack[]): string[] {
  const heights = forcePlates.map(surfaceHeightM).filter(Number.isFinite);
  if (heights.length === 0) return [];
  const notes: string[] = [];
  const [low, high] = [Math.min(...heights), Math.max(...heights)];
  if (high - low > SAME_PLANE_M) notes.push(forcePlateNotes.heights(low, high));
  const sole = soleHeight(forcePlates);
  if (sole && sole.thicknessM > 0) notes.push(forcePlateNotes.sole(sole.surfaceM, sole.thicknessM));
  const apart = motion.trajectories.floorHeightM - 0.5 * (low + high);
  if (!sole && Math.abs(apart) > TOLD_HEIGHT_M) notes.push(forcePlateNotes.surfaceApart(apart));
  return notes;
}
