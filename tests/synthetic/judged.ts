import type { LiftRecord } from '../../src/lift/lift-record.ts';
import type { VirtualLift } from './lift.ts';
import { trueInstants } from './truth.ts';

/** A result that intervals are judged by: how the analyser gives it, and what is true. */
export interface Judged {
  readonly name: string;
  readonly unit: string;
  /** A measure by name, place and side, or a curve point at thigh elevation 0 by quantity and phase. */
  readonly found:
    | { readonly measure: string; readonly at: string; readonly side: 'both' | 'left' | 'right' | '' }
    | { readonly quantity: string; readonly phase: 'descent' | 'ascent' };
}

export const JUDGED = [
  { name: 'hip share at parallel, descent', unit: '1', found: share('parallel descent') },
  { name: 'hip share at parallel, ascent', unit: '1', found: share('parallel ascent') },
  { name: 'hip share at the bottom', unit: '1', found: share('bottom') },
  {
    name: 'trunk lean at parallel, descent',
    unit: 'deg',
    found: { measure: 'trunk_lean', at: 'parallel descent', side: '' },
  },
  { name: 'knee over toe, largest', unit: 'm', found: { measure: 'knee_over_toe', at: 'largest', side: 'right' } },
  { name: 'peak bar velocity', unit: 'm_per_s', found: { measure: 'bar_velocity_peak', at: 'ascent', side: '' } },
  { name: 'hip moment at parallel, descent', unit: 'nm', found: { quantity: 'hip_moment', phase: 'descent' } },
  { name: 'knee moment at parallel, descent', unit: 'nm', found: { quantity: 'knee_moment', phase: 'descent' } },
  { name: 'hip moment at parallel, ascent', unit: 'nm', found: { quantity: 'hip_moment', phase: 'ascent' } },
  { name: 'knee moment at parallel, ascent', unit: 'nm', found: { quantity: 'knee_moment', phase: 'ascent' } },
] as const satisfies readonly Judged[];

export type JudgedName = (typeof JUDGED)[number]['name'];

function share(at: 'parallel descent' | 'parallel ascent' | 'bottom') {
  return { measure: 'hip_share', at, side: 'both' } as const;
}

export type JudgedValues = Readonly<Record<JudgedName, number>>;

/** The true values of repetition `index` (0, 1 …). */
export function judgedTruth(lift: VirtualLift, index: number): JudgedValues {
  const { parallelDescent: down, parallelAscent: up, bottom } = trueInstants(lift, index);
  const { startS, descentS, pauseS, ascentS } = lift.course.repetitions[index];
  const [lowest, end] = [startS + descentS + pauseS, startS + descentS + pauseS + ascentS];
  const kneeOverToe = (t: number) => {
    const { knee, bigToe } = lift.postureAt(t).legs;
    return knee[0] - bigToe[0];
  };
  const barHeight = (t: number) => lift.postureAt(t).upper.bar[1];
  const h = 1e-3;
  return {
    'hip share at parallel, descent': down.hipShare,
    'hip share at parallel, ascent': up.hipShare,
    'hip share at the bottom': bottom.hipShare,
    'trunk lean at parallel, descent': down.trunkLeanDeg,
    'knee over toe, largest': largestOf(kneeOverToe, startS - 0.1, end),
    'peak bar velocity': largestOf((t) => (barHeight(t + h) - barHeight(t - h)) / (2 * h), lowest, end),
    'hip moment at parallel, descent': down.loads.hip.total,
    'knee moment at parallel, descent': down.loads.knee.total,
    'hip moment at parallel, ascent': up.loads.hip.total,
    'knee moment at parallel, ascent': up.loads.knee.total,
  };
}

/** Largest value of a smooth function, by steps of 0.03 s and a parabola through the best and its neighbours. */
function largestOf(f: (t: number) => number, from: number, to: number): number {
  const step = 0.03;
  const values = Array.from({ length: Math.ceil((to - from) / step) + 1 }, (_, i) => f(from + i * step));
  const best = values.reduce((at, value, i) => (value > values[at] ? i : at), 0);
  if (best === 0 || best === values.length - 1) return values[best];
  const [a, b, c] = [values[best - 1], values[best], values[best + 1]];
  const bend = a - 2 * b + c;
  return bend === 0 ? b : b - (c - a) ** 2 / (8 * bend);
}

/** A found result with its interval; NaN where unknown. */
export interface FoundValue {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

const UNKNOWN: FoundValue = { value: Number.NaN, lower: Number.NaN, upper: Number.NaN };

/** The analyser's value of repetition `number` (1, 2 …). */
export function judgedFound(record: LiftRecord, { found }: Judged, number: number): FoundValue {
  if ('measure' in found) {
    const { measure, at, side } = found;
    const of = record.measures.find(
      (one) => one.measure === measure && one.at === at && one.side === side && one.repetition === number,
    );
    return of ?? UNKNOWN;
  }
  const of = record.curves.find(
    (one) =>
      one.quantity === found.quantity &&
      one.phase === found.phase &&
      one.grid === 'thigh_elevation_deg' &&
      one.depth === 0 &&
      one.side === 'both' &&
      one.repetition === number,
  );
  return of ?? UNKNOWN;
}
