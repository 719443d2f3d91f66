import type { Trajectories } from '../../reconstruction/trajectories.ts';
import type { Attitude, AttitudePart } from '../attitude.ts';
import type { BodyPoints } from '../body-points.ts';
import { axisPoints } from './axis-points.ts';
import { footAttitude } from './foot-attitude.ts';
import { forearmAttitude, shankAttitude, thighAttitude, upperArmAttitude } from './limb-attitudes.ts';
import { madeWhenAsked } from './made-when-asked.ts';
import { pelvisAttitude, trunkAttitude } from './torso-attitudes.ts';

/**
 * Axes of every part, each made when it is first read. Definitions, sources and what two points cannot show:
 * docs/method/angles.md.
 */
export function bodyAttitudes(
  bodyPoints: BodyPoints,
  trajectories: Trajectories,
): Readonly<Record<AttitudePart, Attitude>> {
  const points = axisPoints(bodyPoints, trajectories);
  return madeWhenAsked<AttitudePart, Attitude>({
    pelvis: () => pelvisAttitude(points),
    trunk: () => trunkAttitude(points),
    left_upper_arm: () => upperArmAttitude(points, 'left'),
    right_upper_arm: () => upperArmAttitude(points, 'right'),
    left_forearm: () => forearmAttitude(points, 'left'),
    right_forearm: () => forearmAttitude(points, 'right'),
    left_thigh: () => thighAttitude(points, 'left'),
    right_thigh: () => thighAttitude(points, 'right'),
    left_shank: () => shankAttitude(points, 'left'),
    right_shank: () => shankAttitude(points, 'right'),
    left_foot: () => footAttitude(points, 'left'),
    right_foot: () => footAttitude(points, 'right'),
  });
}
