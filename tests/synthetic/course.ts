import { hashSeed, seededRandom } from '../../src/numerics/random.ts';

/** Taken out of the global object once: where globals are intercepted, each look-up costs more than the arithmetic. */
const { PI, sin } = Math;

/** One repetition's plan; times in seconds on the recording's clock. */
export interface PlannedRepetition {
  readonly startS: number;
  readonly descentS: number;
  readonly pauseS: number;
  readonly ascentS: number;
  /** Depth reached, 1 = the style's deepest. */
  readonly depth: number;
  /** How far the second half of the drive comes after the first, share of the ascent: slows half-way from about 0.3 on, nearly stops at 0.5. */
  readonly sticking: number;
}

export interface Course {
  readonly repetitions: readonly PlannedRepetition[];
  readonly durationS: number;
  readonly swayPhases: readonly [number, number];
}

export interface CoursePlan {
  readonly repetitions: number;
  readonly descentS: number;
  readonly pauseS: number;
  readonly ascentS: number;
  /** Standing before the first, between, and after the last repetition. */
  readonly leadInS: number;
  readonly restS: number;
  readonly leadOutS: number;
  readonly sticking: number;
}

/** Repetitions that differ a little from each other (seeded): times ± 4 %, depth up to 5 % short, later ones slower. */
export function courseOf(plan: CoursePlan, seed: number): Course {
  const random = seededRandom(hashSeed('synthetic course', seed));
  const repetitions: PlannedRepetition[] = [];
  let clock = plan.leadInS;
  for (let i = 0; i < plan.repetitions; i++) {
    const repetition = {
      startS: clock,
      descentS: plan.descentS * (1 + 0.04 * random.normal()),
      pauseS: plan.pauseS * (1 + 0.1 * (random.uniform() - 0.5)),
      ascentS: plan.ascentS * (1 + 0.05 * i + 0.04 * random.normal()),
      depth: 1 - 0.05 * random.uniform(),
      sticking: plan.sticking,
    };
    repetitions.push(repetition);
    clock += repetition.descentS + repetition.pauseS + repetition.ascentS + plan.restS;
  }
  const durationS = clock - plan.restS + plan.leadOutS;
  return { repetitions, durationS, swayPhases: [6.28 * random.uniform(), 6.28 * random.uniform()] };
}

/**
 * Smooth step of degree 7: 0 for u ≤ 0, 1 for u ≥ 1, three continuous derivatives. Steps are sums of these, so every position
 * is an exact, three times differentiable function of time.
 */
export function smoothStep(u: number): number {
  if (u <= 0) return 0;
  if (u >= 1) return 1;
  return u ** 4 * (35 + u * (-84 + u * (70 - 20 * u)));
}

/**
 * Depth at time t: 0 standing, 1 the style's deepest. `leadS` starts the descent sooner without changing where it ends.
 * The drive is two overlapping steps, the second later: their speeds add up to two peaks with a slow stretch between.
 */
export function depthAt(course: Course, t: number, leadS = 0): number {
  let depth = 0;
  for (const rep of course.repetitions) {
    const down = smoothStep((t - (rep.startS - leadS)) / (rep.descentS + leadS));
    const u = (t - rep.startS - rep.descentS - rep.pauseS) / rep.ascentS;
    const half = 1 - rep.sticking;
    const up = 0.5 * smoothStep(u / half) + 0.5 * smoothStep((u - rep.sticking) / half);
    depth += rep.depth * (down - up);
  }
  return depth;
}

/** Fore–aft sway of the point the lifter balances over, in shares of foot length (about 4 mm): two slow waves. */
export function swayAt(course: Course, t: number): number {
  return 0.01 * sin(2 * PI * 0.29 * t + course.swayPhases[0]) + 0.005 * sin(2 * PI * 0.61 * t + course.swayPhases[1]);
}
