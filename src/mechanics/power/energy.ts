import type { SegmentMotion } from '../../body/body-motion.ts';
import { GRAVITY_M_PER_S2 } from '../../numerics/constants.ts';
import { fivePointDifferenceInto } from '../../numerics/differences.ts';
import { secondMomentOf } from '../wrench.ts';

/**
 * Adds a body's mechanical energy, joules: ½ m v² + kinetic energy of turning + m g y.
 *
 * Turning: ½ I |u̇|² of a slender body, ½ tr(Ṙ J Ṙᵀ) of one whose whole inertia is known. Heights from the lab's zero. NaN in
 * the first and last frame (velocities are central differences).
 */
export function addEnergyInto(out: Float64Array, body: SegmentMotion, frameRateHz: number): void {
  const { massKg, centre, axis, solid, transverseInertiaKgM2: inertia } = body;
  const dt = 1 / frameRateHz;
  const velocity = new Float64Array(centre.length);
  fivePointDifferenceInto(velocity, centre, 3, dt);
  for (let f = 0, i = 0; f < out.length; f++, i += 3) {
    const v2 = velocity[i] ** 2 + velocity[i + 1] ** 2 + velocity[i + 2] ** 2;
    out[f] += massKg * (v2 / 2 + GRAVITY_M_PER_S2 * centre[i + 1]);
  }
  if (solid) {
    const rate = new Float64Array(solid.labFromSegment.length);
    fivePointDifferenceInto(rate, solid.labFromSegment, 9, dt);
    const j = secondMomentOf(solid.inertiaKgM2);
    for (let f = 0, k = 0; f < out.length; f++, k += 9) {
      let twice = 0;
      for (let row = k; row < k + 9; row += 3) {
        const [x, y, z] = [rate[row], rate[row + 1], rate[row + 2]];
        twice += x * (j[0] * x + j[1] * y + j[2] * z) + y * (j[3] * x + j[4] * y + j[5] * z);
        twice += z * (j[6] * x + j[7] * y + j[8] * z);
      }
      out[f] += twice / 2;
    }
  } else if (inertia !== 0) {
    const rate = new Float64Array(axis.length);
    fivePointDifferenceInto(rate, axis, 3, dt);
    for (let f = 0, i = 0; f < out.length; f++, i += 3)
      out[f] += (inertia * (rate[i] ** 2 + rate[i + 1] ** 2 + rate[i + 2] ** 2)) / 2;
  }
}
