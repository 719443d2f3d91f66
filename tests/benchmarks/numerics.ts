/**
 * Speed of the hot numerics kernels, as ratios on the machine at hand. Run: npx tsx tests/benchmarks/numerics.ts
 */
import { Matrix, SVD } from 'ml-matrix';
import { zeroLagLowPass } from '../../src/numerics/butterworth.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { smallestEigenvector4Into } from '../../src/numerics/symmetric-eigen.ts';

/** Best seconds a call over `rounds` rounds of `calls` calls. */
function secondsPerCall(calls: number, call: (k: number) => void, rounds = 5): number {
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < rounds; round++) {
    const before = process.hrtime.bigint();
    for (let k = 0; k < calls; k++) call(k);
    best = Math.min(best, Number(process.hrtime.bigint() - before) / 1e9 / calls);
  }
  return best;
}

const random = seededRandom(1);
const systems = Array.from({ length: 1000 }, () =>
  Array.from({ length: 4 }, () => Array.from({ length: 4 }, random.normal)),
);
const normals = systems.map((rows) => {
  const normal = new Float64Array(16);
  for (let i = 0; i < 4; i++)
    for (let j = 0; j < 4; j++) normal[4 * i + j] = rows.reduce((sum, row) => sum + row[i] * row[j], 0);
  return normal;
});
const matrices = systems.map((rows) => new Matrix(rows));
const out = new Float64Array(4);
const ours = secondsPerCall(50_000, (k) => smallestEigenvector4Into(out, 0, normals[k % 1000]));
const theirs = secondsPerCall(10_000, (k) => void new SVD(matrices[k % 1000], { computeLeftSingularVectors: false }));

const samples = 1200;
const series = Float64Array.from({ length: samples }, random.normal);
const filter = secondsPerCall(500, () => void zeroLagLowPass(series, 60, 6)) / samples;
const copy = secondsPerCall(5000, () => void series.map((x) => 2 * x)) / samples;

console.log(
  `smallest 4 × 4 eigenvector: ${(1e6 * ours).toFixed(2)} µs, ${(theirs / ours).toFixed(1)} times as fast as a 4 × 4 SVD of ml-matrix`,
);
console.log(
  `zero-lag low-pass: ${(1e9 * filter).toFixed(1)} ns a sample, ${(1e-6 / filter).toFixed(1)} million samples/s, ` +
    `${(filter / copy).toFixed(1)} times the cost of a mapped copy`,
);
