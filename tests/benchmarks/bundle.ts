/**
 * The joint refinement against two independent solvers on the same problems in the same run: Ceres (bundle_ceres.cc, one
 * thread, its Schur complement) and SciPy's least_squares (bundle_scipy.py). Prints final costs, their relative difference
 * (to be ≤ 1e-6) and the ratio of times (goal ≤ 1.5 × Ceres). Reading of files is left out on all sides; ours includes laying
 * out the problem, Ceres's times only its Solve. Processor time, median of the rounds (ours after six rounds of warming up).
 *
 *   npx tsx tests/benchmarks/bundle.ts [path of the compiled bundle_ceres, or -] [--scipy]
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { solveBundle } from '../../src/cameras/bundle.ts';
import type { BundleProblem, BundleTarget } from '../../src/cameras/bundle-problem.ts';
import { median } from '../../src/numerics/statistics.ts';
import { boardScene, pointScene } from '../cameras/bundle-scenes.ts';
import { bundleProblemFile } from '../generators/bundle-problem-file.ts';

const ROUNDS = 9;
const WARMING = 6;
/** Relative fall of the cost at which each solver stops. */
const TOLERANCE = 1e-12;
const LENS = ['fx', 'fy', 'cx', 'cy', 'k1', 'k2', 'p1', 'p2'] as const;

const points = (loss: BundleProblem['loss']) =>
  pointScene({
    cameraCount: 3,
    points: 2000,
    rods: 20,
    seed: 2,
    noisePx: 1,
    outliers: 0.01,
    loss,
    lensFree: ['fx', 'fy', 'cx', 'cy', 'k1'],
    focalSdPx: 10,
  }).problem;

/** The problem with the minimum of another loss as its start: Cauchy's loss has many minima, of which this is the usual one. */
function fromMinimum(problem: BundleProblem, loss: BundleProblem['loss']): BundleProblem {
  const found = solveBundle(problem);
  return {
    ...problem,
    loss,
    cameras: problem.cameras.map((one, c) => ({ ...one, camera: found.cameras[c] })),
    targets: problem.targets.map((target, t) => ({ ...target, start: found.targets[t] }) as BundleTarget),
  };
}

const scenes: readonly (readonly [string, () => BundleProblem])[] = [
  ['2 cameras × 13 boards × 54 corners, lenses free', () => boardScene(13, 0.2, 1, LENS).problem],
  [
    '3 cameras × 2,000 points and 20 rods, Huber loss, 1 % outliers, lens priors',
    () => points({ kind: 'huber', scale: 2 }),
  ],
  [
    'the same, Cauchy loss, from Huber’s minimum',
    () => fromMinimum(points({ kind: 'huber', scale: 2 }), { kind: 'cauchy', scale: 2 }),
  ],
  [
    '2 cameras × 3,000 rods, lenses free',
    () =>
      pointScene({
        cameraCount: 2,
        points: 0,
        rods: 3000,
        seed: 3,
        noisePx: 1,
        outliers: 0,
        loss: { kind: 'none' },
        lensFree: ['fx', 'fy', 'cx', 'cy', 'k1', 'k2'],
        focalSdPx: 0,
      }).problem,
  ],
];

interface Other {
  readonly program: string;
  readonly cost: number;
  readonly iterations: number;
  readonly seconds: number;
  readonly stopped?: string;
}

const ceres = process.argv[2] ?? '-';
const scipy = process.argv.includes('--scipy') && existsSync('/usr/bin/python3');
const folder = mkdtempSync(join(tmpdir(), 'bundle-'));

try {
  for (const [name, make] of scenes) {
    const problem = make();
    console.log(name);
    console.log(`  ${problem.observations.camera.length} observations`);
    const times: number[] = [];
    let found = solveBundle(problem, { costTolerance: TOLERANCE });
    for (let round = 0; round < WARMING + ROUNDS; round++) {
      const before = process.cpuUsage();
      found = solveBundle(problem, { costTolerance: TOLERANCE });
      const { user, system } = process.cpuUsage(before);
      if (round >= WARMING) times.push((user + system) / 1000);
    }
    const ours = median(times);
    const say = (who: string, cost: number, iterations: number, ms: number, rest: string) =>
      console.log(
        `  ${who.padEnd(38)} cost ${cost.toPrecision(10).padStart(13)} ${String(iterations).padStart(4)} steps ${ms.toFixed(1).padStart(9)} ms  ${rest}`,
      );
    say('here', found.cost, found.iterations, ours, `stopped: ${found.stopped}, rms ${found.rmsPx.toFixed(3)} px`);

    const file = join(folder, 'problem.txt');
    writeFileSync(file, bundleProblemFile(problem));
    const against = (who: string, command: string, args: string[]) => {
      const other = JSON.parse(execFileSync(command, args, { encoding: 'utf8' })) as Other;
      const difference = Math.abs(other.cost - found.cost) / Math.min(other.cost, found.cost);
      const ratio = ours / (1000 * other.seconds);
      const verdict = difference <= 1e-6 ? '' : ' TOO FAR';
      const rest = `difference ${difference.toExponential(1)}${verdict}, time here / there ${ratio.toFixed(2)}`;
      say(`${other.program}, ${who}`, other.cost, other.iterations, 1000 * other.seconds, rest);
    };
    if (ceres !== '-') {
      for (const derivatives of ['autodiff', 'analytic']) {
        for (const solver of ['dense', 'sparse']) {
          const args = [file, derivatives, solver, String(ROUNDS), String(TOLERANCE)];
          against(`${derivatives}, ${solver} Schur`, ceres, args);
        }
      }
    }
    const script = fileURLToPath(new URL('../generators/bundle_scipy.py', import.meta.url));
    if (scipy) against('sparse Jacobian', '/usr/bin/python3', [script, file]);
  }
  if (ceres === '-')
    console.log('no path of bundle_ceres given: compile tests/generators/bundle_ceres.cc (its head says how)');
  if (!scipy) console.log('SciPy left out: --scipy runs it (minutes)');
} finally {
  rmSync(folder, { recursive: true });
}
