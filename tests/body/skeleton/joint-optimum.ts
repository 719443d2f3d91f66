/**
 * The whole recording fitted at once, densely: what frame-by-frame projection is compared with. Not used by the analyser.
 *
 * Every coordinate has white noise and a prior of smoothness λ ∫ ẍ²: without constraints the posterior mean is S y, with
 * S = (1 + λ DᵀD)⁻¹ the smoothing spline (gain 1 / (1 + (f/f0)⁴), that of a second-order zero-lag Butterworth filter; Wahba
 * 1990). With constraints |x_to − x_from| = L in every frame the most probable motion is x = S y − S C Jᵀ μ with
 * (J S C Jᵀ) μ = c, iterated (Gauss–Newton) together with the lengths, which have no prior: Σ_t μ_t = 0 for each rod.
 */
export interface JointProblem {
  readonly frames: number;
  readonly points: number;
  /** S y, `3 * (frame * points + point)`. */
  readonly smoothed: Float64Array;
  /** Per point: S as frames × frames, row-major. */
  readonly smoother: readonly Float64Array[];
  /** Variance of the raw points per axis, m². */
  readonly variance: readonly [number, number, number];
  readonly rods: readonly (readonly [from: number, to: number])[];
}

/** (1 + λ DᵀD)⁻¹ with second differences D; λ from the frequency f0 where the gain is ½: λ = (2 sin(π f0 / rate))⁻⁴. */
export function splineSmoother(frames: number, halfGainHz: number, rateHz: number): Float64Array {
  const lambda = (2 * Math.sin((Math.PI * halfGainHz) / rateHz)) ** -4;
  const a = new Float64Array(frames * frames);
  for (let k = 0; k < frames; k++) a[k * (frames + 1)] = 1;
  for (let k = 1; k < frames - 1; k++) {
    const d = [1, -2, 1];
    for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) a[(k - 1 + i) * frames + k - 1 + j] += lambda * d[i] * d[j];
  }
  const identity = new Float64Array(frames * frames);
  for (let k = 0; k < frames; k++) identity[k * (frames + 1)] = 1;
  return solveDense(a, identity, frames, frames);
}

/** S applied to a series of points. */
export function smoothedBy(smoother: readonly Float64Array[], raw: Float64Array, frames: number): Float64Array {
  const points = smoother.length;
  const out = new Float64Array(raw.length);
  for (let k = 0; k < frames; k++) {
    for (let p = 0; p < points; p++) {
      for (let t = 0; t < frames; t++) {
        const s = smoother[p][k * frames + t];
        for (let axis = 0; axis < 3; axis++) out[3 * (k * points + p) + axis] += s * raw[3 * (t * points + p) + axis];
      }
    }
  }
  return out;
}

export function jointOptimum({ frames, points, smoothed, smoother, variance, rods }: JointProblem): Float64Array {
  const n = rods.length;
  const size = frames * n + n;
  let x = smoothed.slice();
  let lengths = rods.map(() => 0);
  for (let round = 0; round < 8; round++) {
    const unit = new Float64Array(3 * frames * n);
    const kkt = new Float64Array(size * size);
    const right = new Float64Array(size);
    for (let k = 0; k < frames; k++) {
      for (let r = 0; r < n; r++) {
        const at = 3 * (k * n + r);
        const [a, b] = rods[r].map((p) => 3 * (k * points + p));
        const length = Math.hypot(x[b] - x[a], x[b + 1] - x[a + 1], x[b + 2] - x[a + 2]);
        for (let axis = 0; axis < 3; axis++) unit[at + axis] = (x[b + axis] - x[a + axis]) / length;
        // c + J (S y − x), with the length an unknown of its own.
        right[k * n + r] = length;
        for (let axis = 0; axis < 3; axis++) {
          right[k * n + r] += unit[at + axis] * (smoothed[b + axis] - x[b + axis] - smoothed[a + axis] + x[a + axis]);
        }
        kkt[(k * n + r) * size + frames * n + r] = 1;
        kkt[(frames * n + r) * size + k * n + r] = 1;
      }
    }
    for (let k = 0; k < frames; k++) {
      for (let t = 0; t < frames; t++) {
        for (let r = 0; r < n; r++) {
          for (let q = 0; q < n; q++) {
            let joined = 0;
            for (const [end, p] of rods[r].entries()) {
              for (const [other, o] of rods[q].entries()) {
                if (p === o) joined += (end === other ? 1 : -1) * smoother[p][k * frames + t];
              }
            }
            if (joined === 0) continue;
            let dot = 0;
            for (let axis = 0; axis < 3; axis++) {
              dot += unit[3 * (k * n + r) + axis] * variance[axis] * unit[3 * (t * n + q) + axis];
            }
            kkt[(k * n + r) * size + t * n + q] = joined * dot;
          }
        }
      }
    }
    const found = solveDense(kkt, right, size, 1);
    lengths = rods.map((_, r) => found[frames * n + r]);
    x = smoothed.slice();
    for (let k = 0; k < frames; k++) {
      for (let t = 0; t < frames; t++) {
        for (let q = 0; q < n; q++) {
          const force = found[t * n + q];
          for (let axis = 0; axis < 3; axis++) {
            const pull = force * variance[axis] * unit[3 * (t * n + q) + axis];
            const [a, b] = rods[q];
            x[3 * (k * points + a) + axis] += smoother[a][k * frames + t] * pull;
            x[3 * (k * points + b) + axis] -= smoother[b][k * frames + t] * pull;
          }
        }
      }
    }
  }
  for (let k = 0; k < frames; k++) {
    rods.forEach(([a, b], r) => {
      const [i, j] = [3 * (k * points + a), 3 * (k * points + b)];
      const length = Math.hypot(x[j] - x[i], x[j + 1] - x[i + 1], x[j + 2] - x[i + 2]);
      if (Math.abs(length - lengths[r]) > 1e-6)
        throw new Error(`the joint optimum is not on its constraints: ${length} against ${lengths[r]}`);
    });
  }
  return x;
}

/** A⁻¹ B by Gaussian elimination with row pivoting; overwrites its arguments. */
function solveDense(a: Float64Array, b: Float64Array, n: number, columns: number): Float64Array {
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(a[i * n + k]) > Math.abs(a[best * n + k])) best = i;
    if (best !== k) {
      for (let j = k; j < n; j++) [a[k * n + j], a[best * n + j]] = [a[best * n + j], a[k * n + j]];
      for (let j = 0; j < columns; j++)
        [b[k * columns + j], b[best * columns + j]] = [b[best * columns + j], b[k * columns + j]];
    }
    const pivot = a[k * n + k];
    for (let i = k + 1; i < n; i++) {
      const factor = a[i * n + k] / pivot;
      if (factor === 0) continue;
      for (let j = k + 1; j < n; j++) a[i * n + j] -= factor * a[k * n + j];
      for (let j = 0; j < columns; j++) b[i * columns + j] -= factor * b[k * columns + j];
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    for (let j = 0; j < columns; j++) {
      let sum = b[k * columns + j];
      for (let i = k + 1; i < n; i++) sum -= a[k * n + i] * b[i * columns + j];
      b[k * columns + j] = sum / a[k * n + k];
    }
  }
  return b;
}
