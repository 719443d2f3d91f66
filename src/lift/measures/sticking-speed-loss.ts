import { HIPS, type RepetitionMeasure } from './measure.ts';
import { known, unknown } from './readings.ts';
import { stickingOf } from './sticking-readings.ts';

/** How much speed is lost up to the sticking point, as a share of the first peak, 1. */
export const stickingSpeedLoss: RepetitionMeasure = {
  scope: 'repetition',
  name: 'sticking_speed_loss',
  unit: '1',
  title: 'Speed lost in the sticking region',
  definition:
    '1 less the upward velocity at the sticking point divided by that at the first peak: 0 = nothing lost, 1 = the bar stands still. Velocity of the bar, of the hips where there is no bar.',
  knownAs: ['grinding', 'slowing down'],
  needs: HIPS,
  source: 'sticking region: van den Tillaar & Ettema (2010), from memory; its limits: common practice, no source',
  of(repetition, lift) {
    const at = 'sticking point';
    const found = stickingOf(repetition, lift);
    if (typeof found === 'string') return [unknown(at, null, found)];
    const { firstPeak, sticking } = found.region;
    return [known(at, null, 1 - sticking.value / firstPeak.value, firstPeak.frame, sticking.frame)];
  },
};
