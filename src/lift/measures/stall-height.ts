import { ascentComesFirst, notFailed, phaseMissing } from '../../messages.ts';
import { dropPct } from '../depth.ts';
import { highestFrame } from '../extrema.ts';
import { HIPS, type RepetitionMeasure } from './measure.ts';
import { known, unknown } from './readings.ts';

/** How far up a failed repetition came, 1. */
export const stallHeight: RepetitionMeasure = {
  scope: 'repetition',
  name: 'stall_height',
  unit: '1',
  title: 'Height of the stall',
  definition:
    'Of a failed repetition: largest share of the drop that was won back, 0 = bottom, 1 = standing. Other repetitions have none.',
  knownAs: ['where it failed'],
  needs: HIPS,
  source: 'common practice, no source',
  of(repetition, lift) {
    const at = 'ascent';
    const { ascent, completeness, order } = repetition;
    if (completeness !== 'failed') return [unknown(at, null, notFailed())];
    // A pull that fails has no stand in it that its height could be a share of.
    if (order === 'ascent first') return [unknown(at, null, ascentComesFirst())];
    if (!ascent) return [unknown(at, null, phaseMissing(at))];
    const highest = highestFrame(lift.height, ascent.from, ascent.to);
    return [known(at, null, 1 - dropPct(lift.height, repetition, highest) / 100, highest)];
  },
};
