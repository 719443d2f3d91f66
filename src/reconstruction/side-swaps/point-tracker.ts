/**
 * Where points of one view are expected next: an α–β filter a point (Kalata 1984, IEEE Trans. Aerosp. Electron. Syst.
 * 20:174), which follows place and velocity and passes over values that do not fit.
 */
export interface PointTracker {
  /** `2 * point`, px; NaN before the first value. */
  readonly place: Float64Array;
  /** `2 * point`, px/s. */
  readonly velocity: Float64Array;
  /** When each point last had a value that fitted, seconds. */
  readonly timeS: Float64Array;
}

// Under test runners a look-up of Math is slow; this is the hot place.
const { min } = Math;

/** What the costs are measured in. */
export interface TrackingScale {
  /** Variance of a prediction from one frame to the next, px², per point. */
  readonly variance: Float64Array;
  /** Acceleration that a point may have, px/s²: the variance grows by (½ a t²)² over a time t without a value. */
  readonly acceleration: number;
  /** A point whose expected place is older than this starts anew, seconds. */
  readonly longestS: number;
}

/** Gains per frame: the variance of a misfit is 1.5 times a value's own. Common practice, no source. */
const PLACE_GAIN = 0.5;
const VELOCITY_GAIN = 0.1;

/** How far the expected place lags behind a point under steady acceleration a: this times a / rate² (steady state of the filter). */
export const LAG = (1 - PLACE_GAIN) / VELOCITY_GAIN;

/** A misfit costs at most this (a log-likelihood): five standard deviations. Common practice, no source. */
export const MOST_COST = 12.5;

export function pointTracker(points: number): PointTracker {
  return {
    place: new Float64Array(2 * points).fill(Number.NaN),
    velocity: new Float64Array(2 * points),
    timeS: new Float64Array(points),
  };
}

export function copyTracker(to: PointTracker, from: PointTracker): void {
  to.place.set(from.place);
  to.velocity.set(from.velocity);
  to.timeS.set(from.timeS);
}

/** Negative log-likelihood of values (`2 * point`, NaN = not seen) at a time, each point's part at most MOST_COST. */
export function misfit(tracker: PointTracker, values: Float64Array, timeS: number, scale: TrackingScale): number {
  let sum = 0;
  for (let p = 0; p < tracker.timeS.length; p++) sum += pointMisfit(tracker, p, values, timeS, scale);
  return sum;
}

function pointMisfit(
  { place, velocity, timeS: last }: PointTracker,
  point: number,
  values: Float64Array,
  timeS: number,
  scale: TrackingScale,
): number {
  const x = values[2 * point];
  if (Number.isNaN(x) || Number.isNaN(place[2 * point])) return 0;
  const dt = timeS - last[point];
  const dx = x - place[2 * point] - velocity[2 * point] * dt;
  const dy = values[2 * point + 1] - place[2 * point + 1] - velocity[2 * point + 1] * dt;
  const drift = 0.5 * scale.acceleration * dt * dt;
  const cost = (dx * dx + dy * dy) / (2 * (scale.variance[point] + drift * drift));
  return min(cost, MOST_COST);
}

/** Takes values in: fitting ones move the point, others are passed over until its place is too old to count. */
export function follow(tracker: PointTracker, values: Float64Array, timeS: number, scale: TrackingScale): void {
  const { place, velocity, timeS: last } = tracker;
  for (let p = 0; p < last.length; p++) {
    const x = values[2 * p];
    if (Number.isNaN(x)) continue;
    const y = values[2 * p + 1];
    const dt = timeS - last[p];
    if (Number.isNaN(place[2 * p]) || dt > scale.longestS) {
      place[2 * p] = x;
      place[2 * p + 1] = y;
      velocity[2 * p] = 0;
      velocity[2 * p + 1] = 0;
    } else {
      if (pointMisfit(tracker, p, values, timeS, scale) >= MOST_COST) continue;
      for (let c = 0; c < 2; c++) {
        const predicted = place[2 * p + c] + velocity[2 * p + c] * dt;
        const error = (c === 0 ? x : y) - predicted;
        place[2 * p + c] = predicted + PLACE_GAIN * error;
        velocity[2 * p + c] += (VELOCITY_GAIN * error) / dt;
      }
    }
    last[p] = timeS;
  }
}
