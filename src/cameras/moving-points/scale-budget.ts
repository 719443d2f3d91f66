/** What is known of the rod whose ends are tracked. */
export interface RodRule {
  /** Names of its two ends among the points of the tracks. */
  readonly ends: readonly [string, string];
  /** Distance of the ends, metres. */
  readonly lengthM: number;
  /** Standard deviation of that distance: the maker's tolerance, or of the tape. Metres. */
  readonly lengthSdM: number;
  /** Scatter of the tracked distance from moment to moment beyond pixel noise: play, whip in motion. Metres, > 0. */
  readonly scatterM: number;
  /** Standard deviation of the place along the rod that is found as its end, each end for itself, metres. */
  readonly endFindingSdM: number;
  /** Mean shortening by bending under load, metres; the fit uses lengthM less this, and half of it as its uncertainty. */
  readonly whipM: number;
}

/** Bars by the rules of weightlifting, metres (men 20 kg, women 15 kg). */
export const BAR_LENGTH_M = { men: 2.2, women: 2.01 } as const;
/** Tolerance of that length, ± 1 mm, taken as evenly spread; from memory of the rules, not verified. */
export const BAR_TOLERANCE_M = 0.001;
/** Along the bar a detector finds the cap now further out, now further in: 2 mm each end. Common practice, no source. */
export const END_FINDING_SD_M = 0.002;
/** Scatter of the end distance from moment to moment. Common practice, no source. */
export const ROD_SCATTER_M = 0.001;

export interface LoadedBar {
  /** Discs and collars on both sides together, kg. */
  readonly discsKg: number;
  /** Shaft between the inner collars: diameter, metres (28 mm men, 25 mm women). */
  readonly shaftDiameterM: number;
  readonly lengthM: number;
  /** From the middle of the bar to where the body carries it (hands or shoulders), and to the middle of the discs. */
  readonly supportAtM: number;
  readonly discsAtM: number;
}

/** Young's modulus of steel, Pa (handbook value; spring steels 200–210 GPa). */
const STEEL_PA = 205e9;

/**
 * How much nearer the ends of a loaded bar are than those of a straight one, metres, at rest: ∫ ½ θ² dx over the bar, θ the
 * slope of an Euler–Bernoulli beam on two supports with a load P = half the discs' weight outside each.
 *
 * Between the supports the moment is M = P (b − a), constant: θ = M x / EI. From support to discs it falls to zero:
 * θ = θ_a + P ((b − a) s − s²/2) / EI. From the discs outward the bar is straight. I = π d⁴/64; the sleeve's stiffness and
 * the bar's own weight are left out. In motion the load is up to about twice its weight, and the shortening, which goes with
 * the square, up to four times.
 */
export function whipShortening({ discsKg, shaftDiameterM, lengthM, supportAtM: a, discsAtM: b }: LoadedBar): number {
  const force = (discsKg / 2) * 9.80665;
  const stiffness = (STEEL_PA * Math.PI * shaftDiameterM ** 4) / 64;
  const l = b - a;
  const k = force / stiffness;
  const slopeA = k * l * a;
  const slopeB = slopeA + (k * l * l) / 2;
  // ∫₀^a (k l x)² dx
  const inner = (k * l) ** 2 * (a ** 3 / 3);
  // ∫₀^l (θ_a + k (l s − s²/2))² ds
  const middle = slopeA ** 2 * l + 2 * slopeA * k * (l ** 3 / 3) + k ** 2 * ((2 * l ** 5) / 15);
  const outer = slopeB ** 2 * (lengthM / 2 - b);
  return inner + middle + outer;
}

/** A competition bar by its rule length, loaded with discs (0 = empty), carried at the shoulders 0.2 m off its middle. */
export function competitionBar(bar: 'men' | 'women', discsKg: number): RodRule {
  const lengthM = BAR_LENGTH_M[bar];
  return {
    ends: ['bar_left_end', 'bar_right_end'],
    lengthM,
    lengthSdM: BAR_TOLERANCE_M / Math.sqrt(3),
    scatterM: ROD_SCATTER_M,
    endFindingSdM: END_FINDING_SD_M,
    whipM: whipShortening({
      discsKg,
      shaftDiameterM: bar === 'men' ? 0.028 : 0.025,
      lengthM,
      supportAtM: 0.2,
      // Inner collars 1.31 m apart; discs of 2.8 mm a kilogram (common practice, no source), the middle of their pack.
      discsAtM: 0.655 + (0.0028 * discsKg) / 4,
    }),
  };
}

/** A rod measured with a tape: a stick to be waved, or a bar of unknown make. */
export function measuredRod(ends: readonly [string, string], lengthM: number, lengthSdM: number): RodRule {
  return { ends, lengthM, lengthSdM, scatterM: ROD_SCATTER_M, endFindingSdM: END_FINDING_SD_M, whipM: 0 };
}

export interface ScaleBudget {
  readonly sdShare: number;
  readonly causes: Readonly<Record<string, number>>;
}

/** Standard deviation of the scale (share of every length) from causes that are independent of each other. */
export function scaleBudget(rod: RodRule, statisticalShare: number): ScaleBudget {
  const causes: Record<string, number> = {
    'length of the rod': rod.lengthSdM / rod.lengthM,
    'finding its ends': (Math.SQRT2 * rod.endFindingSdM) / rod.lengthM,
    'pixel noise and geometry': statisticalShare,
  };
  if (rod.whipM > 0) causes['bending under load'] = rod.whipM / 2 / rod.lengthM;
  return { sdShare: Math.hypot(...Object.values(causes)), causes };
}
