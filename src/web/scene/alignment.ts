import type { ScenePayload, SceneRepetition } from './payload.ts';
import { downPct, nearestRepetition, wholeRange } from './phases.ts';

export type AlignBy = 'depth' | 'time';

/** Depths at which the second lift's frames are looked up: every half per cent of the drop, 0 to 100. */
const LEVELS = 201;

/**
 * The frame (fractional) of a second lift that belongs to a frame of the first; NaN where it has none.
 *
 * Repetition r of the first goes with repetition r of the second, or with its last where it has fewer.
 * `time`: both at the same number of seconds after the repetition begins. `depth`: both at the same share of their own drop,
 * way down against way down and way up against way up; before, between and after, the second stands as it begins or ends.
 */
export function alignment(first: ScenePayload, second: ScenePayload, by: AlignBy): (frame: number) => number {
  const pairs = first.repetitions.map((mine, r) => {
    const theirs = second.repetitions[Math.min(r, second.repetitions.length - 1)];
    return theirs ? { mine, theirs, frameAt: by === 'depth' ? framesByDepth(second, theirs) : null } : null;
  });
  const perFrame = second.frameRateHz / first.frameRateHz;
  const last = second.frames - 1;
  const kept = (frame: number) => (frame >= 0 && frame <= last ? frame : Number.NaN);

  return (frame) => {
    const pair = pairs[nearestRepetition(first.repetitions, frame)];
    if (!pair) return Number.NaN;
    const { mine, theirs, frameAt } = pair;
    const [from, to] = wholeRange(mine);
    const [theirFrom, theirTo] = wholeRange(theirs);
    if (!frameAt) return kept(theirFrom + (frame - from) * perFrame);
    if (frame < from) return theirFrom;
    if (frame >= to) return theirTo - 1;
    const phase = mine.descent && frame >= mine.descent[0] && frame < mine.descent[1] ? 'descent' : 'ascent';
    const levels = frameAt[phase];
    const level = (Math.max(0, Math.min(100, downPct(first, mine, frame))) / 100) * (LEVELS - 1);
    if (!levels || Number.isNaN(level)) return Number.NaN;
    const i = Math.min(LEVELS - 2, Math.floor(level));
    return levels[i] + (level - i) * (levels[i + 1] - levels[i]);
  };
}

/** Frames at which each level of depth is first reached on the way down, and last left on the way up; null without the phase. */
function framesByDepth(payload: ScenePayload, repetition: SceneRepetition) {
  const of = (range: readonly [number, number] | null, deepFirst: boolean): Float64Array | null => {
    if (!range) return null;
    const frames = new Float64Array(LEVELS);
    // From the shallow end to the deep one, whichever way the time runs; the bottom itself belongs to both.
    const shallow = deepFirst ? range[1] - 1 : range[0];
    const deep = deepFirst ? Math.min(range[0], repetition.bottom) : Math.max(range[1] - 1, repetition.bottom);
    const step = deepFirst ? -1 : 1;
    let frame = shallow;
    let here = downPct(payload, repetition, frame);
    let before = here;
    for (let k = 0; k < LEVELS; k++) {
      const level = (100 * k) / (LEVELS - 1);
      while (!(here >= level) && frame !== deep) {
        if (!Number.isNaN(here)) before = here;
        frame += step;
        here = downPct(payload, repetition, frame);
      }
      const back = here > level && frame !== shallow && here > before ? (here - level) / (here - before) : 0;
      frames[k] = frame - step * Math.min(1, back);
    }
    return frames;
  };
  return { descent: of(repetition.descent, false), ascent: of(repetition.ascent, true) };
}
