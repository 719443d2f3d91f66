import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import type { RecordingData, Smoothing } from '../../src/capture/recording.ts';
import { LOADED_JOINTS, type LoadedJoint } from '../../src/mechanics/joint-loads.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { smoothingBias } from '../../src/reconstruction/smoothing-bias.ts';
import {
  type Analysed,
  analysed,
  analysedData,
  measured,
  momentError,
  timeOf,
  trueLoads,
  UNSMOOTHED,
} from '../synthetic/analysed.ts';
import { DEMO_RECORDINGS, demoFilming, liftOf } from '../synthetic/demo.ts';
import type { Filming } from '../synthetic/film.ts';
import type { PixelNoise } from '../synthetic/noise.ts';
import { type TrueLoads, trueLandmarksAt, trueRepetition } from '../synthetic/truth.ts';

/** A single repetition of a demo lifter, as slow as in the demo study or fast with a bounce. */
export interface Trial {
  readonly recording: number;
  readonly tempo: 'slow' | 'fast';
}

const FAST = { descentS: 1, pauseS: 0.04, ascentS: 0.9, sticking: 0.2 };

/** Frames at both ends left out, seconds: the memory of the lowest cut-off used here and a little. */
const MARGIN_S = 0.4;

export interface FilmedTrial {
  readonly unsmoothed: Analysed;
  readonly truth: readonly TrueLoads[];
  /** Upward velocity of the bar's middle, m/s, one a frame. */
  readonly trueBarVelocity: Float64Array;
}

/** Errors of one analysis. Moments: rms in % of the true peak; velocity: error of the peak in %; shares: error at parallel, down and up. */
export interface TrialErrors {
  readonly moments: Readonly<Record<LoadedJoint, number>>;
  readonly barPeakPct: number;
  readonly shares: readonly number[];
}

/** Films and reconstructs a lifter within the analyser's assumptions: what is wrong then comes from noise and smoothing. */
export function filmTrial(
  { recording, tempo }: Trial,
  noise: PixelNoise | null,
  frameRateHz: number,
  seed: number,
): FilmedTrial {
  const recorded = DEMO_RECORDINGS[recording];
  const plan = { ...recorded.plan, ...(tempo === 'fast' ? FAST : {}), repetitions: 1 };
  const lift = liftOf({ ...recorded, plan }, 'inside');
  const filmed = demoFilming(recorded);
  const views = filmed.views.map((view) => ({ ...view, offsetS: 0, readoutS: 0, bias: {} }));
  const filming: Filming = { ...filmed, views, noise, frameRateHz, discsHide: false, seed };
  const unsmoothed = analysed(lift, filming, UNSMOOTHED);
  const barHeight = (t: number) => {
    const points = trueLandmarksAt(lift, t);
    return (points.get('bar_left_end')![1] + points.get('bar_right_end')![1]) / 2;
  };
  const h = 1e-3;
  const trueBarVelocity = Float64Array.from({ length: unsmoothed.loads.frames }, (_, k) => {
    const t = timeOf(unsmoothed, k);
    return (barHeight(t + h) - barHeight(t - h)) / (2 * h);
  });
  return { unsmoothed, truth: trueLoads(unsmoothed), trueBarVelocity };
}

export function smoothedTrial({ unsmoothed }: FilmedTrial, smoothing: Smoothing): Analysed {
  const { lift, filming, data, rig } = unsmoothed;
  return analysedData(lift, filming, withSmoothing(data, smoothing), rig);
}

function withSmoothing(data: RecordingData, smoothing: Smoothing): RecordingData {
  const { recording } = data;
  return { ...data, recording: { ...recording, settings: { ...recording.settings, smoothing } } };
}

export function errorsOf(trial: FilmedTrial, run: Analysed): TrialErrors {
  const moment = (joint: LoadedJoint) => {
    const { rms, peak } = momentError(run, trial.truth, joint, 'total', MARGIN_S);
    return (100 * rms) / peak;
  };
  const { parallelDescent, parallelAscent } = trueRepetition(run.lift, 0);
  const truePeak = peakOf(trial.trueBarVelocity, run);
  return {
    moments: { hip: moment('hip'), knee: moment('knee'), ankle: moment('ankle') },
    barPeakPct: 100 * (peakOf(barVelocity(run, run.reconstruction.smoothed.position), run) / truePeak - 1),
    shares: [
      measured(run, 'hip_share', 'parallel descent', 1) - parallelDescent.hipShare,
      measured(run, 'hip_share', 'parallel ascent', 1) - parallelAscent.hipShare,
    ],
  };
}

/** How well `smoothingBias` foresees what smoothing did. True bias: the analysis of exact pixels against the truth. */
export interface BiasForeseen {
  /** Peak of the bar's velocity, % of the true peak: what was lost, and what was foreseen. */
  readonly barPeakPct: number;
  readonly barPeakForeseenPct: number;
  /** Moments: rms of the true bias, and of true minus foreseen bias, % of the peak. */
  readonly moments: Readonly<Record<LoadedJoint, { readonly bias: number; readonly left: number }>>;
}

/** exact: the same lift from exact pixels, smoothed alike and unsmoothed. */
export function biasForeseen(trial: FilmedTrial, run: Analysed, exact: FilmedTrial, exactRun: Analysed): BiasForeseen {
  const { smoothed, respond, turn } = run.reconstruction;
  const bias = smoothingBias(respond, smoothed.position);
  const position = smoothed.position.map((x, i) => x - bias[i]);
  const corrected = jointLoads(bodyMotion({ ...smoothed, position }, run.data.recording), [], turn);
  const margin = Math.ceil(MARGIN_S * run.loads.frameRateHz);
  const momentBias = (joint: LoadedJoint) => {
    const [found, mended] = [run.loads.fromAbove![joint].total, corrected.fromAbove![joint].total];
    const [cut, whole] = [exactRun.loads.fromAbove![joint].total, exact.unsmoothed.loads.fromAbove![joint].total];
    let peak = 0;
    let squares = 0;
    let leftSquares = 0;
    let frames = 0;
    for (let k = margin; k < found.length - margin; k++) {
      const truth = cut[k] - whole[k];
      const left = truth - (found[k] - mended[k]);
      if (Number.isNaN(left)) continue;
      peak = Math.max(peak, Math.abs(whole[k]));
      squares += truth * truth;
      leftSquares += left * left;
      frames++;
    }
    return { bias: (100 * Math.sqrt(squares / frames)) / peak, left: (100 * Math.sqrt(leftSquares / frames)) / peak };
  };
  const peak = peakOf(trial.trueBarVelocity, run);
  const exactPeak = peakOf(barVelocity(exactRun, exactRun.reconstruction.smoothed.position), run);
  const [found, mended] = [smoothed.position, position].map((points) => peakOf(barVelocity(run, points), run));
  return {
    barPeakPct: 100 * (exactPeak / peak - 1),
    barPeakForeseenPct: (100 * (found - mended)) / peak,
    moments: Object.fromEntries(LOADED_JOINTS.map((joint) => [joint, momentBias(joint)])) as BiasForeseen['moments'],
  };
}

/** Upward velocity of the middle between the bar ends by central differences; NaN at the first and last frame. */
function barVelocity({ reconstruction }: Analysed, position: Float64Array): Float64Array {
  const { landmarks, frames, frameRateHz } = reconstruction.smoothed;
  const [left, right] = (['bar_left_end', 'bar_right_end'] as const).map((name) => landmarks.indexOf(name));
  const height = (k: number) =>
    (position[3 * (k * landmarks.length + left) + 1] + position[3 * (k * landmarks.length + right) + 1]) / 2;
  return Float64Array.from({ length: frames }, (_, k) =>
    k === 0 || k === frames - 1 ? Number.NaN : ((height(k + 1) - height(k - 1)) * frameRateHz) / 2,
  );
}

function peakOf(velocity: Float64Array, { loads }: Analysed): number {
  const margin = Math.ceil(MARGIN_S * loads.frameRateHz);
  return Math.max(...velocity.subarray(margin, velocity.length - margin).filter(Number.isFinite));
}
