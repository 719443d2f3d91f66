/**
 * A linear smoother of equally long series with everything that does not depend on the samples worked out before: built
 * once, run on many series. It keeps its working space, so one plan serves one caller at a time.
 */
export interface PlannedSmoother {
  readonly samples: number;
  /**
   * Smooths the series x[xAt], x[xAt + stride], … into out[outAt], out[outAt + stride], …; `out` may be `x`. Samples must
   * be finite: one NaN spreads over the series (samples that the plan calls missing are not read).
   */
  applyInto(out: Float64Array, outAt: number, x: Float64Array, xAt: number, stride: number): void;
}
