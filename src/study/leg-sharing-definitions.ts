import type { QuantityEntry } from './quantity-entry.ts';

const LEGS = ['left', 'right'] as const;
const ASSUMED =
  'By an assumed sharing of the floor’s force between the feet (setting leg_sharing), not measured: never the same as moments from force plates. Empty where the assumptions cannot hold.';

/** Quantities of one leg without force plates (docs/method/leg-sharing.md). */
export const LEG_SHARING_QUANTITIES: readonly QuantityEntry[] = [
  {
    quantity: 'vertical_share',
    unit: '',
    sides: LEGS,
    definition: `Part of the upward force of the floor on this foot, 0 to 1. ${ASSUMED}`,
  },
  ...(['hip', 'knee', 'ankle'] as const).map(
    (joint): QuantityEntry => ({
      quantity: `${joint}_moment_shared`,
      unit: 'nm',
      sides: LEGS,
      definition: `Net internal moment at the ${joint} of one leg about the sideways axis of the lab, sign as ${joint}_moment. ${ASSUMED}`,
    }),
  ),
  ...(['hip', 'knee'] as const).map(
    (joint): QuantityEntry => ({
      quantity: `${joint}_abductor_moment_shared`,
      unit: 'nm',
      sides: LEGS,
      definition: `Net internal moment at the ${joint} of one leg about the forward axis of the lab; positive = what pulls the leg outward holds. Depends most on how the feet press towards each other, which nothing in the movement tells. ${ASSUMED}`,
    }),
  ),
];
