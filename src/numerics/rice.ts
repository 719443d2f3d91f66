import { normalProbability } from './normal.ts';

/**
 * The length of a vector in a plane whose two coordinates have normal errors of standard deviation 1 each: Rice's distribution
 * (Rice 1944, Bell Syst Tech J 23:282–332, eq. 3.10-11). `true length` is that of the vector without errors.
 */

/** Terms of the series are left out once they are this small. */
const SMALLEST_TERM = 1e-14;

/** Probability that the length found is at most `length`: that a non-central χ² with two degrees of freedom is at most its square. */
export function riceCdf(length: number, trueLength: number): number {
  if (!(length > 0)) return 0;
  // Far out the radial error is normal, displaced by half of the variance across; the series would take too many terms.
  if (Math.max(length, trueLength) > 30) return normalProbability(length - Math.sqrt(trueLength ** 2 + 1));
  const half = length ** 2 / 2;
  const mean = trueLength ** 2 / 2;
  // Σ Poisson(j; mean) · P(χ² with 2 + 2 j ≤ length²), P = 1 − Σ_{i ≤ j} e^(−half) half^i / i!.
  let weight = Math.exp(-mean);
  let term = Math.exp(-half);
  let above = term;
  let sum = 0;
  for (let j = 0; ; j++) {
    sum += weight * (1 - above);
    if (j > mean && weight * (1 - above) < SMALLEST_TERM) return Math.min(1, sum);
    weight *= mean / (j + 1);
    term *= half / (j + 1);
    above += term;
  }
}

/**
 * Variance of the length: 1 far out, 2 − π/2 for a true length of 0 (ξ of Koay & Basser 2006, J Magn Reson 179:317–322, eq. 10,
 * from memory).
 */
export function riceVariance(trueLength: number): number {
  const square = trueLength ** 2;
  // To 1 % there; the next terms of the series in 1 / square are smaller still.
  if (square > 50) return 1 - 1 / (2 * square);
  const x = square / 4;
  let [i0, i1] = [0, 0];
  for (let k = 0, term = 1; k === 0 || term > SMALLEST_TERM * i0; k++) {
    i0 += term;
    i1 += (term * x) / 2 / (k + 1);
    term *= (x / 2) ** 2 / (k + 1) ** 2;
  }
  const twiceMean = Math.exp(-square / 4) * ((2 + square) * i0 + square * i1);
  return 2 + square - (Math.PI / 8) * twiceMean ** 2;
}

/**
 * Standard deviation of either coordinate, from that of the lengths of a vector of length `trueLength` drawn anew with errors:
 * near 0 lengths vary less than coordinates do. Both in the same unit.
 */
export function coordinateSd(lengthSd: number, trueLength: number): number {
  let sd = lengthSd;
  for (let i = 0; i < 20 && sd > 0; i++) sd = lengthSd / Math.sqrt(riceVariance(trueLength / sd));
  return sd;
}

/**
 * 95 % interval of the true length where `length` was found, both tails 2.5 %: it begins at 0 unless a length as large would be found
 * in fewer than 2.5 % of the cases with a true length of 0. A length found below one standard deviation ends where 1 does.
 */
export function riceInterval(length: number): { readonly lower: number; readonly upper: number } {
  const TAIL = 0.025;
  const lower = 1 - riceCdf(length, 0) >= TAIL ? 0 : trueLengthWhere((nu) => 1 - riceCdf(length, nu) >= TAIL, length);
  const least = Math.max(length, 1);
  return { lower, upper: trueLengthWhere((nu) => riceCdf(least, nu) <= TAIL, least + 4) };
}

/** The least true length from which on a condition holds, by bisection below `highest`. */
function trueLengthWhere(holds: (trueLength: number) => boolean, highest: number): number {
  let [low, high] = [0, highest];
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (holds(middle)) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}
