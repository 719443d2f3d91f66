import type { CauseGroup } from '../uncertainty/causes/cause.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';
import { meanEffectsInto, meansInto } from './mean-intervals.ts';

/** What the doubt about means of a recording's outputs is made of. `count` means. */
export interface DoubtOfMeans {
  readonly count: number;
  /** By key of the cause: its kind, and what one standard deviation of it does to each mean. */
  readonly effects: ReadonlyMap<string, { readonly group: CauseGroup; readonly of: Float64Array }>;
  /** The means in the draws of the noise alone, `draw * count + mean`; NaN where a draw does not know a member. */
  readonly noise: Float64Array;
  readonly noiseDraws: number;
  /** The means in the joint draws, likewise; null in linear mode. */
  readonly drawn: Float64Array | null;
  readonly draws: number;
}

/**
 * An error that all members share keeps its size in their mean; noise is averaged draw by draw.
 *
 * @param members per mean, indices of its outputs; none: NaN throughout
 */
export function doubtOfMeans(uncertainty: LiftUncertainty, members: readonly (readonly number[])[]): DoubtOfMeans {
  const { outputs, causes, noise, noiseDraws, drawn, options } = uncertainty;
  const count = members.length;
  const byKey = new Map<string, { group: CauseGroup; of: Float64Array }>();
  causes.forEach(({ key, group }, k) => {
    const of = new Float64Array(count);
    meanEffectsInto(of, uncertainty, k, members);
    // Causes of one key are one unknown: what they do adds up.
    const known = byKey.get(key);
    if (known) for (let i = 0; i < count; i++) known.of[i] += of[i];
    else byKey.set(key, { group, of });
  });
  const rowsOf = (rows: Float64Array, draws: number) => {
    const means = new Float64Array(draws * count);
    for (let d = 0; d < draws; d++) meansInto(means, d * count, rows, d * outputs.count, 1, members, outputs.scales);
    return means;
  };
  return {
    count,
    effects: byKey,
    noise: rowsOf(noise, noiseDraws),
    noiseDraws,
    drawn: drawn && rowsOf(drawn, options.draws),
    draws: drawn ? options.draws : 0,
  };
}
