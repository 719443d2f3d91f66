import type { Response } from './response.ts';

/**
 * What smoothing took from the motion itself, estimated from the smoothed points: smoothing once more and taking the
 * difference, S(S x) − S x (twicing: Tukey 1977). The sign is that of smoothed minus true: peaks that were cut have a bias
 * against their deviation. Metres, `3 * (frame * landmarks + landmark)`, NaN where the smoothed point is.
 *
 * Of a component with gain g the bias is g − 1 of its true size, and g (g − 1) is estimated: all but one hundredth where the
 * gain is 0.99, 0.71 of it at the cut-off, next to nothing far above, where the component has left no trace. The noise of
 * the points adds noise to it, smaller than that left in the points. How well it predicts: docs/method/derivatives.md.
 *
 * respond, position: of one reconstruction (`respond` and `smoothed.position`); turned to other axes or not.
 */
export function smoothingBias(respond: Response, position: Float64Array): Float64Array {
  const bias = respond(position);
  for (let i = 0; i < bias.length; i++) bias[i] -= position[i];
  return bias;
}
