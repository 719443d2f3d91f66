import { barValue } from './bar-value.ts';
import { readExtreme } from './frame-value.ts';
import { BAR_ENDS, type RepetitionMeasure } from './measure.ts';
import { known, unknown, wholeRange } from './readings.ts';

/** How far the bar wanders forward and back within a repetition, m. */
export const barPathWidth: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_path_width',
  unit: 'm',
  title: 'Width of the bar path',
  definition:
    'Most forward less most backward place of the middle of the tracked bar within the repetition: 0 = straight up and down. Noise widens it a little; its interval allows for that.',
  knownAs: ['bar path', 'straight bar path'],
  needs: BAR_ENDS,
  source: 'common practice, no source',
  of(repetition, lift) {
    const forward = barValue(lift, [], [], ([left, right], i) => (left[i] + right[i]) / 2);
    const range = wholeRange(repetition);
    const ahead = readExtreme(lift, forward, 'largest', 'largest', range);
    const behind = readExtreme(lift, forward, 'largest', 'smallest', range);
    if (ahead.reason !== '') return [unknown('largest', null, ahead.reason, range.from, range.to - 1)];
    const [first, last] = [ahead.frameFirst, behind.frameFirst].sort((a, b) => a - b);
    return [known('largest', null, ahead.value - behind.value, first, last)];
  },
};
