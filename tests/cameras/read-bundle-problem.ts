import type { BundleProblem, BundleTarget } from '../../src/cameras/bundle-problem.ts';
import type { FreeLensParameter } from '../../src/cameras/fit-camera.ts';

const LENS: readonly FreeLensParameter[] = ['fx', 'fy', 'cx', 'cy', 'k1', 'k2', 'p1', 'p2', 'k3'];

/** Reads what tests/generators/bundle-problem-file.ts writes. Cameras are named a, b, c …; pictures 1920 × 1080. */
export function readBundleProblem(text: string): BundleProblem {
  const words = text.split(/\s+/).filter((word) => word !== '');
  let at = 0;
  const word = () => words[at++];
  const number = () => Number(word());
  const numbers = (count: number) => Float64Array.from({ length: count }, number);
  const list = <T>(make: (i: number) => T): T[] => {
    word();
    return Array.from({ length: number() }, (_, i) => make(i));
  };
  word();
  const kind = word() as BundleProblem['loss']['kind'];
  const scale = number();
  const cameras = list((i) => {
    const poseFree = number() === 1;
    const [rotation, translation] = [numbers(9), numbers(3)];
    const [fx, fy, cx, cy, ...distortion] = numbers(9);
    const free = numbers(9);
    const lensFree = LENS.filter((_, k) => free[k] === 1);
    const n = lensFree.length;
    const camera = {
      name: 'abcdefgh'[i],
      imageWidth: 1920,
      imageHeight: 1080,
      ...{ fx, fy, cx, cy, skew: 0 },
      distortion: distortion as [number, number, number, number, number],
      rotation,
      translation,
    };
    const prior = number() === 1 ? { lensPrior: { mean: numbers(n), covariance: numbers(n * n) } } : {};
    return { camera, poseFree, lensFree, ...prior };
  });
  const targets = list((i): BundleTarget => {
    const what = word();
    const label = `${what} ${i}`;
    if (what === 'rigid') {
      const points = numbers(3 * number());
      return { kind: what, label, points, start: { rotation: numbers(9), translation: numbers(3) } };
    }
    if (what === 'known') return { kind: what, label, points: numbers(3 * number()) };
    if (what === 'point') return { kind: what, label, start: numbers(3) };
    return { kind: 'rod', label, start: numbers(6), lengthM: number(), lengthSdM: number() };
  });
  const rows = list(() => numbers(7));
  return {
    cameras,
    targets,
    observations: {
      camera: Int32Array.from(rows, (row) => row[0]),
      target: Int32Array.from(rows, (row) => row[1]),
      point: Int32Array.from(rows, (row) => row[2]),
      pixel: Float64Array.from(rows.flatMap((row) => [row[3], row[4]])),
      sdPx: Float64Array.from(rows.flatMap((row) => [row[5], row[6]])),
      velocity: null,
      timeS: null,
    },
    loss: kind === 'none' ? { kind } : { kind, scale },
  };
}
