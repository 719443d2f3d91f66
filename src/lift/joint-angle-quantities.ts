import type { JointAngle } from '../body/joint-angles/joint-angle.ts';
import { type AngleKey, jointAngles, SIDED_ANGLES, WHOLE_ANGLES } from '../body/joint-angles/joint-angles.ts';
import type { JointLoads } from '../mechanics/joint-loads.ts';
import type { FrameQuantity } from './lift-record.ts';

const DEGREES = 180 / Math.PI;

/**
 * Joint angles as frame quantities, degrees; definitions and signs: docs/method/angles.md. Values and reasons are made when they
 * are first read: draws never read them.
 */
export function jointAngleQuantities({ motion }: JointLoads): FrameQuantity[] {
  const angles = jointAngles(motion);
  return [
    ...SIDED_ANGLES.flatMap((name) =>
      (['left', 'right'] as const).map((side) => quantity(name, side, angles, `${name}/${side}`)),
    ),
    ...WHOLE_ANGLES.map((name) => quantity(name, null, angles, name)),
  ];
}

function quantity(
  name: string,
  side: 'left' | 'right' | null,
  angles: Readonly<Record<AngleKey, JointAngle>>,
  key: AngleKey,
): FrameQuantity {
  let degrees: Float64Array | null = null;
  return {
    quantity: name,
    side,
    unit: 'deg',
    get values() {
      degrees ??= angles[key].radians.map((angle) => DEGREES * angle);
      return degrees;
    },
    get reason() {
      return angles[key].unknownBecause;
    },
  };
}
