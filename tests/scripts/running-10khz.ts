/**
 * Simulated running with true joint moments, at its full 10 kHz, through the product's kernels.
 *
 *   npx tsx tests/scripts/running-10khz.ts FILE.csv
 *
 * FILE.csv: t_s, hip_x … toe_y (m), Fx, Fy, COPx, M_hip, M_knee, M_ankle (N·m); lines that begin with # are left out. Data of
 * A.J. van den Bogert (ISB data collection, 'invdyn'; CC BY 4.0 via the BMC lecture notes of M. Duarte and R. Watanabe); every
 * tenth sample of it is tests/references/mechanics-running-1khz.csv.gz. Prints the rms error of each moment with
 *   1. the product's own stencil, the compact second difference over three samples;
 *   2. a polynomial of degree 4 through nine samples, fitted on either side of the instant at which the foot stops slipping:
 *      there the slope of the floor's force breaks, and no derivative may be taken across it.
 */
import { readFileSync } from 'node:fs';
import { Matrix, pseudoInverse } from 'ml-matrix';
import { addBodyInto, addWrenchInto, momentAboutZ, type Wrench, zeroWrench } from '../../src/mechanics/wrench.ts';
import { secondDifference } from '../../src/numerics/differences.ts';
import { rms } from '../../src/numerics/statistics.ts';

const [file] = process.argv.slice(2);
if (!file) {
  console.error('Usage: npx tsx tests/scripts/running-10khz.ts FILE.csv');
  process.exit(2);
}

/** Segment parameters of the data's own example: mass, inertia about the centre, centre from the proximal joint. */
const SEGMENTS = [
  { name: 'foot', from: 'ankle', to: 'toe', massKg: 1, inertia: 0.02, centre: 0 },
  { name: 'shank', from: 'knee', to: 'ankle', massKg: 2.86, inertia: 0.042996389, centre: 0.4334975 },
  { name: 'thigh', from: 'hip', to: 'knee', massKg: 6.85, inertia: 0.145361267, centre: 0.4323725 },
] as const;
/** The data give the moment of the upper on the lower part, counter-clockwise; ours is of the lower on the upper about Z. */
const SIGN = -1;

const [header, ...lines] = readFileSync(file, 'utf8')
  .split('\n')
  .filter((line) => line !== '' && !line.startsWith('#'));
const names = header.split(',');
const rows = lines.map((line) => line.split(',').map(Number));
const column = (name: string) => Float64Array.from(rows, (row) => row[names.indexOf(name)]);
const count = rows.length;
const dt = rows[1][0] - rows[0][0];
const point = (name: string) => {
  const [x, y] = [column(`${name}_x`), column(`${name}_y`)];
  return Float64Array.from({ length: 3 * count }, (_, i) => [x, y][i % 3]?.[Math.floor(i / 3)] ?? 0);
};

type Derivative = (x: Float64Array) => Float64Array;

function momentsWith(second: Derivative): Record<string, Float64Array> {
  const [fx, fy, cop] = [column('Fx'), column('Fy'), column('COPx')];
  const reaching: Wrench = zeroWrench(count);
  for (let f = 0; f < count; f++) {
    reaching.force[3 * f] = fx[f];
    reaching.force[3 * f + 1] = fy[f];
    reaching.moment[3 * f + 2] = cop[f] * fy[f];
  }
  const moments: Record<string, Float64Array> = {};
  for (const { from, to, massKg, inertia, centre: share } of SEGMENTS) {
    const [a, b] = [point(from), point(to)];
    const centre = a.map((value, i) => value + share * (b[i] - value));
    const axis = new Float64Array(a.length);
    for (let i = 0; i < a.length; i += 3) {
      const length = Math.hypot(b[i] - a[i], b[i + 1] - a[i + 1]);
      axis[i] = (b[i] - a[i]) / length;
      axis[i + 1] = (b[i + 1] - a[i + 1]) / length;
    }
    const demand = zeroWrench(count);
    addBodyInto(demand, { massKg, transverseInertiaKgM2: inertia, centre, axis }, second(centre), second(axis));
    addWrenchInto(reaching, demand, -1);
    moments[from] = momentAboutZ(reaching, a, SIGN);
  }
  return moments;
}

/** Second derivative by a polynomial of degree 4 through nine samples, none of them across `cut`. */
function beside(cut: number): Derivative {
  const half = 4;
  const weights = new Map<number, Float64Array>();
  const weightsFor = (from: number) => {
    const known = weights.get(from);
    if (known) return known;
    const design = Matrix.zeros(2 * half + 1, 5);
    for (let k = 0; k <= 2 * half; k++) for (let p = 0; p < 5; p++) design.set(k, p, (from + k) ** p);
    const row = Float64Array.from(pseudoInverse(design).getRow(2), (value) => (2 * value) / dt ** 2);
    weights.set(from, row);
    return row;
  };
  return (x) => {
    const out = new Float64Array(x.length);
    for (let f = 0; f < count; f++) {
      const [lowest, highest] = f < cut ? [0, cut - 1] : [cut, count - 1];
      const first = Math.min(Math.max(f - half, lowest), highest - 2 * half);
      const w = weightsFor(first - f);
      for (let k = 0; k < 3; k++) {
        let sum = 0;
        for (let j = 0; j < w.length; j++) sum += w[j] * x[3 * (first + j) + k];
        out[3 * f + k] = sum;
      }
    }
    return out;
  };
}

// Where the slope of the horizontal force breaks most, from one sample to the next, while the foot is on the floor.
const fx = column('Fx');
let cut = 2;
const breakAt = (f: number) => Math.abs(fx[f + 1] - 2 * fx[f] + fx[f - 1]);
for (let f = 2; f < count - 1; f++) if (breakAt(f) > breakAt(cut)) cut = f;

console.log(
  `${count} samples at ${(1 / dt).toFixed(0)} Hz; the floor's force breaks its slope at ${(cut * dt).toFixed(4)} s`,
);
for (const [what, second] of [
  ['compact second difference, three samples', (x: Float64Array) => secondDifference(x, 3, dt)],
  ['degree 4 through nine samples, not across the break', beside(cut)],
] as const) {
  const moments = momentsWith(second);
  const errors = (joint: string) => {
    const truth = column(`M_${joint}`);
    return Array.from(moments[joint], (value, f) => value - truth[f]).filter(Number.isFinite);
  };
  const line = ['hip', 'knee', 'ankle'].map((joint) => rms(errors(joint)).toFixed(4)).join(' / ');
  const worst = Math.max(...errors('hip').map(Math.abs));
  console.log(`${what.padEnd(54)} rms ${line} N·m hip/knee/ankle; largest at the hip ${worst.toFixed(2)}`);
}
