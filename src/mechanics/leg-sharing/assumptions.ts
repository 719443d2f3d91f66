/**
 * The six things that nothing but a force plate under each foot can tell, as numbers: how far they are from what is usually
 * assumed. All zero = the usual assumptions. With them and the six components of the total, all twelve unknowns follow
 * (docs/method/leg-sharing.md).
 *
 * Forces and moments that cancel between the feet are shares of half the vertical force times 4 s (1 − s), s being one foot's
 * part of it: 1 where the feet share alike, 0 where a foot carries nothing and can therefore neither shear nor turn.
 */
export interface SharingAssumptions {
  /** Centre of pressure of a foot outward of the line from its heel to its second toe, metres; away from the other foot positive. */
  readonly outwardLeftM: number;
  readonly outwardRightM: number;
  /** How much further along its foot the left centre of pressure lies than the right one, share of the foot's length. */
  readonly alongDifference: number;
  /** Force of the floor that pushes the feet towards each other (the lifter spreads the floor), share as above. */
  readonly squeezeShare: number;
  /** Forward force on the left foot and the same backward on the right one, share as above. */
  readonly twistShare: number;
  /** Moment about the vertical (upward positive) that the left foot takes and the right one gives, metres times the share above. */
  readonly freeMomentM: number;
  /** Beside the six: the body's centre of mass further to the right than the points and tables say, metres. */
  readonly sidewaysM: number;
  /** How far the sharing lies from the chosen one towards the other: 0 = as chosen, 1 = the other one. */
  readonly towardsOther: number;
  /** How much of the difference between the moment about the mid-joint and the sum of the two legs' own is added to the former. */
  readonly sumOfLegs: number;
}

export const USUAL_ASSUMPTIONS: SharingAssumptions = {
  outwardLeftM: 0,
  outwardRightM: 0,
  alongDifference: 0,
  squeezeShare: 0,
  twistShare: 0,
  freeMomentM: 0,
  sidewaysM: 0,
  towardsOther: 0,
  sumOfLegs: 0,
};

/** Coefficient of friction between shoe and floor beyond which a sharing is not believed, 1. Rubber on a gym floor; common practice, no source. */
export const FRICTION = 0.6;

/**
 * Half the breadth of a foot, share of its length: breadth / length = 0.376 ± 0.017 in 4,082 men and 0.377 ± 0.018 in 1,986
 * women (US Army survey of 2012, measurements "foot length" and "foot breadth, horizontal").
 */
export const HALF_BREADTH_SHARE = 0.188;

/** The sole reaches past heel and toe, and past the foot's sides, by this share of the foot's length. Common practice, no source. */
export const SOLE_MARGIN_SHARE = 0.05;

/** From the tip of the big toe outward to the tip of the second one, share of the distance to the little toe's tip. Common practice, no source. */
export const SECOND_TOE_SHARE = 1 / 3;

/** From the tip of the big toe outward to the second one where the little toe is not seen, share of the foot's length. Common practice, no source. */
export const SECOND_TOE_OUTWARD_SHARE = 0.1;

/** Feet whose centres of pressure would be nearer than this, sideways of their lines, share no load that could be told, metres. Common practice, no source. */
export const NEAREST_FEET_M = 0.05;

/**
 * Hip points further apart than the first lie over the trochanters (some 0.37 m apart) and are drawn in along their line to the
 * second, as far apart as joint centres are (0.17–0.18 m), metres. Common practice, no source.
 */
export const WIDEST_HIP_CENTRES_M = 0.25;
export const HIP_CENTRES_APART_M = 0.18;
