import { clockNotDetermined } from '../../messages/clocks.ts';
import { type Context, converge, LONGEST_STEP_S, RANKING_STEP_S, typicalScale } from './converge-clocks.ts';
import { RIVAL_RESIDUAL_FACTOR } from './limits.ts';
import { roughOffset } from './rough-offset.ts';
import type { ClockState } from './view-time.ts';

/** Starts as given, or the rough offset; where rough rivals exist, the one whose views fit clearly best. */
export function startOffsets(context: Context, startS?: readonly number[]): ClockState {
  const { tracks } = context;
  const clocks = (offsets: ArrayLike<number>): ClockState => ({
    offsetS: Float64Array.from(offsets),
    drift: new Float64Array(tracks.length),
    readoutS: Float64Array.from(tracks, ({ readoutS }) => readoutS),
  });
  if (startS) return clocks(startS);
  const rough = roughOffset(tracks);
  const offsets = rough.map(({ offsetS }) => offsetS);
  for (let v = 1; v < tracks.length; v++) {
    if (rough[v].rivals.length === 0) continue;
    context.notes.push(...rough[v].notes);
    const candidates = [rough[v].offsetS, ...rough[v].rivals.map(({ offsetS }) => offsetS)];
    offsets[v] = bestOf(context, v, offsets[0], candidates);
  }
  return clocks(offsets);
}

/** Of several starts of one view, the one with the smallest residuals against the first view. */
function bestOf(context: Context, v: number, firstOffsetS: number, candidates: readonly number[]): number {
  const pair: Context = {
    tracks: [context.tracks[0], context.tracks[v]],
    views: [context.views[0], context.views[v]],
    cameras: [context.cameras[0], context.cameras[v]],
    notes: [],
  };
  const ranked = candidates
    .map((offsetS) => {
      const start = {
        offsetS: Float64Array.of(firstOffsetS, offsetS),
        drift: new Float64Array(2),
        readoutS: Float64Array.of(context.tracks[0].readoutS, context.tracks[v].readoutS),
      };
      try {
        const { clocks, fit } = converge(pair, start, [{ kind: 'offset', camera: 1 }], RANKING_STEP_S);
        return { offsetS: clocks.offsetS[1], scalePx: typicalScale(fit) };
      } catch {
        return { offsetS, scalePx: Number.POSITIVE_INFINITY };
      }
    })
    .sort((a, b) => a.scalePx - b.scalePx);
  const rival = ranked.find(({ offsetS }) => Math.abs(offsetS - ranked[0].offsetS) > LONGEST_STEP_S);
  if (rival && rival.scalePx < RIVAL_RESIDUAL_FACTOR * ranked[0].scalePx) {
    throw clockNotDetermined(context.tracks[v].camera, 'repetitions-alike', {
      offsetS: ranked[0].offsetS,
      rivalS: rival.offsetS,
      scalePx: ranked[0].scalePx,
      rivalPx: rival.scalePx,
    });
  }
  return ranked[0].offsetS;
}
