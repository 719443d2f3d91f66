import { DataError } from '../errors.ts';

/** What was seen in one camera's video. */
interface Told {
  readonly camera: string;
  readonly looked: number;
  readonly found: number;
  readonly still: number;
}

export const stillMomentsNone = (
  cameras: readonly Told[],
  leftOut: readonly { readonly timeS: number; readonly reason: string }[],
  leastS: number,
) =>
  new DataError(
    'still-moments-none',
    `There is no moment at which the board stands still before all cameras for ${leastS} s. ${cameras
      .map((c) => `${c.camera}: board found in ${c.found} of ${c.looked} frames looked at, ${c.still} still stretches`)
      .join(
        '; ',
      )}.${leftOut.length > 0 ? ` Not used: ${leftOut.map(({ timeS, reason }) => `at ${timeS.toFixed(2)} s ${reason}`).join('; ')}.` : ''} ` +
      'Hold the board where all cameras see it whole, keep it still for a full second, then move on; at least ten places.',
    {
      leastS,
      found: cameras.map(({ found }) => found).join(' '),
      still: cameras.map(({ still }) => still).join(' '),
      leftOut: leftOut.length,
    },
  );

export const boardMotionUnclear = (
  first: string,
  second: string,
  correlation: number,
  rival: number,
  limits: { readonly correlation: number; readonly lead: number },
) =>
  new DataError(
    'board-motion-unclear',
    `The movement in the videos of ${first} and ${second} does not tell how their clocks are shifted: best agreement ` +
      `${correlation.toFixed(2)} (at least ${limits.correlation} needed), next best ${rival.toFixed(2)} (at least ${limits.lead} less needed). ` +
      'Do both show the same minutes? Move the board unevenly, with pauses of unequal length, or give the shift by hand.',
    { first, second, correlation, rival },
  );
