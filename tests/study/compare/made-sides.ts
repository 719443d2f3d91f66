import { seededRandom } from '../../../src/numerics/random.ts';
import type { DifferenceSide } from '../../../src/study/compare/differences.ts';
import type { CauseGroup } from '../../../src/uncertainty/causes/cause.ts';

/** One side of made-up differences: everything that a test must be able to work out by hand. */
export interface MadeSide {
  readonly source: string;
  readonly values: readonly number[];
  /** Effect of one standard deviation, by key: one a number. */
  readonly effects?: Readonly<Record<string, readonly number[]>>;
  /** Noise draws, one row a draw; absent: none. */
  readonly noise?: readonly (readonly number[])[];
  readonly drawn?: readonly (readonly number[])[];
}

export function madeSide({ source, values, effects = {}, noise = [], drawn }: MadeSide): DifferenceSide {
  const group: CauseGroup = 'segments';
  return {
    source,
    values: Float64Array.from(values),
    lower: Float64Array.from(values),
    doubt: {
      count: values.length,
      effects: new Map(Object.entries(effects).map(([key, of]) => [key, { group, of: Float64Array.from(of) }])),
      noise: Float64Array.from(noise.flat()),
      noiseDraws: noise.length,
      drawn: drawn ? Float64Array.from(drawn.flat()) : null,
      draws: drawn?.length ?? 0,
    },
  };
}

/** `draws` rows of normal errors about `values`, sizes `sd`, independent from number to number. */
export function normalRows(seed: number, draws: number, values: readonly number[], sd: number): number[][] {
  const random = seededRandom(seed);
  return Array.from({ length: draws }, () => values.map((value) => value + sd * random.normal()));
}
