import { InvalidArgumentError } from 'commander';
import { SMOOTHING_METHODS, type Smoothing } from '../capture/recording.ts';
import { CUTOFF_RANGE_HZ } from '../capture/schema.ts';

const [LOWEST_HZ, HIGHEST_HZ] = CUTOFF_RANGE_HZ;

/** A method as it is typed in a shell: without spaces. */
const typed = (method: string): string => method.replaceAll(' ', '-');

/**
 * `--cutoff-hz`: 'residual', 'none', one number for all groups, or LEGS,TRUNK,BAR; the range is that of the files. Before
 * it may stand a method and a colon: smoothing-spline:6,3,3.
 */
export function smoothingOption(text: string): Smoothing {
  if (text === 'none') return { kind: 'none' };
  const colon = text.indexOf(':');
  const cutoffs = text.slice(colon + 1);
  const method = SMOOTHING_METHODS.find((name) => typed(name) === text.slice(0, Math.max(0, colon)));
  const named = method === undefined ? {} : { method };
  if (colon >= 0 && (method === undefined || cutoffs === 'none')) throw notUnderstood();
  if (cutoffs === 'residual') return { kind: 'residual', ...named };
  const numbers = cutoffs.split(',').map(Number);
  if (!numbers.every((hz) => hz >= LOWEST_HZ && hz <= HIGHEST_HZ) || ![1, 3].includes(numbers.length)) {
    throw notUnderstood();
  }
  const [legsHz, trunkHz = legsHz, barHz = legsHz] = numbers;
  return { kind: 'fixed', legsHz, trunkHz, barHz, ...named };
}

const notUnderstood = () =>
  new InvalidArgumentError(
    `Write residual, none, one frequency from ${LOWEST_HZ} to ${HIGHEST_HZ} Hz, or three as legs,trunk,bar (for instance ` +
      `6,3,3); before it, if you like, a method and a colon: ${SMOOTHING_METHODS.map(typed).join(', ')} (for instance ` +
      'smoothing-spline:6,3,3).',
  );
