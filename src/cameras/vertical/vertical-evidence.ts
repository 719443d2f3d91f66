import type { Moments } from '../moving-points/image-tracks.ts';
import { pointFromViews } from '../point-from-views.ts';
import type { Camera } from '../rig.ts';
import { type FlightTrack, type FreeFallOptions, verticalFromFreeFall } from './free-fall.ts';
import { type LevelMarks, type LevelOptions, verticalFromLevelMarks } from './level-surface.ts';
import { type PlumbLine, type PlumbOptions, verticalFromPlumbLines } from './plumb-line.ts';
import { type StandingMoment, verticalFromStanding } from './standing-athlete.ts';
import { combineVerticals, roundCovariance, type VerticalEstimate, verticalEstimate } from './vertical-estimate.ts';

/** One source of the vertical as the user gives it. */
export type VerticalEvidence =
  | ({ readonly kind: 'plumb line'; readonly lines: readonly PlumbLine[] } & PlumbOptions)
  | ({ readonly kind: 'level surface'; readonly marks: LevelMarks } & LevelOptions)
  | ({ readonly kind: 'free fall'; readonly tracks: readonly FlightTrack[] } & FreeFallOptions)
  /** The lifter stands still between these times of the common clock, seconds. */
  | { readonly kind: 'standing athlete'; readonly fromS: number; readonly toS: number };

/**
 * The vertical from all sources together, in the cameras' frame; null without a source. `directionSdDeg`: how well the
 * cameras' directions against each other are known; it widens every source alike.
 */
export function verticalFrom(
  cameras: readonly Camera[],
  moments: Moments | null,
  evidence: readonly VerticalEvidence[],
  directionSdDeg: number,
): VerticalEstimate | null {
  if (evidence.length === 0) return null;
  const estimates = evidence.map((one): VerticalEstimate => {
    if (one.kind === 'plumb line') return verticalFromPlumbLines(cameras, one.lines, one);
    if (one.kind === 'level surface') return verticalFromLevelMarks(cameras, one.marks, one);
    if (one.kind === 'free fall') return verticalFromFreeFall(cameras, one.tracks, one).vertical;
    return verticalFromStanding(standingMoments(cameras, moments, one.fromS, one.toS));
  });
  const joint = combineVerticals(estimates);
  const rig = roundCovariance(joint.up, (directionSdDeg * Math.PI) / 180);
  return verticalEstimate(
    joint.from,
    joint.up,
    joint.covariance.map((x, k) => x + rig[k]),
  );
}

function standingMoments(
  cameras: readonly Camera[],
  moments: Moments | null,
  fromS: number,
  toS: number,
): StandingMoment[] {
  if (moments === null) return [];
  const { points, timeS, pixel } = moments;
  const place = (k: number, name: string): Float64Array | null => {
    const p = points.indexOf(name);
    if (p < 0) return null;
    const view = Float64Array.from({ length: 2 * cameras.length }, (_, i) => {
      return pixel[2 * ((k * cameras.length + (i >> 1)) * points.length + p) + (i & 1)];
    });
    return pointFromViews(cameras, view);
  };
  return Array.from(timeS, (t, k) => ({ t, k }))
    .filter(({ t }) => t >= fromS && t <= toS)
    .flatMap(({ k }) => {
      const [ankleL, ankleR, shoulderL, shoulderR] = [
        'left_ankle',
        'right_ankle',
        'left_shoulder',
        'right_shoulder',
      ].map((name) => place(k, name));
      if (ankleL === null || ankleR === null || shoulderL === null || shoulderR === null) return [];
      return [
        {
          midAnkle: ankleL.map((x, i) => (x + ankleR[i]) / 2),
          upper: shoulderL.map((x, i) => (x + shoulderR[i]) / 2),
          toRight: shoulderR.map((x, i) => x - shoulderL[i]),
        },
      ];
    });
}
