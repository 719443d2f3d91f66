import { BAR_ENDS, BIG_TOES, HEELS, type RepetitionMeasure } from './measure.ts';
import { readAt } from './readings.ts';

/** Bar ahead of the middle of the feet, m, toward the toes positive. Source: common practice, no source. */
export const barOverMidfoot: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_over_midfoot',
  unit: 'm',
  title: 'Bar over mid-foot',
  definition:
    'How far the centre of the tracked bar is ahead of the middle of the feet (mean of heels and tips of the big toes); 0 = over the middle, positive = toward the toes. Unknown where the bar ends are not tracked.',
  knownAs: ['bar over mid-foot', 'bar path'],
  needs: [...BAR_ENDS, ...HEELS, ...BIG_TOES],
  source: 'common practice, no source',
  of: (repetition, lift) => readAt(lift, repetition, 'bar_over_midfoot', null, ['start', 'parallel', 'bottom']),
};
