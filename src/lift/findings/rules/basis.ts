import type { Basis } from '../rule.ts';

/** A threshold of the trade that no publication was found for. */
export const PRACTICE: Basis = { kind: 'common practice, no source', text: '' };

export const practice = (text: string): Basis => ({ kind: 'common practice, no source', text });
export const contested = (text: string): Basis => ({ kind: 'contested', text });
export const cited = (text: string): Basis => ({ kind: 'citation', text });

/** Lifts that begin with the way down: squats of every kind. */
export const SQUAT = { order: 'descent first' } as const;
export const FRONT_SQUAT = { order: 'descent first', bar: ['front rack'] } as const;
