import { seededRandom } from '../../../numerics/random.ts';
import type { Arrangements } from './sign-flips.ts';

/** Number of different arrangements of labels: n! over the product of the factorials of how often each occurs. */
export function distinctOrders(labels: ArrayLike<number>): number {
  const counts = new Map<number, number>();
  let orders = 1;
  for (let i = 0; i < labels.length; i++) {
    const own = (counts.get(labels[i]) ?? 0) + 1;
    counts.set(labels[i], own);
    orders *= (i + 1) / own;
  }
  return Math.round(orders);
}

/**
 * Goes through arrangements of labels: every different one once, in lexicographic order, or random ones after the observed.
 * Labels are whole numbers; equal ones are exchanged with no effect and are not counted twice.
 *
 * @returns a function that writes the next arrangement into its argument; call it `arrangements.used` times
 */
export function ordersOf(labels: ArrayLike<number>, { exact, seed }: Arrangements): (into: Int32Array) => void {
  const order = Int32Array.from(labels);
  let begun = false;
  if (exact) {
    order.sort();
    return (into) => {
      if (begun) nextOrder(order);
      begun = true;
      into.set(order);
    };
  }
  const random = seededRandom(seed);
  return (into) => {
    if (begun) {
      for (let i = order.length - 1; i > 0; i--) {
        const j = random.integer(i + 1);
        const kept = order[i];
        order[i] = order[j];
        order[j] = kept;
      }
    }
    begun = true;
    into.set(order);
  };
}

/** The next arrangement in lexicographic order, in place (Narayana's algorithm: Knuth, TAOCP 7.2.1.2, Algorithm L); after the last the first. */
function nextOrder(order: Int32Array): void {
  const n = order.length;
  let head = n - 2;
  while (head >= 0 && order[head] >= order[head + 1]) head--;
  if (head >= 0) {
    let other = n - 1;
    while (order[head] >= order[other]) other--;
    swap(order, head, other);
  }
  for (let i = head + 1, j = n - 1; i < j; i++, j--) swap(order, i, j);
}

function swap(order: Int32Array, i: number, j: number): void {
  const kept = order[i];
  order[i] = order[j];
  order[j] = kept;
}
