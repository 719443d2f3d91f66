import { InvalidArgumentError } from 'commander';
import type { Smoothing } from '../capture/recording.ts';

/** `--cutoff-hz`: 'residual', 'none', one number for all groups, or LEGS,TRUNK,BAR. */
export function smoothingOption(text: string): Smoothing {
  if (text === 'residual' || text === 'none') return { kind: text };
  const numbers = text.split(',').map(Number);
  if (!numbers.every((hz) => Number.isFinite(hz) && hz > 0) || ![1, 3].includes(numbers.length)) {
    throw new InvalidArgumentError(
      'Write residual, none, one frequency in Hz, or three as legs,trunk,bar (for instance 6,3,3).',
    );
  }
  const [legsHz, trunkHz = legsHz, barHz = legsHz] = numbers;
  return { kind: 'fixed', legsHz, trunkHz, barHz };
}
