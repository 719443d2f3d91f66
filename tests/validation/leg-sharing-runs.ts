import type { LiftRecord } from '../../src/lift/lift-record.ts';
import { hashSeed, seededRandom } from '../../src/numerics/random.ts';
import { mean, standardDeviation } from '../../src/numerics/statistics.ts';
import type { CauseGroup } from '../../src/uncertainty/causes/cause.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { drawnWorld } from '../synthetic/drawn-world.ts';
import { drawnPressing, type TrueLegs, trueLegsAt } from '../synthetic/shared-truth.ts';
import { drawnStyle } from '../synthetic/styles.ts';
import { trueInstants } from '../synthetic/truth.ts';
import { analysedWorld, causesOf } from './coverage-runs.ts';

/** The measures that are judged, and the truth of each. */
const JUDGED: readonly { readonly measure: string; readonly of: keyof TrueLegs }[] = [
  { measure: 'vertical_share_left', of: 'shareLeft' },
  { measure: 'hip_moment_shared_left_minus_right', of: 'hipDifference' },
  { measure: 'knee_moment_shared_left_minus_right', of: 'kneeDifference' },
];
const PLACES = ['parallel descent', 'bottom'] as const;

/** Two-sided 95 % of the normal distribution, in standard deviations. */
const NORMAL_95 = 1.959963984540054;

export interface SharedCoverage {
  readonly name: string;
  readonly runs: number;
  readonly unknown: number;
  /** Share of the intervals that hold the truth. */
  readonly covered: number;
  readonly meanZ: number;
  readonly sdZ: number;
  readonly meanHalfWidth: number;
}

/**
 * Lifters alike on both sides who press unlike: what the analyser assumes is drawn off, by the sizes that it states. Each world is
 * filmed, analysed and its intervals held against the truth. `pressings` a world: the same film with other truths under the feet,
 * which no camera sees.
 */
export function sharedCoverage(
  setting: {
    readonly worlds: number;
    readonly pressings: number;
    readonly groups: readonly CauseGroup[];
    readonly noiseDraws: number;
    readonly exact?: boolean;
  },
  progress: (done: number, total: number) => void,
): SharedCoverage[] {
  const tallies = new Map<string, { z: number[]; half: number[]; unknown: number }>();
  const causes = new Set(causesOf(setting.groups));
  for (let number = 0; number < setting.worlds; number++) {
    progress(number, setting.worlds);
    const world = drawnWorld(drawnStyle(number), 1, causes);
    const run = analysedWorld(world, setting.exact ? { smoothing: { kind: 'none' } } : undefined);
    const { record } = liftUncertainty(run, {
      mode: 'linear',
      draws: 0,
      seed: number + 1,
      groups: setting.groups,
      noiseDraws: setting.noiseDraws,
      curves: false,
    });
    const instants = trueInstants(world.lift, 0);
    for (let k = 0; k < setting.pressings; k++) {
      const pressing = drawnPressing(seededRandom(hashSeed('pressing', number, k)));
      for (const at of PLACES) {
        const { timeS } = at === 'bottom' ? instants.bottom : instants.parallelDescent;
        if (Number.isNaN(timeS)) continue;
        const truth = trueLegsAt(world.lift, timeS, pressing);
        for (const { measure, of } of JUDGED) judge(record, measure, at, truth[of]);
      }
    }
  }
  return [...tallies].map(([name, { z, half, unknown }]) => ({
    name,
    runs: z.length,
    unknown,
    covered: z.filter((one) => Math.abs(one) <= NORMAL_95).length / z.length,
    meanZ: mean(z),
    sdZ: standardDeviation(z),
    meanHalfWidth: mean(half),
  }));

  function judge(record: LiftRecord, measure: string, at: string, truth: number): void {
    const name = `${measure}, ${at}`;
    const tally = tallies.get(name) ?? { z: [], half: [], unknown: 0 };
    tallies.set(name, tally);
    const found = record.measures.find((one) => one.measure === measure && one.at === at && one.repetition === 1);
    const half = found ? (found.upper - found.lower) / 2 : Number.NaN;
    if (!found || Number.isNaN(half)) tally.unknown++;
    else {
      tally.z.push((NORMAL_95 * ((found.upper + found.lower) / 2 - truth)) / half);
      tally.half.push(half);
    }
  }
}
