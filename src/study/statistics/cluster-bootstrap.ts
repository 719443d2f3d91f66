import {
  bootstrapResamples,
  bootstrapTooFewClusters,
  bootstrapUnknown,
  reliabilityReasons,
} from '../../messages/reliability.ts';
import { seededRandom } from '../../numerics/random.ts';
import { standardDeviation } from '../../numerics/statistics.ts';
import { LARGEST_UNKNOWN_SHARE } from '../../uncertainty/intervals.ts';
import { type BootstrapIntervals, intervalsFromResamples } from './cluster-bootstrap-intervals.ts';

export interface BootstrapOptions {
  readonly seed: number;
  /** 2000 where left out; at least LEAST_RESAMPLES. */
  readonly resamples?: number;
  /** 0.95 where left out. */
  readonly level?: number;
}

/** Fewer resamples do not reach the ends of a 95 % interval. */
export const LEAST_RESAMPLES = 200;
/** Fewer athletes draw the interval too narrow; common practice, no source. */
export const FEW_CLUSTERS = 8;

// Hoisted, and whole numbers from `uniform`: this is the hot loop, and 53 bits leave no bias worth the name.
const { floor } = Math;

export interface ClusterBootstrap extends BootstrapIntervals {
  readonly value: number;
  /** Athletes, and rows of all of them. */
  readonly clusters: number;
  readonly rows: number;
  readonly level: number;
  readonly resamples: number;
  /** Resamples of which the statistic is not known; they are left out. */
  readonly failed: number;
  readonly standardError: number;
  /** What makes the intervals doubtful or leaves them out; '' where nothing does. */
  readonly reason: string;
}

/**
 * Intervals of any statistic of clustered data: whole clusters (athletes, with all their rows) are drawn with replacement, as
 * many as there are (Davison & Hinkley 1997, Bootstrap Methods, sec. 3.8, first strategy), so what rows of one athlete have in
 * common counts once. An athlete drawn twice is two athletes to the statistic.
 *
 * clusters: the rows of each athlete. statistic: of a list of clusters; NaN = not known. Equal seeds give equal results. More
 * than 5 % of failed resamples leave no interval. See docs/method/reliability.md for how narrow few athletes make it.
 */
export function clusterBootstrap<Row>(
  clusters: readonly (readonly Row[])[],
  statistic: (clusters: readonly (readonly Row[])[]) => number,
  { seed, resamples = 2000, level = 0.95 }: BootstrapOptions,
): ClusterBootstrap {
  const n = clusters.length;
  if (n < 2) throw bootstrapTooFewClusters(n);
  if (!(Number.isInteger(resamples) && resamples >= LEAST_RESAMPLES))
    throw bootstrapResamples(resamples, LEAST_RESAMPLES);
  const value = statistic(clusters);
  if (!Number.isFinite(value)) throw bootstrapUnknown(value);
  const random = seededRandom(seed);
  const drawn: number[] = [];
  const sample = new Array<readonly Row[]>(n);
  for (let b = 0; b < resamples; b++) {
    for (let i = 0; i < n; i++) sample[i] = clusters[floor(n * random.uniform())];
    const found = statistic(sample);
    if (Number.isFinite(found)) drawn.push(found);
  }
  const failed = resamples - drawn.length;
  const enough = failed <= LARGEST_UNKNOWN_SHARE * resamples;
  const without = clusters.map((_, i) => statistic(clusters.filter((_, j) => j !== i)));
  const intervals = intervalsFromResamples(enough ? drawn : [], value, without, level);
  return {
    ...intervals,
    value,
    clusters: n,
    rows: clusters.reduce((sum, cluster) => sum + cluster.length, 0),
    level,
    resamples,
    failed,
    standardError: enough ? standardDeviation(drawn) : Number.NaN,
    reason: [
      ...(n < FEW_CLUSTERS ? [reliabilityReasons.fewClusters(n, FEW_CLUSTERS)] : []),
      ...(enough ? [intervals.reason] : [reliabilityReasons.resamplesFailed(failed, resamples)]),
    ]
      .filter((part) => part !== '')
      .join('; '),
  };
}
