import type { LiftRecord } from '../../src/lift/lift-record.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import type { Cause, GroupCauses } from '../../src/uncertainty/causes/cause.ts';
import { drawnIntervals, linearIntervals } from '../../src/uncertainty/intervals.ts';
import type { LiftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { outputsOf } from '../../src/uncertainty/outputs.ts';

/**
 * Invented doubt about a drawn record, for tests of tables, figures and report: no chain is run. Effects and noise are
 * stated shares of each value's size, so that what a mean, a share or a difference must be can be worked out by hand.
 */
export interface DoubtOptions {
  /** One standard deviation of the cause, share of each value. */
  readonly keypoints?: number;
  readonly segments?: number;
  /** Standard deviation of the noise, share of each value, independent from output to output. */
  readonly noise?: number;
  /** Names of measures that half of the noise draws do not know. */
  readonly unknownInDraws?: readonly string[];
  /** Joint draws; 0: first order. */
  readonly draws?: number;
}

const NOISE_DRAWS = 40;

export function makeUncertainty(record: LiftRecord, options: DoubtOptions = {}): LiftUncertainty {
  const { keypoints = 0.08, segments = 0.04, noise: noiseShare = 0.01, unknownInDraws = [], draws = 0 } = options;
  const outputs = outputsOf(record);
  const cause = (group: Cause['group'], key: string): Cause => ({
    group,
    key: `${record.athleteId}/${key}`,
    label: key,
  });
  const causes = [cause('keypoints', 'hip forward'), cause('segments', 'mass of the trunk')];
  const groups: GroupCauses[] = [
    { group: 'noise', causes: [], notIncluded: '' },
    { group: 'calibration', causes: [], notIncluded: 'the rig holds no covariance' },
    { group: 'vertical', causes: [], notIncluded: 'the rig does not say' },
    { group: 'clocks', causes: [], notIncluded: '' },
    { group: 'keypoints', causes: [causes[0]], notIncluded: '' },
    { group: 'segments', causes: [causes[1]], notIncluded: '' },
    { group: 'body mass', causes: [], notIncluded: '' },
    { group: 'load', causes: [], notIncluded: '' },
  ];
  const effects = new Float64Array(2 * outputs.count);
  outputs.values.forEach((value, i) => {
    effects.set([keypoints * value, segments * value], 2 * i);
  });
  const random = seededRandom(7);
  // A few thousand numbers used over and over: noise of every output and draw would take the tests seconds.
  const normals = Float64Array.from({ length: 4093 }, () => random.normal());
  const rowsOf = (count: number, causeShare: number) => {
    const rows = new Float64Array(count * outputs.count);
    for (let d = 0; d < count; d++) {
      const common = causeShare * random.normal();
      outputs.values.forEach((value, i) => {
        const measure = outputs.measures[i]?.measure ?? '';
        const unknown = unknownInDraws.includes(measure) && d % 2 === 1;
        rows[d * outputs.count + i] = unknown
          ? Number.NaN
          : value * (1 + common + noiseShare * normals[(7919 * d + 104729 * i) % 4093]);
      });
    }
    return rows;
  };
  const noise = rowsOf(NOISE_DRAWS, 0);
  const drawn = draws > 0 ? rowsOf(draws, Math.hypot(keypoints, segments)) : null;
  const linear = linearIntervals(outputs, causes, effects, noise, NOISE_DRAWS);
  const intervals = drawn ? drawnIntervals(outputs, drawn, draws, linear) : linear;
  const ends = (i: number) => ({ lower: intervals.lower[i], upper: intervals.upper[i] });
  return {
    record: {
      ...record,
      measures: record.measures.map((value, i) => ({ ...value, ...ends(i) })),
      curves: record.curves.map((point, i) => ({ ...point, ...ends(record.measures.length + i) })),
    },
    options: { mode: draws > 0 ? 'draws' : 'linear', draws, seed: 7 },
    groups,
    causes,
    outputs,
    intervals,
    effects,
    noise,
    noiseDraws: NOISE_DRAWS,
    drawn,
  };
}
