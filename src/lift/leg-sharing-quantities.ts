import { LOADED_JOINTS } from '../mechanics/joint-loads.ts';
import { abductorOf, extensorOf } from '../mechanics/leg-sharing/leg-moments.ts';
import type { LegSharing } from '../mechanics/leg-sharing/leg-sharing.ts';
import type { FrameQuantity } from './lift-record.ts';

const LEGS = ['left', 'right'] as const;

/**
 * Loads of each leg by an assumed sharing: never the columns of measured forces. vertical_share, 1; moments in N·m, extensor or
 * abductor positive, about the lab's axes through the leg's own joint centres. None where the sharing is switched off.
 */
export function legSharingQuantities(shared: LegSharing | null): FrameQuantity[] {
  if (!shared) return [];
  const reason = shared.reason === '' ? undefined : shared.reason;
  const shares = { left: shared.shareLeft, right: shared.shareLeft.map((share) => 1 - share) };
  return [
    ...LEGS.map(
      (side): FrameQuantity => ({ quantity: 'vertical_share', side, unit: '', values: shares[side], reason }),
    ),
    ...LOADED_JOINTS.flatMap((joint) =>
      LEGS.map(
        (side): FrameQuantity => ({
          quantity: `${joint}_moment_shared`,
          side,
          unit: 'nm',
          values: extensorOf(shared[side].moments, joint),
          reason,
        }),
      ),
    ),
    ...(['hip', 'knee'] as const).flatMap((joint) =>
      LEGS.map(
        (side): FrameQuantity => ({
          quantity: `${joint}_abductor_moment_shared`,
          side,
          unit: 'nm',
          values: abductorOf(shared[side].moments, joint, side),
          reason,
        }),
      ),
    ),
  ];
}
