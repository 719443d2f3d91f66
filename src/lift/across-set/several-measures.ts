import { FALSE_ALARM } from './change-point.ts';

/**
 * Which of several tests stand when all are looked at together: Holm's (1979, Scand J Stat 6:65–70) step-down rule. None of
 * them changed: in no more than FALSE_ALARM of the sets is any called so, however the measures hang together.
 *
 * @param probabilities of each test; NaN takes no part and does not stand
 */
export function standTogether(probabilities: readonly number[]): boolean[] {
  const order = probabilities.map((_, i) => i).filter((i) => !Number.isNaN(probabilities[i]));
  order.sort((a, b) => probabilities[a] - probabilities[b]);
  const stands = probabilities.map(() => false);
  for (let k = 0; k < order.length && probabilities[order[k]] * (order.length - k) < FALSE_ALARM; k++) {
    stands[order[k]] = true;
  }
  return stands;
}
