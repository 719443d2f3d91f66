import { HIPS, type RepetitionMeasure } from './measure.ts';
import { known, unknown } from './readings.ts';
import { stickingOf } from './sticking-readings.ts';

/** How long the speed sags in the ascent, s. */
export const stickingDuration: RepetitionMeasure = {
  scope: 'repetition',
  name: 'sticking_duration',
  unit: 's',
  title: 'Length of the sticking region',
  definition:
    'Time from the first peak of the upward velocity to the second, between which the sticking point lies; peaks between frames by the parabola through the three frames about each. Velocity of the bar, of the hips where there is no bar.',
  knownAs: ['grinding', 'sticking region'],
  needs: HIPS,
  source: 'sticking region: van den Tillaar & Ettema (2010), from memory; its limits: common practice, no source',
  of(repetition, lift) {
    const found = stickingOf(repetition, lift);
    if (typeof found === 'string') return [unknown('ascent', null, found)];
    const { firstPeak, secondPeak } = found.region;
    const frames =
      peakBetweenFrames(found.velocity, secondPeak.frame) - peakBetweenFrames(found.velocity, firstPeak.frame);
    return [known('ascent', null, frames / lift.loads.frameRateHz, firstPeak.frame, secondPeak.frame)];
  },
};

/** Where the parabola through a frame and its two neighbours peaks, in fractional frames; the frame itself where it has no peak. */
function peakBetweenFrames(values: Float64Array, frame: number): number {
  const [before, here, after] = [values[frame - 1], values[frame], values[frame + 1]];
  const shift = (before - after) / (2 * (before - 2 * here + after));
  return Math.abs(shift) <= 0.5 ? frame + shift : frame;
}
