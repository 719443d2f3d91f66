/* Low-pass filtering: the zero-lag second-order Butterworth filter and the choice of its cut-off. */
export { highestCutoffHz, type ResidualAnalysis, residualAnalysis } from './residual-analysis.ts';
export {
  butterworthLowPass,
  designFrequencyHz,
  FEWEST_FILTER_SAMPLES,
  HIGHEST_CUTOFF_SHARE,
  zeroLagFilterPlan,
  zeroLagGain,
  zeroLagLowPass,
} from './zero-lag-filter.ts';
