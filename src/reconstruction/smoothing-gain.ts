import type { SmoothingMethod } from '../capture/recording.ts';
import { zeroLagGain } from '../numerics/butterworth.ts';
import { splineGain } from '../numerics/spline-bandwidth.ts';
import { SPLINE_ORDER, STATE_SPACE_ORDER } from './stretches.ts';

/** Gain (0 … 1) at frequency `hz` of a smoothing whose −3 dB point is `cutoffHz`, away from the ends of a stretch; no phase. */
export function smoothingGain(method: SmoothingMethod, hz: number, cutoffHz: number, frameRateHz: number): number {
  switch (method) {
    case 'zero-lag filter':
      return zeroLagGain(hz, cutoffHz, frameRateHz);
    case 'smoothing spline':
      return splineGain(hz, cutoffHz, frameRateHz, SPLINE_ORDER);
    case 'state-space':
      return splineGain(hz, cutoffHz, frameRateHz, STATE_SPACE_ORDER);
  }
}
