import type { Recording } from '../../capture/recording.ts';
import { meanLengthsFor } from '../table-for.ts';
import type { Rod, RodKind } from './rods.ts';

/** What is known of a length before it is measured, metres. */
export interface LengthPrior {
  readonly meanM: number;
  readonly sdM: number;
}

/**
 * Spread of lengths between people, metres, one standard deviation. Thigh (trochanter to epicondyle) and shank: 28 and 25 mm,
 * the men of the U.S. Army's survey of 2012 (ANSUR II, 4082 men, our own statistics of the released measurements). The other
 * limbs: sizes of the same survey, from memory. Pelvis: wide enough for markers over the trochanters, common practice, no
 * source. Bar ends are marked where the sleeve ends, or a little inside it: common practice, no source.
 */
const SPREAD_M: Readonly<Record<RodKind, number>> = {
  pelvis: 0.06,
  thigh: 0.028,
  shank: 0.025,
  upper_arm: 0.018,
  forearm: 0.016,
  hand: 0.01,
  foot: 0.025,
  bar: 0.03,
};

/** Left and right limbs of one person differ by this share, one standard deviation. Common practice, no source. */
export const SIDE_DIFFERENCE = 0.01;

/** Distance of hip joint centres, metres; common practice, no source. */
const HIP_WIDTH_M = 0.175;

/** Mean statures of the people whose mean lengths are used: de Leva (1996), women and men. */
const STATURE_M = { female: 1.735, male: 1.741, unknown: 1.738 } as const;

/** De Leva's mean length, scaled by the athlete's stature where it is stated; null for rods between points of no known distance. */
export function lengthPrior(rod: Rod, recording: Recording): LengthPrior | null {
  if (rod.kind === null) return null;
  const { athlete, load } = recording;
  if (rod.kind === 'bar') return load.bar.lengthM === null ? null : { meanM: load.bar.lengthM, sdM: SPREAD_M.bar };
  const lengths = meanLengthsFor(athlete.sex);
  const scale = (athlete.statureM ?? STATURE_M[athlete.sex]) / STATURE_M[athlete.sex];
  const meanM = {
    pelvis: HIP_WIDTH_M,
    thigh: lengths.thighM,
    shank: lengths.shankM,
    upper_arm: lengths.upperArmM,
    forearm: lengths.forearmM,
    hand: lengths.handM,
    foot: lengths.footM,
  }[rod.kind];
  return { meanM: meanM * scale, sdM: SPREAD_M[rod.kind] };
}
