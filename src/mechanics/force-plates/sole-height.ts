import type { ForcePlateTrack } from '../../capture/recording.ts';
import { mean, median } from '../../numerics/statistics.ts';

/** Height of a force plate's surface, metres: of the centre of pressure where it is loaded. NaN where it never is. */
export function surfaceHeightM({ centreOfPressure }: ForcePlateTrack): number {
  const heights = [...centreOfPressure].filter((value, i) => i % 3 === 1 && Number.isFinite(value));
  return heights.length > 0 ? median(heights) : Number.NaN;
}

export interface SoleHeight {
  readonly surfaceM: number;
  readonly thicknessM: number;
}

/**
 * Where the foot's sole is while it stands on the force plates: their surface (mean where they differ) and the stated thickness of
 * the shoe's sole. null where no thickness is stated: centres of pressure then are given on the floor.
 */
export function soleHeight(forcePlates: readonly ForcePlateTrack[]): SoleHeight | null {
  const thicknessM = forcePlates.find((forcePlate) => forcePlate.soleThicknessM !== undefined)?.soleThicknessM;
  if (thicknessM === undefined) return null;
  const heights = forcePlates.map(surfaceHeightM).filter(Number.isFinite);
  return heights.length === 0 ? null : { surfaceM: mean(heights), thicknessM };
}
