import { echelonInPlace, triangulariseInPlace } from './householder.ts';

/** How closely the step has to reach the trust radius, and the most dampings tried (Moré 1978, §5). */
const RADIUS_TOLERANCE = 0.1;
const MOST_TRIES = 10;

/**
 * The Levenberg–Marquardt step of one linearisation r + J δ: the δ that minimises ‖r + J δ‖ with ‖D δ‖ ≤ Δ.
 *
 * δ solves the least-squares problem of J stacked on √λ D against −r stacked on 0; λ = 0 where the undamped step is short
 * enough, else the root of ‖D δ(λ)‖ = Δ by Newton's method on 1/‖D δ‖, inside bounds (Moré 1978, §§3–5). J and r are
 * brought to triangular form once (`load`); each λ adds rows to that triangle. JᵀJ is never formed.
 *
 * A column of J that depends on the columns before it (all but `dependence` of its norm) is left out: its parameter is held
 * in this step, so that directions which the residuals do not see are not filled with rounding noise.
 */
export class TrustStep {
  readonly #m: number;
  readonly #n: number;
  readonly #dependence: number;
  readonly #tall: Float64Array;
  readonly #triangle: Float64Array;
  readonly #stacked: Float64Array;
  readonly #workspace: Float64Array;
  readonly #forward: Float64Array;
  readonly #scale: Float64Array;
  readonly #step: Float64Array;
  readonly #held: Uint8Array;
  #rank = 0;
  /** The damping λ of the last step. */
  damping = 0;
  /** The largest fall of ‖r‖² that any step of the linear model gives. */
  attainableFall = 0;

  constructor(m: number, n: number, dependence: number) {
    this.#m = m;
    this.#n = n;
    this.#dependence = dependence;
    this.#tall = new Float64Array(m * (n + 1));
    this.#triangle = new Float64Array(n * (n + 1));
    this.#stacked = new Float64Array(2 * n * (n + 1));
    this.#workspace = new Float64Array(n + 1);
    this.#forward = new Float64Array(n);
    this.#scale = new Float64Array(n);
    this.#step = new Float64Array(n);
    this.#held = new Uint8Array(n);
  }

  /** Takes a Jacobian (m × n, row-major) and its residuals. */
  load(jacobian: Float64Array, r: Float64Array): void {
    const n = this.#n;
    const tall = this.#tall;
    for (let i = 0; i < this.#m; i++) {
      for (let j = 0; j < n; j++) tall[i * (n + 1) + j] = jacobian[i * n + j];
      tall[i * (n + 1) + n] = r[i];
    }
    const rank = echelonInPlace(tall, this.#m, n + 1, n, this.#dependence, this.#held, this.#workspace);
    this.#rank = rank;
    this.attainableFall = 0;
    for (let i = 0; i < rank; i++) {
      let to = i * (rank + 1);
      for (let j = 0; j < n; j++) if (!this.#held[j]) this.#triangle[to++] = tall[i * (n + 1) + j];
      this.#triangle[to] = tall[i * (n + 1) + n];
      this.attainableFall += this.#triangle[to] ** 2;
    }
  }

  /** Writes the step for trust radius Δ and scale D to `out`; returns the fall of ‖r‖² that the linear model predicts. */
  solveInto(out: Float64Array, radius: number, scale: Float64Array): number {
    let active = 0;
    for (let j = 0; j < this.#n; j++) if (!this.#held[j]) this.#scale[active++] = scale[j];
    this.#solveForRadius(radius);
    active = 0;
    for (let j = 0; j < this.#n; j++) out[j] = this.#held[j] ? 0 : this.#step[active++];
    return this.#predictedFall();
  }

  #solveForRadius(radius: number): void {
    this.#solveDamped(0);
    const longest = this.#length();
    if (longest <= (1 + RADIUS_TOLERANCE) * radius) {
      this.damping = 0;
      return;
    }
    // Bounds of λ: Newton's step from the left below, the length of steepest descent above.
    let low = (longest - radius) / radius / this.#slopeTerm(longest);
    let high = this.#scaledGradientNorm() / radius;
    if (!(low > 0 && low < high)) low = 0;
    let damping = Math.min(Math.max(this.damping, low), high);
    if (damping === 0) damping = 1e-3 * high;
    for (let tries = 1; ; tries++) {
      this.#solveDamped(damping);
      const length = this.#length();
      const excess = length - radius;
      if (Math.abs(excess) <= RADIUS_TOLERANCE * radius || tries === MOST_TRIES) break;
      if (excess > 0) low = Math.max(low, damping);
      else high = Math.min(high, damping);
      const newton = damping + excess / radius / this.#slopeTerm(length);
      damping = newton > low && newton < high ? newton : Math.max(1e-3 * high, Math.sqrt(low * high));
    }
    this.damping = damping;
  }

  #solveDamped(damping: number): void {
    const n = this.#rank;
    const width = n + 1;
    const a = this.#stacked;
    a.fill(0, 0, 2 * n * width);
    a.set(this.#triangle.subarray(0, n * width));
    if (damping > 0) {
      const root = Math.sqrt(damping);
      for (let j = 0; j < n; j++) a[(n + j) * width + j] = root * this.#scale[j];
      triangulariseInPlace(a, 2 * n, width, this.#workspace);
    }
    for (let j = n - 1; j >= 0; j--) {
      let sum = -a[j * width + n];
      for (let k = j + 1; k < n; k++) sum -= a[j * width + k] * this.#step[k];
      this.#step[j] = sum / a[j * width + j];
    }
  }

  /** ‖D δ‖ of the last solution. */
  #length(): number {
    let sum = 0;
    for (let j = 0; j < this.#rank; j++) sum += (this.#step[j] * this.#scale[j]) ** 2;
    return Math.sqrt(sum);
  }

  /** ‖R⁻ᵀ D² δ‖² / ‖D δ‖² for the triangle R of the last solution: minus the slope of ‖D δ(λ)‖ over ‖D δ‖. */
  #slopeTerm(length: number): number {
    const width = this.#rank + 1;
    let sum = 0;
    for (let j = 0; j < this.#rank; j++) {
      let value = (this.#scale[j] * this.#scale[j] * this.#step[j]) / length;
      for (let k = 0; k < j; k++) value -= this.#stacked[k * width + j] * this.#forward[k];
      this.#forward[j] = value / this.#stacked[j * width + j];
      sum += this.#forward[j] ** 2;
    }
    return sum;
  }

  /** ‖D⁻¹ Jᵀ r‖. */
  #scaledGradientNorm(): number {
    const n = this.#rank;
    const width = n + 1;
    let sum = 0;
    for (let j = 0; j < n; j++) {
      let dot = 0;
      for (let i = 0; i <= j; i++) dot += this.#triangle[i * width + j] * this.#triangle[i * width + n];
      sum += (dot / this.#scale[j]) ** 2;
    }
    return Math.sqrt(sum);
  }

  /** ‖J δ‖² + 2 λ ‖D δ‖². */
  #predictedFall(): number {
    const n = this.#rank;
    let sum = 2 * this.damping * this.#length() ** 2;
    for (let i = 0; i < n; i++) {
      let change = 0;
      for (let j = i; j < n; j++) change += this.#triangle[i * (n + 1) + j] * this.#step[j];
      sum += change * change;
    }
    return sum;
  }
}
