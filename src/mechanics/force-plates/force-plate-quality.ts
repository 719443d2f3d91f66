/** How far the clock of the force plates is off the movement's. */
export interface ForceClock {
  /** Seconds to add to the force plates' times; NaN where not known. */
  readonly offsetS: number;
  /** Standard error of it: scatter of the force, correlated in time; errors of the body model that follow the movement are in it only as far as they scatter. */
  readonly sdS: number;
  /** Correlation of measured and predicted vertical force at that offset. */
  readonly r: number;
  readonly framesUsed: number;
  /** Why it is not known; '' where it is. */
  readonly reason: string;
}

/** What the record of quality says of force plates. */
export interface ForcePlateQuality {
  readonly clock: ForceClock;
  /** True where the clock was shifted by it. */
  readonly clockApplied: boolean;
}
