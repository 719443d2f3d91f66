import { timeLeft } from '../../messages/study-run.ts';
import type { Progress } from '../progress.ts';

/** Says which step begins, and how long the rest will take by the mean of those done; several may be under way. */
export function stepsWithTimeLeft(progress: Progress, total: number) {
  const begun = performance.now();
  let done = 0;
  return {
    begun(index: number, what: string): void {
      const secondsEach = done > 0 ? (performance.now() - begun) / 1000 / done : Number.NaN;
      progress.step(index, total, `${what}${timeLeft(secondsEach * (total - done))}`);
    },
    done(): void {
      done++;
    },
  };
}
