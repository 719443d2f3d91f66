import { seededRandom } from '../../../../src/numerics/random.ts';
import type { ModelDescription } from '../../../../src/study/statistics/mixed-model/description.ts';

/** An invented, unbalanced study of trunk lean: heel height and stance, athletes with their own intercept and slope. */
export type MadeStudy = {
  athlete_id: string[];
  heel_height_mm: number[];
  stance: string[];
  trunk_lean_deg: number[];
};

export interface MadeTruth {
  readonly athletes: number;
  /** Least and most rows an athlete. */
  readonly rows: readonly [number, number];
  readonly effects: readonly [intercept: number, height: number, wide: number];
  readonly sdIntercept: number;
  readonly sdSlope: number;
  readonly correlation: number;
  readonly sdResidual: number;
}

export const TRUTH: MadeTruth = {
  athletes: 10,
  rows: [4, 9],
  effects: [42, 0.3, 3],
  sdIntercept: 4,
  sdSlope: 0.3,
  correlation: -0.3,
  sdResidual: 2,
};

export const MODEL: ModelDescription = {
  response: 'trunk_lean_deg',
  fixed: ['heel_height_mm', 'stance'],
  random: { group: 'athlete_id', slopes: ['heel_height_mm'] },
};

export function madeStudy(seed: number, truth: MadeTruth = TRUTH): MadeStudy {
  const random = seededRandom(seed);
  const study: MadeStudy = { athlete_id: [], heel_height_mm: [], stance: [], trunk_lean_deg: [] };
  const { athletes, rows, effects, sdIntercept, sdSlope, correlation, sdResidual } = truth;
  for (let a = 0; a < athletes; a++) {
    const [u, v] = [random.normal(), random.normal()];
    const intercept = effects[0] + sdIntercept * u;
    const slope = effects[1] + sdSlope * (correlation * u + Math.sqrt(1 - correlation ** 2) * v);
    const count = rows[0] + random.integer(rows[1] - rows[0] + 1);
    for (let i = 0; i < count; i++) {
      const height = 5 * random.integer(6);
      const wide = random.uniform() < 0.4;
      study.athlete_id.push(`A${a}`);
      study.heel_height_mm.push(height);
      study.stance.push(wide ? 'wide' : 'narrow');
      study.trunk_lean_deg.push(intercept + slope * height + (wide ? effects[2] : 0) + sdResidual * random.normal());
    }
  }
  return study;
}
