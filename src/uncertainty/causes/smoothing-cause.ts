import type { Reconstruction } from '../../reconstruction/reconstruct.ts';
import type { Cause, PointMove } from './cause.ts';

/** One and the same in all recordings: what smoothing takes of two lifts alike is alike, and leaves their difference. */
export const SMOOTHING_KEY = 'smoothing';

/**
 * What smoothing took of the motion itself, as a cause of doubt: one standard deviation is the loss that smoothing twice
 * more tells of (`lossOf`). It cuts peaks of acceleration, moment and power. None where the points were not smoothed.
 *
 * The noise that is left in the points loses by it too: `withoutNoise` takes from the effects what is only that.
 */
export function smoothingCause(reconstruction: Reconstruction): Cause[] {
  const { smoothed, respond } = reconstruction;
  const bias = lossOf(respond, smoothed.position);
  if (!bias.some((moved) => moved !== 0 && !Number.isNaN(moved))) return [];
  const position = smoothed.forVelocity?.position ?? new Float64Array(0);
  const forVelocity = lossOf((points) => velocitySmoothedAgain(points, reconstruction), position);
  return [
    {
      group: 'noise',
      key: SMOOTHING_KEY,
      label: 'what smoothing takes of the motion',
      moveApart: { smoothed: bias, forVelocity },
    },
  ];
}

/**
 * What smoothing took, told by smoothing the smoothed points y = S x twice more: (S − I) y − (S − I)² y, the first two terms of
 * (S − I) x (Kaiser & Hamming 1977, IEEE Trans ASSP 25:415–422, from memory). Of a component with gain g the loss is 1 − g of its
 * true size, and g (1 − g) (2 − g) is told.
 */
function lossOf(smooth: (points: Float64Array) => Float64Array, points: Float64Array): Float64Array {
  const once = smooth(points);
  const twice = smooth(once);
  return once.map((value, i) => 3 * value - 2 * points[i] - twice[i]);
}

/** A displacement of the points with what smoothing takes of it, as the cause has it. */
export function withLoss(move: PointMove, reconstruction: Reconstruction): PointMove {
  const { respond } = reconstruction;
  const plus = (points: Float64Array, loss: Float64Array) => loss.map((value, i) => value + points[i]);
  const { smoothed, forVelocity } = move;
  return {
    smoothed: plus(smoothed, lossOf(respond, smoothed)),
    forVelocity: plus(
      forVelocity,
      lossOf((points) => velocitySmoothedAgain(points, reconstruction), forVelocity),
    ),
  };
}

/** So many times its mean square is taken off an effect for what noise alone has in it, squared. Common practice, no source. */
const TAKEN_OFF = 2;

/**
 * The effects of the cause less what noise alone has in them: effect² less twice the mean square of what the cause does to
 * noise, not below 0; signs stay. With once the mean square, half of it would be left on average where there is nothing but
 * noise; with twice a quarter is (normal numbers).
 *
 * once, again: values with a draw of the noise, without and with what smoothing takes of it, `draw * effects.length + output`.
 */
export function withoutNoise(
  effects: Float64Array,
  once: Float64Array,
  again: Float64Array,
  draws: number,
): Float64Array {
  const count = effects.length;
  return effects.map((effect, i) => {
    let [squares, known] = [0, 0];
    for (let d = 0; d < draws; d++) {
      const change = again[d * count + i] - once[d * count + i];
      if (Number.isNaN(change)) continue;
      squares += change * change;
      known++;
    }
    if (known === 0) return effect;
    return Math.sign(effect) * Math.sqrt(Math.max(0, effect * effect - (TAKEN_OFF * squares) / known));
  });
}

/** Points in the layout of those for velocities, smoothed as these are. */
function velocitySmoothedAgain(
  points: Float64Array,
  { smoothed: { frames, landmarks, forVelocity }, respondVelocity }: Reconstruction,
): Float64Array {
  if (!forVelocity) return new Float64Array(0);
  // The response takes all landmarks and reads those it is for.
  const all = new Float64Array(3 * frames * landmarks.length);
  for (let frame = 0, i = 0; frame < frames; frame++) {
    for (const column of forVelocity.columns) {
      for (let axis = 0; axis < 3; axis++, i++) all[3 * (frame * landmarks.length + column) + axis] = points[i];
    }
  }
  return respondVelocity(all);
}
