import type { Landmark } from './landmarks.ts';

/** A joint centre that a marker system does not track itself, and the markers it comes from (docs/method/angles.md). */
export interface CentreFromMarkers {
  readonly centre: Landmark;
  readonly from: readonly Landmark[];
}

const PELVIS: readonly Landmark[] = ['left_asis', 'right_asis', 'left_psis', 'right_psis'];

/** Hips by a regression on the pelvis; knees, ankles and elbows midway between their inner and outer side. */
export const CENTRES_FROM_MARKERS: readonly CentreFromMarkers[] = (['left', 'right'] as const).flatMap((side) => [
  { centre: `${side}_hip`, from: PELVIS },
  ...(['knee', 'ankle', 'elbow'] as const).map((joint) => ({
    centre: `${side}_${joint}` as const,
    from: [`${side}_${joint}_medial`, `${side}_${joint}_lateral`] as const,
  })),
]);
