import { pressurePointInto } from './force-plate-geometry.ts';

/* What a force plate reads when nothing stands on it. All arrays `3 * sample`, lab axes (Y up), newtons and metres. */

/** More vertical force in a stretch that is said to be unloaded is somebody who stands there, N; piezoelectric drift reaches 200 N, downward as a rule (common practice, no source). */
export const MOST_OFFSET_N = 250;

/** More scatter there is somebody who moves, N (common practice, no source). */
export const MOST_OFFSET_SD_N = 10;

/** Force on the body, centre of pressure (NaN where none is given) and free moment about the vertical. */
export interface ForceSamples {
  readonly force: Float64Array;
  readonly centreOfPressure: Float64Array;
  readonly freeMoment: Float64Array;
}

/** Half-open range of samples. */
export interface SampleRange {
  readonly from: number;
  readonly to: number;
}

export interface VerticalForce {
  readonly meanN: number;
  readonly sdN: number;
}

export function verticalForceOf(force: Float64Array, { from, to }: SampleRange): VerticalForce {
  let sum = 0;
  let squares = 0;
  for (let sample = from; sample < to; sample++) {
    sum += force[3 * sample + 1];
    squares += force[3 * sample + 1] ** 2;
  }
  const meanN = sum / (to - from);
  return { meanN, sdN: Math.sqrt(Math.max(0, squares / (to - from) - meanN * meanN)) };
}

/**
 * Takes the mean of the unloaded stretch off the force and, where the file gives a centre of pressure throughout the
 * stretch, off the moment too, in place; returns whether it did the latter.
 *
 * Force and moment are linear in the channels, the centre of pressure is not: it is turned into a moment (r × F + free
 * moment) whose mean over the stretch is the moment's offset however far r runs away there, and is found again from what is
 * left, at its own height. Where the stretch has none, the moment's offset is not known and the places stay as written.
 */
export function takeOffOffset(samples: ForceSamples, unloaded: SampleRange, leastN: number): boolean {
  const { force, centreOfPressure: centre, freeMoment } = samples;
  const offset = new Float64Array(6);
  let withCentre = 0;
  for (let sample = unloaded.from, i = 3 * sample; sample < unloaded.to; sample++, i += 3) {
    const [fx, fy, fz] = [force[i], force[i + 1], force[i + 2]];
    const [x, y, z] = [centre[i], centre[i + 1], centre[i + 2]];
    if (Number.isFinite(x + y + z)) withCentre++;
    const parts = [fx, fy, fz, y * fz - z * fy, z * fx - x * fz + freeMoment[sample], x * fy - y * fx];
    for (let k = 0; k < 6; k++) offset[k] += parts[k] / (unloaded.to - unloaded.from);
  }
  const momentKnown = withCentre === unloaded.to - unloaded.from;
  const up = [0, 1, 0];
  const moment = new Float64Array(3);
  const place = new Float64Array(3);
  for (let sample = 0, i = 0; i < force.length; sample++, i += 3) {
    const [x, y, z] = [centre[i], centre[i + 1], centre[i + 2]];
    const [fx, fy, fz] = [force[i], force[i + 1], force[i + 2]];
    for (let k = 0; k < 3; k++) force[i + k] -= offset[k];
    if (!momentKnown || !Number.isFinite(x + y + z)) continue;
    // About the point of the vertical axis at the height of the centre of pressure, which stays in its plane.
    moment[0] = y * fz - z * fy - offset[3] - y * force[i + 2];
    moment[1] = z * fx - x * fz + freeMoment[sample] - offset[4];
    moment[2] = x * fy - y * fx - offset[5] + y * force[i];
    const free = pressurePointInto(place, 0, force.subarray(i, i + 3), moment, 0, up, leastN);
    centre.set([place[0], place[1] + y, place[2]], i);
    freeMoment[sample] = Number.isNaN(free) ? 0 : free;
  }
  return momentKnown;
}

/** A steady reading: an empty force plate's offset, or a foot that rests without moving. */
export interface SteadyStretch extends VerticalForce, SampleRange {}

/** Length that is looked at for steadiness, seconds, and the shortest stretch that is told; common practice, no source. */
const WINDOW_S = 0.25;
/** Scatter of the vertical force below which nothing living stands on it, N: a standing foot sways by more (common practice, no source). */
const STEADY_SD_N = 1.5;
/** Largest share of the largest vertical force that can be an offset; common practice, no source. */
const MOST_SHARE = 0.15;
/** Smallest steady reading worth telling, N; common practice, no source. */
const LEAST_TOLD_N = 2;

/** The longest steady stretch that may be an offset; null where there is none, or where it is as good as zero. */
export function steadyOffset(force: Float64Array, rateHz: number): SteadyStretch | null {
  const samples = force.length / 3;
  const window = Math.max(3, Math.round(WINDOW_S * rateHz));
  let largest = 0;
  for (let i = 1; i < force.length; i += 3) largest = Math.max(largest, Math.abs(force[i]));
  const limitN = Math.min(MOST_OFFSET_N, MOST_SHARE * largest);
  let best: SampleRange | null = null;
  for (let from = 0; from + window <= samples; from += window) {
    if (!isSteady({ from, to: from + window })) continue;
    let to = from + window;
    while (to + window <= samples && isSteady({ from: to, to: to + window })) to += window;
    if (best === null || to - from > best.to - best.from) best = { from, to };
    from = to - window;
  }
  if (best === null) return null;
  const found = verticalForceOf(force, best);
  return Math.abs(found.meanN) < LEAST_TOLD_N ? null : { ...best, ...found };

  function isSteady(range: SampleRange): boolean {
    const { meanN, sdN } = verticalForceOf(force, range);
    return sdN < STEADY_SD_N && Math.abs(meanN) < limitN;
  }
}
