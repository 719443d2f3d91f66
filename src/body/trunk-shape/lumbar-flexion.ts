import type { Sex } from '../../capture/recording.ts';

const RAD = Math.PI / 180;

/**
 * Flexion of the lumbar spine (thorax against pelvis, since standing) of a trunk whose line from mid-hip to mid-shoulder
 * leans by `leanRad`: 63.8° · tanh(lean / 73.6°). Odd, so that a trunk that leans back extends; smooth, so that no
 * acceleration is made of a corner.
 *
 * It is the mean of two studies of people bending forward, over the lean τ of the thorax:
 * Esola MA, McClure PW, Fitzgerald GK, Siegler S (1996) Spine 21(1):71–78, 41 people: lumbar to hip flexion 1.9 up to 30°, 0.9
 * from 30° to 60°, 0.4 from 60° to 90° (the last taken on beyond);
 * Tafazzol A, Arjmand N, Shirazi-Adl A, Parnianpour M (2014) Clin Biomech 29(1):7–13, eight men: whole lumbar to whole pelvic
 * rotation from 2.51 (0–30°) to 1.34 (90–120°), linear between the middles.
 * The line leans less than the thorax, λ = τ − φ + δ(φ) with the shape of `spine-shape.ts`; the tanh is within 0.7° of the
 * mean course carried over to λ (tests/body/trunk-shape.test.ts).
 */
export function lumbarFlexionRad(leanRad: number): number {
  return LARGEST_RAD * Math.tanh(leanRad / SCALE_RAD);
}

const LARGEST_RAD = 63.8 * RAD;
const SCALE_RAD = 73.6 * RAD;

/**
 * How much of that a lift uses, 1. Squats are done with a braced back: McKean MR, Dunn PK, Burkett BJ (2010) J Strength Cond
 * Res 24(10):2731–2741 measured 26° (18 men) and 13° (12 women) of lumbar flexion down a back squat with half the body
 * weight, where the curve has 34.8° at 45° of lean (their lean is not in the abstract: 45° taken). Other lifts: all of it.
 */
export function flexionShare(liftKind: string, sex: Sex): number {
  if (!liftKind.includes('squat')) return 1;
  if (sex === 'unknown') return (SQUAT_SHARE.male + SQUAT_SHARE.female) / 2;
  return SQUAT_SHARE[sex];
}

const SQUAT_SHARE = { male: 0.75, female: 0.37 } as const;

/**
 * Standard deviation of that share, 1: of the two studies of the curve one has a fifth less and one a fifth more; women and men
 * who squat differ by a factor of two.
 */
export const FLEXION_SHARE_SD = 0.35;
