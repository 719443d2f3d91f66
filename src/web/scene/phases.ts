import type { ScenePayload, SceneRepetition } from './payload.ts';

export type PhaseName = 'descent' | 'ascent' | 'standing';

/** Where in the set a frame lies. */
export interface Place {
  /** Index into `repetitions` of the repetition the frame belongs to, or lies nearest to; −1 where there is none. */
  repetition: number;
  /** 'standing' outside the phases. */
  phase: PhaseName;
  /** Per cent of the repetition's own drop, 0 at its top, 100 at its bottom; NaN outside the phases and where not known. */
  downPct: number;
}

/** First frame of a repetition and the one after its last. */
export function wholeRange({ descent, ascent, bottom }: SceneRepetition): [from: number, to: number] {
  return [firstFrame(descent, ascent, bottom), lastFrame(descent, ascent, bottom) + 1];
}

type Range = readonly [from: number, to: number] | null;
const firstFrame = (descent: Range, ascent: Range, bottom: number) =>
  Math.min(bottom, descent ? descent[0] : bottom, ascent ? ascent[0] : bottom);
const lastFrame = (descent: Range, ascent: Range, bottom: number) =>
  Math.max(bottom, descent ? descent[1] - 1 : bottom, ascent ? ascent[1] - 1 : bottom);

/** Index of the repetition that a frame lies in or nearest to; −1 where there is none. */
export function nearestRepetition(repetitions: readonly SceneRepetition[], frame: number): number {
  let best = -1;
  let nearest = Number.POSITIVE_INFINITY;
  for (let r = 0; r < repetitions.length; r++) {
    const { descent, ascent, bottom } = repetitions[r];
    const away = Math.max(firstFrame(descent, ascent, bottom) - frame, frame - lastFrame(descent, ascent, bottom), 0);
    if (away < nearest) {
      nearest = away;
      best = r;
    }
  }
  return best;
}

/** The place of a frame (may be fractional), written to `out`. */
export function placeInto(out: Place, payload: ScenePayload, frame: number): Place {
  out.repetition = nearestRepetition(payload.repetitions, frame);
  out.phase = 'standing';
  out.downPct = Number.NaN;
  if (out.repetition < 0) return out;
  const found = payload.repetitions[out.repetition];
  if (within(found.descent, frame)) out.phase = 'descent';
  else if (within(found.ascent, frame)) out.phase = 'ascent';
  if (out.phase !== 'standing') out.downPct = downPct(payload, found, frame);
  return out;
}

function within(range: readonly [number, number] | null, frame: number): boolean {
  return range !== null && frame >= range[0] && frame < range[1];
}

/** Whether a frame (may be fractional) belongs to a way down or a way up. */
export function isInPhase({ repetitions }: ScenePayload, frame: number): boolean {
  return repetitions.some(({ descent, ascent }) => within(descent, frame) || within(ascent, frame));
}

/** Per cent of the repetition's drop at a frame (may be fractional); NaN where the height is not known. */
export function downPct(payload: ScenePayload, { top, bottom }: SceneRepetition, frame: number): number {
  const { height } = payload.series;
  if (!height) return Number.NaN;
  const f = Math.max(0, Math.min(payload.frames - 1, frame));
  const i = Math.floor(f);
  const share = f - i;
  const here = share === 0 ? height[i] : height[i] + share * (height[i + 1] - height[i]);
  return (100 * (height[top] - here)) / (height[top] - height[bottom]);
}
