import type { BodyMotion, SegmentMotion } from '../../src/body/body-motion.ts';
import { makeTrajectories } from '../body/made-lifter.ts';

/** A body motion put together by hand, for checks whose bodies are not a whole lifter. */
export function makeMotion(
  frames: number,
  frameRateHz: number,
  bodyMassKg: number,
  segments: readonly SegmentMotion[],
  joints: BodyMotion['joints'],
  upperBodyKnown: boolean,
): BodyMotion {
  return {
    frameRateHz,
    frames,
    startS: 0,
    trajectories: makeTrajectories(frames, frameRateHz, () => ({})),
    sex: 'unknown',
    table: 'dempster-winter-2009',
    bodyMassKg,
    barMassKg: 0,
    segments,
    barbell: null,
    joints,
    upperBodyKnown,
    quality: { segments: [], notes: [] },
  };
}

/** The labFromWorld rotation that changes nothing. */
export const NO_TURN = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);
