import { pointsMissing, turnFixedBy } from '../../messages/angles.ts';
import { needsLandmarks } from '../../messages/lift.ts';
import type { Attitude } from '../attitude.ts';
import type { Side } from '../body-points.ts';
import { along, directions } from '../point-series.ts';
import { axesFrom, unknownAxes } from './axes.ts';
import type { AxisPoints } from './axis-points.ts';

/**
 * Foot: X from the heel to midway between big and small toe, Z nearest the line across the toes to the right, Y up from the sole.
 * Without a small toe: X from heel to big toe, Y nearest the line to the ankle, so that the foot's roll is an assumption.
 *
 * The points lie on the shoe at unlike heights: dorsiflexion and inversion carry a constant offset of some degrees.
 */
export function footAttitude(points: AxisPoints, side: Side): Attitude {
  const toes = points.all([`${side}_heel`, `${side}_big_toe`, `${side}_small_toe`]);
  if (toes) {
    const [heel, bigToe, smallToe] = toes;
    const forward = directions(heel, along(bigToe, smallToe, 0.5));
    const right = side === 'right' ? directions(bigToe, smallToe) : directions(smallToe, bigToe);
    return {
      labFromPart: axesFrom(0, forward, 2, right),
      fixedBy: turnFixedBy.sole,
      unknownBecause: pointsMissing(),
      evidence: 'sole',
      longAxis: forward,
    };
  }
  const needed = [`${side}_heel`, `${side}_big_toe`, `${side}_ankle`] as const;
  const found = points.all(needed);
  const assumed = { fixedBy: turnFixedBy.ankleOverSole, evidence: 'ankle over sole' } as const;
  if (!found) {
    const unknownBecause = needsLandmarks(points.absent(needed));
    return { labFromPart: unknownAxes(points.frames), ...assumed, unknownBecause };
  }
  const [heel, bigToe, ankle] = found;
  const forward = directions(heel, bigToe);
  return {
    labFromPart: axesFrom(0, forward, 1, directions(heel, ankle)),
    ...assumed,
    unknownBecause: pointsMissing(),
    longAxis: forward,
  };
}
