import { LOADED_N } from '../capture/force-plate-csv.ts';
import type { ForcePlateTrack } from '../capture/recording.ts';
import { forcePlateApart, forcePlateTooSlow, forceWithoutCentre } from '../messages/mechanics.ts';
import { FEWEST_FILTER_SAMPLES, HIGHEST_CUTOFF_SHARE, zeroLagLowPass } from '../numerics/butterworth.ts';
import { cubicSpline } from '../numerics/interpolation.ts';
import { apply3Into } from '../numerics/rotation.ts';
import { addWrenchInto, type Wrench, zeroWrench } from './wrench.ts';

/** The measured ground reaction at the frames; a foot is null where no force plate carries it alone. */
export interface GroundReaction {
  readonly left: Wrench | null;
  readonly right: Wrench | null;
  /** Of both feet; null where only one foot is measured. */
  readonly both: Wrench | null;
  /** 1 where the filter's memory reaches past an end of a force plate's recording, or nothing was measured; one a frame. */
  readonly edge: Uint8Array;
}

export interface FrameClock {
  readonly frames: number;
  readonly frameRateHz: number;
  readonly startS: number;
}

/**
 * Force plates at the frame times, in lab axes.
 *
 * Per force plate: turned by `turn` (labFromWorld, a rotation about Y, 3 × 3 row-major); force and the moment about the lab
 * origin, CoP × F + free moment, both low-passed (zero lag, `cutoffHz`, NaN = not filtered) at the force plate's own rate,
 * which also keeps what the frames cannot show from folding back; then a cubic spline to the frame times. The centre of
 * pressure itself is never filtered or interpolated: a ratio of two signals is not a signal of the same band, and it is
 * undefined where the foot is off. Frames outside the force plate's recording are NaN.
 */
export function groundReaction(
  forcePlates: readonly ForcePlateTrack[],
  turn: ArrayLike<number>,
  clock: FrameClock,
  cutoffHz: number,
): GroundReaction {
  const sums: Record<ForcePlateTrack['foot'], Wrench | null> = { left: null, right: null, both: null };
  const edge = new Uint8Array(clock.frames);
  for (const forcePlate of forcePlates) {
    const total = sums[forcePlate.foot] ?? zeroWrench(clock.frames);
    sums[forcePlate.foot] = total;
    addWrenchInto(total, atFrames(forcePlate, turn, clock, cutoffHz, edge));
  }
  const { left, right } = sums;
  if (sums.both) {
    // A force plate under both feet: what one foot has on a force plate of its own is not the whole of that foot.
    for (const foot of [left, right]) if (foot) addWrenchInto(sums.both, foot);
    return { left: null, right: null, both: sums.both, edge };
  }
  if (!left || !right) return { left, right, both: null, edge };
  const both = zeroWrench(clock.frames);
  addWrenchInto(both, left);
  addWrenchInto(both, right);
  return { left, right, both, edge };
}

function atFrames(
  forcePlate: ForcePlateTrack,
  turn: ArrayLike<number>,
  clock: FrameClock,
  cutoffHz: number,
  edge: Uint8Array,
): Wrench {
  const { timeS, samples, frameRateHz: rateHz, file } = forcePlate;
  if (cutoffHz >= HIGHEST_CUTOFF_SHARE * rateHz)
    throw forcePlateTooSlow(file, rateHz, cutoffHz, cutoffHz / HIGHEST_CUTOFF_SHARE);
  const lastFrameS = clock.startS + (clock.frames - 1) / clock.frameRateHz;
  if (timeS[samples - 1] < clock.startS || timeS[0] > lastFrameS)
    throw forcePlateApart(file, timeS[0], timeS[samples - 1], clock.startS, lastFrameS);
  const measured = inLabAxes(forcePlate, turn);
  const out = zeroWrench(clock.frames);
  resampleInto(out.force, measured.force, forcePlate, clock, cutoffHz, edge);
  resampleInto(out.moment, measured.moment, forcePlate, clock, cutoffHz, edge);
  return out;
}

/** Force and moment about the lab origin at the force plate's own samples. A force plate that carries nothing gives zero, not its offset. */
function inLabAxes(forcePlate: ForcePlateTrack, turn: ArrayLike<number>): Wrench {
  const { samples, force, centreOfPressure: centre, freeMoment } = forcePlate;
  const out = zeroWrench(samples);
  const arm = new Float64Array(3);
  for (let sample = 0, i = 0; sample < samples; sample++, i += 3) {
    if (!Number.isFinite(force[i] + force[i + 1] + force[i + 2])) {
      out.force.fill(Number.NaN, i, i + 3);
      out.moment.fill(Number.NaN, i, i + 3);
      continue;
    }
    if (!Number.isFinite(centre[i] + centre[i + 1] + centre[i + 2])) {
      if (Math.abs(force[i + 1]) >= LOADED_N)
        throw forceWithoutCentre(forcePlate.file, forcePlate.timeS[sample], force[i + 1], LOADED_N);
      continue;
    }
    apply3Into(out.force, i, turn, force, i);
    apply3Into(arm, 0, turn, centre, i);
    const [fx, fy, fz] = [out.force[i], out.force[i + 1], out.force[i + 2]];
    out.moment[i] = arm[1] * fz - arm[2] * fy;
    out.moment[i + 1] = arm[2] * fx - arm[0] * fz + freeMoment[sample];
    out.moment[i + 2] = arm[0] * fy - arm[1] * fx;
  }
  return out;
}

/** Slack of a frame time against the first and last sample time, seconds: rounding of printed times. */
const TIME_SLACK_S = 1e-6;

/** Filters and resamples the three interleaved series of x, one stretch of finite samples after the other. */
function resampleInto(
  out: Float64Array,
  x: Float64Array,
  forcePlate: ForcePlateTrack,
  clock: FrameClock,
  cutoffHz: number,
  edge: Uint8Array,
): void {
  const { timeS, samples, frameRateHz: rateHz } = forcePlate;
  const memoryS = Number.isFinite(cutoffHz) ? 1 / cutoffHz : 0;
  out.fill(Number.NaN);
  const reached = new Uint8Array(clock.frames);
  const isWhole = (sample: number) => Number.isFinite(x[3 * sample] + x[3 * sample + 1] + x[3 * sample + 2]);
  for (let first = 0, end = 0; first < samples; first = end) {
    end = first + 1;
    if (!isWhole(first)) continue;
    while (end < samples && isWhole(end)) end++;
    if (end - first < FEWEST_FILTER_SAMPLES) continue;
    const times = timeS.subarray(first, end);
    const fromS = times[0];
    const toS = times[times.length - 1];
    const splines = [0, 1, 2].map((axis) => {
      const series = Float64Array.from({ length: end - first }, (_, k) => x[3 * (first + k) + axis]);
      return cubicSpline(times, memoryS > 0 ? zeroLagLowPass(series, rateHz, cutoffHz) : series);
    });
    for (let frame = 0; frame < clock.frames; frame++) {
      const at = clock.startS + frame / clock.frameRateHz;
      if (at < fromS - TIME_SLACK_S || at > toS + TIME_SLACK_S) continue;
      for (let axis = 0; axis < 3; axis++) out[3 * frame + axis] = splines[axis](at);
      if (at >= fromS + memoryS && at <= toS - memoryS) reached[frame] = 1;
    }
  }
  for (let frame = 0; frame < clock.frames; frame++) if (!reached[frame]) edge[frame] = 1;
}
