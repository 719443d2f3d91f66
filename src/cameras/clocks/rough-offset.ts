import type { Landmark } from '../../capture/landmarks.ts';
import type { KeypointTrack } from '../../capture/recording.ts';
import { clockNotDetermined, clockNotes } from '../../messages/clocks.ts';
import { median, quantile } from '../../numerics/statistics.ts';
import { LEAST_SHARED_S, SECOND_MAXIMUM_SHARE } from './limits.ts';
import { kernelHalfWidthS, type SmoothTracks, smoothTracks } from './smooth-view.ts';

/** Offset of one view against the first from the movement in the two pictures alone. */
export interface RoughOffset {
  readonly camera: string;
  /** offset_s that this view would have if the first view's is the one its track states, seconds. */
  readonly offsetS: number;
  /** Half width of the 95 % interval, seconds; never below a frame of the slower camera: two sides of a body do not move alike. */
  readonly halfWidth95S: number;
  /** Correlation of the two movements at that offset. */
  readonly correlation: number;
  /** Other offsets nearly as good, best first; not empty = the movement repeats itself. */
  readonly rivals: readonly { readonly offsetS: number; readonly correlation: number }[];
  readonly notes: readonly string[];
}

/** Common practice, no source: two pictures of one movement correlate above this. */
const LEAST_CORRELATION = 0.5;
/** Maxima nearer than this are one, seconds. */
const ONE_MAXIMUM_S = 0.3;
/** Share of the shorter view that must lie in both. */
const LEAST_OVERLAP = 0.35;

/**
 * Offset of each view against the first, without a rig.
 *
 * The vertical speed of a lifter in the picture, as the median over the livelier half of the landmarks that both views
 * report (half of them may be wrong), smoothed alike in all views; normalised cross-correlation over every shift with
 * enough overlap; the maximum by a parabola. Cameras must stand more or less upright. Frame rates may differ.
 * First entry: the first view itself. Error clock-not-determined: nothing moves, or the movements do not match.
 */
export function roughOffset(tracks: readonly KeypointTrack[]): RoughOffset[] {
  const halfWidthS = kernelHalfWidthS(tracks);
  const smooth = tracks.map((track) => smoothTracks(track, halfWidthS));
  const first: RoughOffset = {
    camera: tracks[0].camera,
    offsetS: tracks[0].offsetS,
    halfWidth95S: 0,
    correlation: 1,
    rivals: [],
    notes: [],
  };
  return [first, ...smooth.slice(1).map((view, i) => against(smooth[0], tracks[0], view, tracks[i + 1], halfWidthS))];
}

function against(
  a: SmoothTracks,
  aTrack: KeypointTrack,
  b: SmoothTracks,
  bTrack: KeypointTrack,
  halfWidthS: number,
): RoughOffset {
  const landmarks = livelierHalf(a, b);
  if (landmarks.length === 0) {
    throw clockNotDetermined(bTrack.camera, 'no-common-landmark', { first: aTrack.camera });
  }
  const speedA = verticalSpeed(a, landmarks);
  const speedB = verticalSpeed(b, landmarks);
  const shifts = correlations(speedA, speedB, a.stepS);
  const peaks = maxima(shifts, a.stepS);
  if (peaks.length === 0 || peaks[0].correlation < LEAST_CORRELATION) {
    throw clockNotDetermined(bTrack.camera, 'movements-unlike', {
      correlation: peaks[0]?.correlation ?? 0,
      limit: LEAST_CORRELATION,
    });
  }
  // Sample i of b matches sample i + shift of a: b's frame 0 is `shift` later than a's.
  const toOffset = (shift: number) => aTrack.offsetS + a.firstS - b.firstS + shift * a.stepS;
  const [best, ...others] = peaks;
  const rivals = others
    .filter((peak) => peak.correlation >= SECOND_MAXIMUM_SHARE * best.correlation)
    .map((peak) => ({ offsetS: toOffset(peak.shift), correlation: peak.correlation }));
  const offsetS = toOffset(best.shift);
  const frameS = Math.max(1 / aTrack.frameRateHz, 1 / bTrack.frameRateHz);
  return {
    camera: bTrack.camera,
    offsetS,
    halfWidth95S: Math.hypot(frameS, 1.96 * shiftSdS(speedA, speedB, best, a.stepS, halfWidthS)),
    correlation: best.correlation,
    rivals,
    notes: rivals.length > 0 ? [clockNotes.secondMaximum(bTrack.camera, offsetS, rivals[0].offsetS)] : [],
  };
}

/** Landmarks of both views that move most: the rest (feet) only hold the median at zero. */
function livelierHalf(a: SmoothTracks, b: SmoothTracks): Landmark[] {
  const shared = a.landmarks.filter((landmark) => b.landmarks.includes(landmark));
  const liveliness = shared.map((landmark) => Math.min(typicalSpeed(a, landmark), typicalSpeed(b, landmark)));
  const limit = median(liveliness.filter((speed) => speed >= 0));
  return shared.filter((_, i) => liveliness[i] >= limit && liveliness[i] > 0);
}

function typicalSpeed(view: SmoothTracks, landmark: Landmark): number {
  const from = view.landmarks.indexOf(landmark) * view.count;
  const speeds = view.vVelocity.subarray(from, from + view.count).filter((speed) => !Number.isNaN(speed));
  return speeds.length < view.count / 2 ? Number.NaN : quantile(speeds.map(Math.abs), 0.8);
}

/** Median over the landmarks of each one's vertical speed; NaN where fewer than half are known. */
function verticalSpeed(view: SmoothTracks, landmarks: readonly Landmark[]): Float64Array {
  const columns = landmarks.map((landmark) => view.landmarks.indexOf(landmark) * view.count);
  return Float64Array.from({ length: view.count }, (_, i) => {
    const known = columns.map((from) => view.vVelocity[from + i]).filter((speed) => !Number.isNaN(speed));
    return known.length * 2 < columns.length ? Number.NaN : median(known);
  });
}

interface Shifts {
  readonly first: number;
  readonly correlation: Float64Array;
}

/** Correlation of b(i) with a(i + shift) over the overlap, for every shift whose overlap is long enough and moves. */
function correlations(a: Float64Array, b: Float64Array, stepS: number): Shifts {
  const least = Math.max(Math.ceil(LEAST_SHARED_S / stepS), Math.floor(LEAST_OVERLAP * Math.min(a.length, b.length)));
  const first = least - b.length;
  const last = a.length - least;
  const correlation = new Float64Array(Math.max(0, last - first + 1)).fill(Number.NaN);
  const power = (x: Float64Array) => x.reduce((sum, value) => sum + (value > 0 || value < 0 ? value * value : 0), 0);
  const powerA = power(a);
  const powerB = power(b);
  for (let shift = first; shift <= last; shift++) {
    let n = 0;
    let aa = 0;
    let bb = 0;
    let ab = 0;
    const from = Math.max(0, -shift);
    const to = Math.min(b.length, a.length - shift);
    for (let i = from; i < to; i++) {
      const product = a[i + shift] * b[i];
      if (Number.isNaN(product)) continue;
      n++;
      ab += product;
      aa += a[i + shift] * a[i + shift];
      bb += b[i] * b[i];
    }
    // An overlap in which little of the movement lies says little: speeds have no mean to take off.
    if (n >= least / 2 && aa > LEAST_OVERLAP * powerA && bb > LEAST_OVERLAP * powerB) {
      correlation[shift - first] = ab / Math.sqrt(aa * bb);
    }
  }
  return { first, correlation };
}

interface Peak {
  readonly shift: number;
  readonly correlation: number;
}

function maxima({ first, correlation: c }: Shifts, stepS: number): Peak[] {
  const peaks: Peak[] = [];
  for (let i = 1; i < c.length - 1; i++) {
    if (!(c[i] > 0 && c[i] >= c[i - 1] && c[i] > c[i + 1])) continue;
    const bend = c[i - 1] - 2 * c[i] + c[i + 1];
    const part = bend < 0 ? (0.5 * (c[i - 1] - c[i + 1])) / bend : 0;
    peaks.push({ shift: first + i + part, correlation: c[i] });
  }
  peaks.sort((p, q) => q.correlation - p.correlation);
  return peaks.filter(
    (peak, i) => !peaks.slice(0, i).some((better) => Math.abs(better.shift - peak.shift) * stepS < ONE_MAXIMUM_S),
  );
}

/**
 * Standard deviation of the shift from what the correlation leaves: √((1 − c²)/c² / n) over the root mean square rate of
 * change of the unit-power speed; n = independent values, one a kernel half width.
 */
function shiftSdS(
  a: Float64Array,
  b: Float64Array,
  { shift, correlation }: Peak,
  stepS: number,
  halfWidthS: number,
): number {
  const whole = Math.round(shift);
  let n = 0;
  let power = 0;
  let change = 0;
  for (let i = 1; i < b.length; i++) {
    const here = a[i + whole];
    const before = a[i + whole - 1];
    if (!Number.isFinite(here * before * b[i])) continue;
    n++;
    power += here * here;
    change += ((here - before) / stepS) ** 2;
  }
  const independent = (n * stepS) / halfWidthS;
  const left = (1 - correlation ** 2) / correlation ** 2;
  return Math.sqrt(left / independent / (change / power));
}
