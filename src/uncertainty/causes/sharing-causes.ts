import type { SharingAssumptions } from '../../mechanics/leg-sharing/assumptions.ts';
import type { LegSharing } from '../../mechanics/leg-sharing/leg-sharing.ts';
import { LEG_SHARING_SD } from '../priors.ts';
import type { Cause, GroupCauses } from './cause.ts';

const LABELS: Readonly<Record<keyof SharingAssumptions, string>> = {
  outwardLeftM: 'place of the pressure under the left foot, sideways',
  outwardRightM: 'place of the pressure under the right foot, sideways',
  alongDifference: 'pressure further forward under one foot than under the other',
  squeezeShare: 'feet that press towards or away from each other',
  twistShare: 'feet that push one forward, one backward',
  freeMomentM: 'feet that turn against each other on the floor',
  sidewaysM: 'centre of mass of the body to one side',
  towardsOther: 'which sharing holds: proportional or least effort',
  sumOfLegs: 'both legs about the mid-joint, against the sum of the two',
};

/** What belongs to body and shoes, and what a model leaves open, is common to an athlete's recordings; how the feet press is not. */
const OF_THE_ATHLETE: ReadonlySet<keyof SharingAssumptions> = new Set([
  'outwardLeftM',
  'outwardRightM',
  'sidewaysM',
  'towardsOther',
]);

/** What is assumed to share the floor's force between the feet. None where nothing is shared. */
export function sharingCauses(
  shared: LegSharing | null,
  owner: { readonly recordingId: string; readonly athleteId: string },
): GroupCauses {
  const group = 'leg sharing' as const;
  if (shared === null || shared.quality.framesShared === 0) return { group, causes: [], notIncluded: '' };
  // Free moments turn legs about the vertical: no measure has that in it.
  const names = (Object.keys(LABELS) as (keyof SharingAssumptions)[]).filter((name) => name !== 'freeMomentM');
  const causes = names.map(
    (name): Cause => ({
      group,
      key: `${OF_THE_ATHLETE.has(name) ? `athlete/${owner.athleteId}` : `recording/${owner.recordingId}`}/leg sharing ${name}`,
      label: LABELS[name],
      changeBody: ({ sharing }, z) => {
        sharing[name] += LEG_SHARING_SD[name] * z;
      },
    }),
  );
  return { group, causes, notIncluded: '' };
}
