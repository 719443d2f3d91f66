/**
 * Writes tests/references/cameras-bundle.json: a small bundle problem, and what two independent programs make of it.
 *
 *   npx tsx tests/generators/bundle-reference.ts PATH_OF_COMPILED_bundle_ceres
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { BundleProblem } from '../../src/cameras/bundle-problem.ts';
import { pointScene } from '../cameras/bundle-scenes.ts';
import { bundleProblemFile } from './bundle-problem-file.ts';

interface Found {
  readonly program: string;
  readonly cost: number;
  readonly cameras: readonly (readonly number[])[];
}

const here = (file: string) => fileURLToPath(new URL(file, import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'bundle-'));
const { problem } = pointScene({
  cameraCount: 3,
  points: 12,
  rods: 5,
  seed: 11,
  noisePx: 1,
  outliers: 0.06,
  loss: { kind: 'none' },
  lensFree: ['fx', 'fy', 'cx', 'cy', 'k1'],
  focalSdPx: 10,
});
// Six decimals of a pixel and of a metre are enough, and keep the file short.
const rounded: BundleProblem = {
  ...problem,
  targets: problem.targets.map((target) =>
    'start' in target && target.start instanceof Float64Array
      ? ({ ...target, start: target.start.map((x) => Number(x.toFixed(6))) } as typeof target)
      : target,
  ),
  observations: { ...problem.observations, pixel: problem.observations.pixel.map((x) => Number(x.toFixed(4))) },
};

try {
  const cases = (['none', 'huber', 'cauchy'] as const).map((kind) => {
    const loss: BundleProblem['loss'] = kind === 'none' ? { kind } : { kind, scale: 2 };
    const file = join(folder, 'problem.txt');
    writeFileSync(file, bundleProblemFile({ ...rounded, loss }));
    const run = (command: string, args: string[]) =>
      JSON.parse(execFileSync(command, args, { encoding: 'utf8' })) as Found;
    const ceres = run(process.argv[2], [file, 'autodiff', 'dense', '1', '1e-15']);
    const scipy = run('/usr/bin/python3', [here('bundle_scipy.py'), file]);
    const kept = ({ program, cost, cameras }: Found) => ({ program, cost, cameras });
    return { loss: kind, scale: loss.kind === 'none' ? 1 : loss.scale, ceres: kept(ceres), scipy: kept(scipy) };
  });
  const reference = {
    source: `final costs and cameras of ${cases[0].ceres.program} (Debian libceres-dev; automatic derivatives, DENSE_SCHUR) and ${cases[0].scipy.program} least_squares (trf)`,
    provenance: 'recomputed by tests/generators/bundle-reference.ts, which runs bundle_ceres.cc and bundle_scipy.py',
    tolerance: 1e-6,
    toleranceReason:
      'relative cost, as is asked of a bundle adjustment; the three agree to about 1e-12 where SciPy, which stops at a relative fall of 1e-12, has finished',
    cameraColumns: 'rotation vector (rad), translation (m), fx fy cx cy (px) k1 k2 p1 p2 k3',
    problem: bundleProblemFile(rounded).trim().split('\n'),
    cases,
  };
  writeFileSync(here('../references/cameras-bundle.json'), `${JSON.stringify(reference, null, 1)}\n`);
  for (const { loss, ceres, scipy } of cases) console.log(loss, ceres.cost, scipy.cost);
} finally {
  rmSync(folder, { recursive: true });
}
