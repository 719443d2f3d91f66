import type { BodyMotion } from '../body-motion.ts';
import { directions } from '../point-series.ts';

/**
 * Unit vector from the left hip to the right, `3 * frame`: the Z axis of the pelvis as far as two hip centres show it; its tilt
 * they do not show. Null where a hip is never known.
 */
export function hipLine({ left_hip: left, right_hip: right }: BodyMotion['joints']): Float64Array | null {
  return left && right ? directions(left, right) : null;
}
