import { stillMomentsNone } from '../messages/still-moments.ts';
import { quantile } from '../numerics/statistics.ts';
import type { BoardImage } from './board.ts';
import type { BoardTrack } from './still/board-track.ts';
import { chooseMoments, coverageOf } from './still/moment-choice.ts';
import { creepSpeed, type StillInterval, stillIntervals } from './still/still-intervals.ts';

export interface StillOptions {
  /** Inner corners in a row of the board. */
  readonly columns: number;
  /** Most moments returned. */
  readonly most: number;
  /** Seconds added to each camera's own time to give that of the first, in the order of the tracks; first = 0. */
  readonly offsetsS: readonly number[];
  /** Largest error of these offsets, seconds. */
  readonly clockSlackS: number;
  /** Least time for which the board stands still in all cameras at once, seconds. */
  readonly leastStillS: number;
  /** Largest median distance of the corners from their place in the middle of that time, px. */
  readonly mostWobblePx: number;
  /** Largest shift of the corners in a pair that the clocks may cause: creep of the board × clockSlackS, px. */
  readonly mostClockShiftPx: number;
  /** Least sharpness over the camera's sharpest tenth. */
  readonly leastSharpness: number;
}

/** Common practice, no source: a hand-held board is still for half a second at a time, within half a pixel. */
export const STILL_DEFAULTS = {
  most: 20,
  clockSlackS: 0.2,
  leastStillS: 0.3,
  mostWobblePx: 0.4,
  mostClockShiftPx: 0.5,
  leastSharpness: 0.6,
} as const;

/** One camera at one moment. */
export interface MomentView {
  readonly camera: string;
  /** Number of the frame in the video, and its time on the camera's own clock, seconds. */
  readonly frame: number;
  readonly timeS: number;
  readonly corners: Float64Array;
  /** Speed at which the board creeps there, px/s. */
  readonly creepPxPerS: number;
}

/** A moment at which the board stands still before all cameras. */
export interface StillMoment {
  /** For instance 't012.40': its time on the first camera's clock, seconds. Pairs the images of the cameras. */
  readonly name: string;
  readonly timeS: number;
  /** How long it stands still in all cameras, seconds. */
  readonly lengthS: number;
  /** In the order of the tracks. */
  readonly views: readonly MomentView[];
}

export interface StillMoments {
  /** In the order of time. */
  readonly moments: readonly StillMoment[];
  /** Moments found before the choice. */
  readonly candidates: number;
  /** Found, but not fit to be used, with the reason in plain words. */
  readonly leftOut: readonly { readonly timeS: number; readonly reason: string }[];
  /** Share of each camera's picture (6 × 6 cells) that the chosen moments' corners reach. */
  readonly coverage: ReadonlyMap<string, number>;
}

/**
 * Moments at which the board stands still before all cameras, by itself found in their videos.
 *
 * Each camera's still stretches (`stillIntervals`) are laid on the first camera's clock. Stretches of two cameras belong to one
 * stand of the board where they overlap for longer than the clocks may be wrong: then the overlap cannot come from two
 * neighbouring stands. The moment is the middle of the common overlap; the pair is of the frames nearest to it. Of all moments
 * those are chosen that cover most places, tilts and sizes (`chooseMoments`). With one camera these are pictures for its lens,
 * and no clock matters.
 * Error still-moments-none.
 */
export function stillMoments(tracks: readonly BoardTrack[], options: StillOptions): StillMoments {
  const stretches = tracks.map((track, c) =>
    stillIntervals(track, options.leastStillS, options.mostWobblePx).map((run) => onClock(run, options.offsetsS[c])),
  );
  const limits = tracks.map((track) => options.leastSharpness * sharpest(track));
  const leftOut: { timeS: number; reason: string }[] = [];
  const fit: StillMoment[] = [];
  for (const common of commonStretches(stretches, options)) {
    const moment = momentOf(tracks, common, options.offsetsS);
    const fault = faultOf(tracks, moment, limits, options);
    if (fault === null) fit.push(moment);
    else leftOut.push({ timeS: moment.timeS, reason: fault });
  }
  if (fit.length === 0) {
    const told = tracks.map((track, c) => ({
      camera: track.camera,
      looked: track.corners.length,
      found: track.corners.filter((corners) => corners !== null).length,
      still: stretches[c].length,
    }));
    throw stillMomentsNone(told, leftOut, options.leastStillS);
  }
  const seen = fit.map((moment) => moment.views.map((view, c) => ({ ...view, imageSize: tracks[c].imageSize })));
  const penalty = fit.map(({ views }) => Math.max(...views.map((view) => clockShift(view, options))));
  const chosen = chooseMoments(seen, options.columns, penalty, options.most).sort((a, b) => a - b);
  return {
    moments: chosen.map((index) => fit[index]),
    candidates: fit.length,
    leftOut,
    coverage: coverageOf(
      chosen.flatMap((index) => seen[index]),
      options.columns,
    ),
  };
}

/** The pictures of all moments, paired by the moments' names. */
export const boardImagesOf = ({ moments }: Pick<StillMoments, 'moments'>): BoardImage[] =>
  moments.flatMap(({ name, views }) => views.map(({ camera, corners }) => ({ camera, image: name, corners })));

interface Stretch extends StillInterval {
  /** On the first camera's clock, seconds. */
  readonly startS: number;
  readonly endS: number;
}

const onClock = (run: StillInterval, offsetS: number): Stretch => ({
  ...run,
  startS: run.fromS + offsetS,
  endS: run.toS + offsetS,
});

interface CommonStretch {
  readonly startS: number;
  readonly endS: number;
}

/** For each stretch of the first camera the one of each other that overlaps it longest, if long enough. */
function commonStretches(stretches: readonly (readonly Stretch[])[], options: StillOptions): CommonStretch[] {
  const [first, ...others] = stretches;
  return first.flatMap((own) => {
    let common: CommonStretch = { startS: own.startS, endS: own.endS };
    for (const runs of others) {
      const overlaps = runs.map((run) => Math.min(run.endS, own.endS) - Math.max(run.startS, own.startS));
      const longest = overlaps.indexOf(Math.max(...overlaps));
      // Neighbouring stands shifted by a wrong clock overlap for less than the clock is wrong.
      if (longest < 0 || overlaps[longest] <= options.clockSlackS) return [];
      common = {
        startS: Math.max(common.startS, runs[longest].startS),
        endS: Math.min(common.endS, runs[longest].endS),
      };
    }
    return common.endS - common.startS >= options.leastStillS - 1e-3 ? [common] : [];
  });
}

function momentOf(tracks: readonly BoardTrack[], common: CommonStretch, offsetsS: readonly number[]): StillMoment {
  let timeS = (common.startS + common.endS) / 2;
  const views = tracks.map((track, c): MomentView => {
    const inside = (i: number) => {
      const there = track.timesS[i] + offsetsS[c];
      return there >= common.startS - 1e-6 && there <= common.endS + 1e-6;
    };
    const samples = Array.from(track.timesS.keys()).filter(inside);
    const away = (i: number) => Math.abs(track.timesS[i] + offsetsS[c] - timeS);
    const sample = samples.reduce((a, b) => (away(b) < away(a) ? b : a));
    // The other cameras' frames are those nearest to the first camera's frame, not to the middle.
    if (c === 0) timeS = track.timesS[sample];
    return {
      camera: track.camera,
      frame: track.frames[sample],
      timeS: track.timesS[sample],
      corners: track.corners[sample]!,
      creepPxPerS: creepSpeed(track, samples[0], samples[samples.length - 1]),
    };
  });
  return { name: momentName(timeS), timeS, lengthS: common.endS - common.startS, views };
}

/** 't012.40' of 12.4 s. */
export const momentName = (timeS: number): string => `t${timeS.toFixed(2).padStart(6, '0')}`;

const clockShift = ({ creepPxPerS }: MomentView, { clockSlackS }: StillOptions): number => creepPxPerS * clockSlackS;

const sampleOf = (track: BoardTrack, frame: number): number => Array.prototype.indexOf.call(track.frames, frame);

/** The upper tenth of a camera's sharpness; NaN where it was not measured. */
function sharpest({ sharpness }: BoardTrack): number {
  const known = sharpness?.filter((value) => Number.isFinite(value)) ?? new Float64Array();
  return known.length > 0 ? quantile(known, 0.9) : Number.NaN;
}

/** Why a moment is not used, or null. */
function faultOf(
  tracks: readonly BoardTrack[],
  moment: StillMoment,
  limits: readonly number[],
  options: StillOptions,
): string | null {
  for (const [c, view] of moment.views.entries()) {
    const shift = clockShift(view, options);
    if (tracks.length > 1 && !(shift <= options.mostClockShiftPx)) {
      return `${view.camera}: the board creeps at ${view.creepPxPerS.toFixed(1)} px/s; with clocks known to ${options.clockSlackS} s that is up to ${shift.toFixed(1)} px (limit ${options.mostClockShiftPx} px)`;
    }
    const sharpness = tracks[c].sharpness?.[sampleOf(tracks[c], view.frame)] ?? Number.NaN;
    if (sharpness < limits[c]) {
      const share = (options.leastSharpness * sharpness) / limits[c];
      return `${view.camera}: ${Math.round(100 * share)} % as sharp as its sharpest pictures (limit ${Math.round(100 * options.leastSharpness)} %)`;
    }
  }
  return null;
}
