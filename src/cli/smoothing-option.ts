import { InvalidArgumentError } from 'commander';
import type { Smoothing } from '../capture/recording.ts';
import { CUTOFF_RANGE_HZ } from '../capture/schema.ts';

const [LOWEST_HZ, HIGHEST_HZ] = CUTOFF_RANGE_HZ;

/** `--cutoff-hz`: 'residual', 'none', one number for all groups, or LEGS,TRUNK,BAR; the range is that of the files. */
export function smoothingOption(text: string): Smoothing {
  if (text === 'residual' || text === 'none') return { kind: text };
  const numbers = text.split(',').map(Number);
  if (!numbers.every((hz) => hz >= LOWEST_HZ && hz <= HIGHEST_HZ) || ![1, 3].includes(numbers.length)) {
    throw new InvalidArgumentError(
      `Write residual, none, one frequency from ${LOWEST_HZ} to ${HIGHEST_HZ} Hz, or three as legs,trunk,bar (for instance 6,3,3).`,
    );
  }
  const [legsHz, trunkHz = legsHz, barHz = legsHz] = numbers;
  return { kind: 'fixed', legsHz, trunkHz, barHz };
}
