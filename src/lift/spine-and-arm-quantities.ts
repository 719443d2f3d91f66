import { ARM_LOADED_JOINTS } from '../mechanics/arm-loads.ts';
import type { JointLoads } from '../mechanics/joint-loads.ts';
import { needsUpperBody } from '../messages.ts';
import type { FrameQuantity } from './lift-record.ts';

/** Net moments at L5/S1, shoulders and elbows, N·m about the lab's sideways axis, extensor positive, with the lumbosacral gravity part. */
export function spineAndArmQuantities({ lumbosacral, arms, frames }: JointLoads): FrameQuantity[] {
  const unknown = () => new Float64Array(frames).fill(Number.NaN);
  const nm = (
    quantity: string,
    side: FrameQuantity['side'],
    values: Float64Array | undefined,
    reason: string | undefined,
  ): FrameQuantity => ({ quantity, side, unit: 'nm', values: values ?? unknown(), reason });
  const needsTrunk = lumbosacral ? undefined : needsUpperBody();
  const arm = (joint: (typeof ARM_LOADED_JOINTS)[number], side: 'left' | 'right') => {
    const found = arms.find((load) => load.joint === joint && load.side === side);
    return nm(`${joint}_moment`, side, found?.moment.total, found ? found.reason || undefined : needsUpperBody());
  };
  return [
    nm('lumbosacral_moment', 'both', lumbosacral?.moment.total, needsTrunk),
    nm('lumbosacral_moment_gravity', 'both', lumbosacral?.moment.gravity, needsTrunk),
    ...ARM_LOADED_JOINTS.flatMap((joint) => [arm(joint, 'left'), arm(joint, 'right')]),
  ];
}
