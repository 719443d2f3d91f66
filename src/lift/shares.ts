import { RATIO_KNEE_SHARE, SHARE_FLOOR_NM_PER_KG } from './limits.ts';

/**
 * hip / (hip + knee), 1; NaN where hip + knee does not exceed the floor for the mass carried. Moments N·m, extensor positive.
 * Below 0 or above 1 where one of the two is a flexor moment.
 */
export function hipShare(hip: number, knee: number, systemMassKg: number): number {
  return share(hip, hip + knee, systemMassKg);
}

/** ankle / (hip + knee + ankle), 1; NaN where the support moment does not exceed the same floor. */
export function ankleShare(hip: number, knee: number, ankle: number, systemMassKg: number): number {
  return share(ankle, hip + knee + ankle, systemMassKg);
}

/** hip / knee, 1; NaN where hip_share is, and where the knee moment is less than RATIO_KNEE_SHARE of hip + knee. */
export function hipKneeRatio(hip: number, knee: number, systemMassKg: number): number {
  const sum = hip + knee;
  if (!(sum > SHARE_FLOOR_NM_PER_KG * systemMassKg) || !(knee >= RATIO_KNEE_SHARE * sum)) return Number.NaN;
  return hip / knee;
}

function share(part: number, whole: number, systemMassKg: number): number {
  return whole > SHARE_FLOOR_NM_PER_KG * systemMassKg ? part / whole : Number.NaN;
}
