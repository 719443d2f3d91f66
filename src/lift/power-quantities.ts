import { type JointLoads, LOADED_JOINTS } from '../mechanics/joint-loads.ts';
import { needsBar, needsForcePlates, needsUpperBody } from '../messages.ts';
import type { FrameQuantity } from './lift-record.ts';

/**
 * Powers, watts, positive where muscles add energy.
 *
 * `both`: of the moments about the mid-joints, by the primary way as they are, seen from the side; left and right, where force plates give their moments, in
 * three dimensions. `bar_power` is what the bar gets, `energy_rate` what lifter and bar get together.
 */
export function powerQuantities({ powers, primary, frames }: JointLoads): FrameQuantity[] {
  const unknown = () => new Float64Array(frames).fill(Number.NaN);
  const watts = (
    quantity: string,
    side: FrameQuantity['side'],
    values: Float64Array | null | undefined,
    needs: string,
  ): FrameQuantity => ({ quantity, side, unit: 'w', values: values ?? unknown(), reason: values ? undefined : needs });
  const both = primary === 'below' ? powers.bothFromBelow : powers.both;
  // From below a trunk that is not known leaves the hips' power unknown, and that of knees and ankles not.
  const known = (values: Float64Array | undefined) => (values?.some(Number.isFinite) ? values : null);
  const legs = (['left', 'right'] as const).filter((side) => powers[side] !== null);
  return [
    ...LOADED_JOINTS.flatMap((joint) => [
      watts(`${joint}_power`, 'both', known(both?.joints[joint]), needsUpperBody()),
      ...legs.map((side) => watts(`${joint}_power`, side, powers[side]?.joints[joint], needsForcePlates())),
    ]),
    watts('bar_power', null, powers.both?.bar, powers.both ? needsBar() : needsUpperBody()),
    {
      quantity: 'energy_rate',
      side: null,
      unit: 'w',
      // Made when it is read: draws never read it.
      get values() {
        return powers.both?.rest.energyRate ?? unknown();
      },
      reason: powers.both ? undefined : needsUpperBody(),
    },
  ];
}
