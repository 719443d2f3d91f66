import { ascentComesFirst, missing, phaseMissing } from '../../messages.ts';
import { dropPct } from '../depth.ts';
import { zigZag } from '../extrema.ts';
import { DOUBLE_BOUNCE_FLOOR_M, DOUBLE_BOUNCE_SHARE } from '../limits.ts';
import { HIPS, type RepetitionMeasure } from './measure.ts';
import { known, unknown, wholeRange } from './readings.ts';

/** How far the hips rise and sink again at the bottom before the drive that is completed, m. */
export const doubleBounce: RepetitionMeasure = {
  scope: 'repetition',
  name: 'double_bounce',
  unit: 'm',
  title: 'Double bounce',
  definition: `Largest rise of the height that repetitions are found in (hips; shoulders where the bar is in the hands) that is followed by a fall of at least ${1000 * DOUBLE_BOUNCE_FLOOR_M} mm, from the first to the last moment within ${100 * DOUBLE_BOUNCE_SHARE} % of the drop of the bottom. 0 = none; a rise below ${1000 * DOUBLE_BOUNCE_FLOOR_M} mm counts as none.`,
  knownAs: ['double bounce', 'bouncing out of the hole'],
  needs: HIPS,
  source: `${1000 * DOUBLE_BOUNCE_FLOOR_M} mm and ${100 * DOUBLE_BOUNCE_SHARE} %: common practice, no source`,
  of(repetition, lift) {
    const { descent, ascent, bottomFrame, order } = repetition;
    if (order === 'ascent first') return [unknown('bottom', null, ascentComesFirst())];
    if (!descent || !ascent) {
      return [unknown('bottom', null, phaseMissing(descent ? 'ascent' : 'descent'), bottomFrame)];
    }
    const { height } = lift;
    const low = 100 * (1 - DOUBLE_BOUNCE_SHARE);
    let { from, to } = wholeRange(repetition);
    while (from < bottomFrame && !(dropPct(height, repetition, from) >= low)) from++;
    while (to - 1 > bottomFrame && !(dropPct(height, repetition, to - 1) >= low)) to--;
    const near = height.subarray(from, to);
    if (near.some(Number.isNaN)) return [unknown('bottom', null, missing(), from, to - 1)];
    const turns = zigZag(near, DOUBLE_BOUNCE_FLOOR_M);
    let best = 0;
    let [first, last] = [from, to - 1];
    for (let k = 1; k + 1 < turns.length; k++) {
      const rise = turns[k].value - turns[k - 1].value;
      if (turns[k].kind !== 'top' || rise <= best) continue;
      best = rise;
      [first, last] = [from + turns[k - 1].frame, from + turns[k + 1].frame];
    }
    return [known('bottom', null, best, first, last)];
  },
};
