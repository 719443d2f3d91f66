import { type Random, seededRandom } from '../../src/numerics/random.ts';
import type { AthleteCurves, CurvePlace } from '../../src/study/statistics/curves/athlete-curves.ts';
import { covariateCurves } from '../../src/study/statistics/curves/covariate-curves.ts';
import type { CurveTest } from '../../src/study/statistics/curves/curve-test-result.ts';
import { groupCurves } from '../../src/study/statistics/curves/group-curves.ts';
import { pairedCurves } from '../../src/study/statistics/curves/paired-curves.ts';
import { type AthleteEffects, withSharedDoubt } from '../../src/study/statistics/curves/shared-doubt.ts';

/** How invented lifters and repetitions scatter: all of mean 0 and about equal size. */
export type Scatter = 'normal' | 'heavy-tailed' | 'skewed';

export interface StudySetting {
  readonly design: 'paired' | 'groups' | 'covariate';
  /** Athletes; of two groups those of A. */
  readonly n: number;
  readonly nB?: number;
  readonly scatter: Scatter;
  /** Each athlete's deepest depth is drawn: the deepest third of the curve is known in some only. */
  readonly shallow?: boolean;
  /** True B − A (or slope) over the places, in units of the spread between athletes. */
  readonly effect?: (share: number) => number;
  /** Groups: spread of B over that of A. */
  readonly spreadOfB?: number;
  /** Paired: differences themselves are skewed, so A and B are not exchangeable. */
  readonly skewedDifference?: boolean;
  /** Another covariate that moves the curve and goes with the tested one. */
  readonly other?: boolean;
  /** Standard deviation of an error that all athletes share, in units of the spread between athletes. */
  readonly shared?: number;
  readonly draws?: number;
  /** Whether the band is wanted too. */
  readonly band?: boolean;
}

const DEPTHS = 25;
const PLACES: readonly CurvePlace[] = (['descent', 'ascent'] as const).flatMap((phase) =>
  Array.from({ length: DEPTHS }, (_, k) => ({ phase, depth: 75 - 5 * k })),
);
const BUMPS = 8;
/** Bumps over the places, `bump * places + place`: smooth curves whose way down and up go partly together. */
const BASIS = Float64Array.from({ length: BUMPS * PLACES.length }, (_, at) => {
  const [k, p] = [Math.floor(at / PLACES.length), at % PLACES.length];
  const share = (p % DEPTHS) / (DEPTHS - 1);
  const own = k < BUMPS / 2 ? 1 : p < DEPTHS ? 0.5 : -0.5;
  return own * Math.exp(-0.5 * ((share - (k % (BUMPS / 2)) / (BUMPS / 2 - 1)) / 0.18) ** 2);
});

function drawOf(scatter: Scatter, random: Random): number {
  if (scatter === 'normal') return random.normal();
  if (scatter === 'heavy-tailed') return random.studentT(3) / Math.sqrt(3);
  return -Math.log(1 - random.uniform()) - 1;
}

/** Adds a smooth random curve of size `sd` to `out`. */
function addSmooth(out: Float64Array, from: number, sd: number, scatter: Scatter, random: Random): void {
  for (let k = 0; k < BUMPS; k++) {
    const g = sd * drawOf(scatter, random);
    for (let p = 0; p < PLACES.length; p++) out[from + p] += g * BASIS[k * PLACES.length + p];
  }
}

/** Spread between athletes of one condition, of an athlete's difference, of a repetition. Repetitions: 2 to 5, drawn for each mean. */
const BETWEEN = 1;
const OWN = 0.5;
const REPETITION = 0.5;

function addOwn(out: Float64Array, from: number, size: number, scatter: Scatter, random: Random): void {
  addSmooth(out, from, OWN * size, scatter, random);
  const repetitions = 2 + random.integer(4);
  for (let r = 0; r < repetitions; r++) addSmooth(out, from, (REPETITION * size) / repetitions, scatter, random);
}

function emptyCurves(prefix: string, n: number): AthleteCurves & { readonly values: Float64Array } {
  return {
    quantity: 'hip_share',
    side: 'both',
    grid: 'thigh_elevation_deg',
    scale: 'as is',
    athletes: Array.from({ length: n }, (_, i) => `${prefix}${String(i).padStart(3, '0')}`),
    places: PLACES,
    values: new Float64Array(n * PLACES.length),
    recordings: new Array(n).fill(1),
    repetitions: new Array(n).fill(3),
  };
}

/** The places an athlete does not reach become unknown. At least six athletes, the first ones, reach everything. */
function cutShallow(curves: AthleteCurves, random: Random): void {
  curves.athletes.forEach((_, i) => {
    const reached = i < 6 ? 1 : 1 - 0.4 * random.uniform();
    for (let p = 0; p < PLACES.length; p++)
      if ((p % DEPTHS) / (DEPTHS - 1) > reached) curves.values[i * PLACES.length + p] = Number.NaN;
  });
}

const effectAt = ({ effect }: StudySetting, p: number): number => effect?.((p % DEPTHS) / (DEPTHS - 1)) ?? 0;

/** One invented study, tested. */
export function studyOf(setting: StudySetting, random: Random): CurveTest {
  const { design, n, scatter, draws = 999, band = false } = setting;
  const options = { draws, band, exactUpTo: 4096, seed: random.integer(4294967296) };
  const count = PLACES.length;
  const shared = (setting.shared ?? 0) * random.normal();
  const shift = (curves: AthleteCurves, i: number, by: number) => {
    for (let p = 0; p < count; p++) curves.values[i * count + p] += by * effectAt(setting, p);
  };
  if (design === 'paired') {
    const [a, b] = [emptyCurves('', n), emptyCurves('', n)];
    for (let i = 0; i < n; i++) {
      addSmooth(a.values, i * count, BETWEEN, scatter, random);
      b.values.set(a.values.subarray(i * count, (i + 1) * count), i * count);
      if (setting.skewedDifference) addSmooth(b.values, i * count, 2 * OWN, 'skewed', random);
      else {
        addOwn(a.values, i * count, 1, scatter, random);
        addOwn(b.values, i * count, 1, scatter, random);
      }
      shift(b, i, 1);
      for (let p = 0; p < count; p++) b.values[i * count + p] += shared;
    }
    if (setting.shallow) cutShallow(b, random);
    return pairedCurves(a, b, options);
  }
  if (design === 'groups') {
    const [a, b] = [emptyCurves('a', n), emptyCurves('b', setting.nB ?? n)];
    for (const [curves, size] of [
      [a, 1],
      [b, setting.spreadOfB ?? 1],
    ] as const) {
      curves.athletes.forEach((_, i) => {
        addSmooth(curves.values, i * count, size * BETWEEN, scatter, random);
        addOwn(curves.values, i * count, size, scatter, random);
        if (curves === b) shift(b, i, 1);
      });
      if (setting.shallow) cutShallow(curves, random);
    }
    return groupCurves(a, b, options);
  }
  const curves = emptyCurves('', n);
  const [covariate, other] = [new Map<string, number>(), new Map<string, number>()];
  curves.athletes.forEach((athlete, i) => {
    const z = random.normal();
    const x = setting.other ? 0.6 * z + 0.8 * random.normal() : drawOf('skewed', random);
    covariate.set(athlete, 1.75 + 0.1 * x);
    other.set(athlete, 80 + 10 * z);
    addSmooth(curves.values, i * count, BETWEEN, scatter, random);
    addOwn(curves.values, i * count, 1, scatter, random);
    if (setting.other) for (let p = 0; p < count; p++) curves.values[i * count + p] += z;
    shift(curves, i, x);
  });
  if (setting.shallow) cutShallow(curves, random);
  const others = setting.other ? [{ name: 'mass', of: other }] : [];
  return covariateCurves(curves, { name: 'stature', of: covariate }, others, options);
}

export interface StudiesFound {
  readonly studies: number;
  /** Share of studies in which some depth is called different. */
  readonly positive: number;
  /** The same with a decision drawn at random on the step across alpha: the level is then alpha itself. */
  readonly positiveDrawn: number;
  /** Share in which a depth without any true effect is called different. */
  readonly wrongly: number;
  /** Share of bands that hold the true curve at every tested depth; of the intervals of each depth; of bands with shared errors in. */
  readonly bandHolds: number;
  readonly eachDepthHolds: number;
  readonly widenedHolds: number;
  readonly attainable: number;
}

/** Many invented studies of one setting. */
export function manyStudies(
  setting: StudySetting,
  studies: number,
  seed: number,
  progress: () => void = () => {},
): StudiesFound {
  const random = seededRandom(seed);
  let [positive, drawn, wrongly, band, each, wide, attainable] = [0, 0, 0, 0, 0, 0, 0];
  for (let s = 0; s < studies; s++) {
    const test = studyOf(setting, random);
    attainable = test.attainableLevel;
    if (test.p <= test.alpha) positive++;
    const count =
      test.arrangements.exact && setting.design === 'paired' ? 2 ** (setting.n - 1) : test.arrangements.used;
    if (test.p - (1 - random.uniform()) / count < test.alpha) drawn++;
    // Slope of the covariate: the effect is per unit of x, of which 0.1 is one.
    const unit = setting.design === 'covariate' ? 10 : 1;
    const truth = test.points.map((_, p) => unit * effectAt(setting, p));
    if (test.points.some(({ verdict }, p) => truth[p] === 0 && verdict === 'different')) wrongly++;
    const tested = test.points
      .map((point, p) => ({ ...point, truth: truth[p] }))
      .filter((p) => p.verdict !== 'not tested');
    if (tested.every((p) => p.bandLower <= p.truth && p.truth <= p.bandUpper)) band++;
    if (tested.every((p) => p.lower <= p.truth && p.truth <= p.upper)) each++;
    if (setting.shared !== undefined) {
      const points = withSharedDoubt(test, sharedEffects(test, setting.shared)).points;
      if (points.every((p, i) => p.widenedBandLower <= truth[i] && truth[i] <= p.widenedBandUpper)) wide++;
    }
    progress();
  }
  const share = (count: number) => count / studies;
  return {
    studies,
    positive: share(positive),
    positiveDrawn: share(drawn),
    wrongly: share(wrongly),
    bandHolds: share(band),
    eachDepthHolds: share(each),
    widenedHolds: setting.shared === undefined ? Number.NaN : share(wide),
    attainable,
  };
}

const sharedEffects = (test: CurveTest, size: number): AthleteEffects[] =>
  test.athletes.map((athlete) => ({
    athlete,
    effects: new Map([['vertical of the rig', new Float64Array(test.points.length).fill(size)]]),
  }));
