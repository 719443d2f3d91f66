import { type LiftUncertainty, type UncertaintyOptions, uncertaintySteps } from '../uncertainty/lift-uncertainty.ts';
import type { Analysis } from './analyse-recording.ts';
import { fullTurn } from './hold-interrupt.ts';
import type { Progress } from './progress.ts';

/** How often the work looks up: for Ctrl-C, and to say how far it is, seconds. */
const LOOK_UP_S = 0.2;

/** An analysis with the intervals of its numbers; null where they were switched off. */
export interface UncertainAnalysis extends Analysis {
  readonly uncertainty: LiftUncertainty | null;
}

/** Adds 95 % intervals; `options` null = none wanted. */
export async function withIntervals(
  analysis: Analysis,
  options: UncertaintyOptions | null,
  progress: Progress,
): Promise<UncertainAnalysis> {
  if (options === null) return { ...analysis, uncertainty: null };
  const steps = uncertaintySteps(analysis, options);
  const begun = performance.now();
  let lookedUp = begun;
  for (;;) {
    const step = steps.next();
    if (step.done) return { ...analysis, record: step.value.record, uncertainty: step.value };
    const now = performance.now();
    if (now - lookedUp < 1000 * LOOK_UP_S) continue;
    lookedUp = now;
    const { done, total } = step.value;
    progress.within(done, total, done > 0 ? ((now - begun) / done / 1000) * (total - done) : Number.NaN);
    await fullTurn();
  }
}
