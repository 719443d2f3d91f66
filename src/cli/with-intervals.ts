import { findInLift, type LiftFindings } from '../lift/findings/find.ts';
import { type SetChange, setChangesOf } from '../study/set-changes.ts';
import { setMeansOf } from '../study/set-means.ts';
import { type LiftUncertainty, type UncertaintyOptions, uncertaintySteps } from '../uncertainty/lift-uncertainty.ts';
import type { Analysis } from './analyse-recording.ts';
import { fullTurn } from './hold-interrupt.ts';
import type { Progress } from './progress.ts';

/** How often the work looks up: for Ctrl-C, and to say how far it is, seconds. */
const LOOK_UP_S = 0.2;

/** An analysis with the intervals of its numbers (null where they were switched off) and the findings that rest on them. */
export interface UncertainAnalysis extends Analysis, LiftFindings {
  readonly uncertainty: LiftUncertainty | null;
  /** Measures over the full repetitions; empty without intervals. */
  readonly setChanges: readonly SetChange[];
}

/** Adds 95 % intervals and findings; `options` null = no intervals wanted. */
export async function withIntervals(
  analysis: Analysis,
  options: UncertaintyOptions | null,
  progress: Progress,
): Promise<UncertainAnalysis> {
  if (options === null) return withFindings(analysis, null);
  const steps = uncertaintySteps(analysis, options);
  const begun = performance.now();
  let lookedUp = begun;
  for (;;) {
    const step = steps.next();
    if (step.done) return withFindings({ ...analysis, record: step.value.record }, step.value);
    const now = performance.now();
    if (now - lookedUp < 1000 * LOOK_UP_S) continue;
    lookedUp = now;
    const { done, total } = step.value;
    progress.within(done, total, done > 0 ? ((now - begun) / done / 1000) * (total - done) : Number.NaN);
    await fullTurn();
  }
}

function withFindings(analysis: Analysis, uncertainty: LiftUncertainty | null): UncertainAnalysis {
  const means = uncertainty ? setMeansOf(uncertainty) : [];
  const found = findInLift(analysis.record, means, analysis.data.recording, analysis.rules.rules);
  return { ...analysis, ...found, uncertainty, setChanges: uncertainty ? setChangesOf(uncertainty) : [] };
}
