import type { MeasuredQuality, RigQuality } from '../../cameras/rig.ts';
import { uncertaintyReasons } from '../../messages/uncertainty.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';
import type { Cause, GroupCauses } from './cause.ts';

/** Standard deviations to the angle that holds 95 % of a direction's errors, alike to all sides: √(−2 ln 0.05) (Rayleigh). */
export const ROUND_95 = Math.sqrt(-2 * Math.log(0.05));

/** A cause of scale that the joint covariance of the cameras holds already. */
const IN_COVARIANCE = 'pixel noise and geometry';

/** The vertical of the rig: a turn of all points about the lab's X and Z axes through the lifter's place on the floor. */
export function verticalCauses(quality: RigQuality | null, rigKey: string, trajectories: Trajectories): GroupCauses {
  const group = 'vertical' as const;
  if (quality === null) return { group, causes: [], notIncluded: uncertaintyReasons.noRigForVertical() };
  const vertical = quality.measured?.vertical ?? null;
  if (vertical === null) return { group, causes: [], notIncluded: uncertaintyReasons.verticalNotStated() };
  const sdRad = (vertical.halfWidth95Deg / ROUND_95) * (Math.PI / 180);
  if (!(sdRad > 0)) return { group, causes: [], notIncluded: '' };
  const [x, y, z] = standingPlace(trajectories);
  const causes: Cause[] = [
    {
      group,
      key: `${rigKey}/vertical forward`,
      label: 'vertical, forward',
      movePoints: (position, value) => {
        const angle = sdRad * value;
        for (let i = 0; i < position.length; i += 3) {
          const dx = position[i] - x;
          position[i] += angle * (position[i + 1] - y);
          position[i + 1] -= angle * dx;
        }
      },
    },
    {
      group,
      key: `${rigKey}/vertical sideways`,
      label: 'vertical, sideways',
      movePoints: (position, value) => {
        const angle = sdRad * value;
        for (let i = 0; i < position.length; i += 3) {
          const dz = position[i + 2] - z;
          position[i + 2] += angle * (position[i + 1] - y);
          position[i + 1] -= angle * dz;
        }
      },
    },
  ];
  return { group, causes, notIncluded: '' };
}

/** The scale of the rig from causes that the covariance of its cameras does not hold: the length it was made from. */
export function scaleCause(measured: MeasuredQuality | undefined, rigKey: string, trajectories: Trajectories): Cause[] {
  const causes = Object.entries(measured?.scale?.causes ?? {}).filter(([name]) => name !== IN_COVARIANCE);
  const sdShare = Math.hypot(...causes.map(([, sd]) => sd));
  if (!(sdShare > 0)) return [];
  const [x, y, z] = standingPlace(trajectories);
  return [
    {
      group: 'calibration',
      key: `${rigKey}/scale`,
      label: 'scale: the length the rig was made from',
      movePoints: (position, value) => {
        const share = sdShare * value;
        for (let i = 0; i < position.length; i += 3) {
          position[i] += share * (position[i] - x);
          position[i + 1] += share * (position[i + 1] - y);
          position[i + 2] += share * (position[i + 2] - z);
        }
      },
    },
  ];
}

/** Where the lifter stands: mean of the ankles, on the floor; the mean of all points where there are no ankles. */
function standingPlace({ landmarks, frames, position, floorHeightM }: Trajectories): readonly [number, number, number] {
  const ankles = landmarks.flatMap((name, column) => (name.endsWith('_ankle') ? [column] : []));
  const columns = ankles.length > 0 ? ankles : landmarks.map((_, column) => column);
  let [x, z, n] = [0, 0, 0];
  for (let f = 0; f < frames; f++) {
    for (const column of columns) {
      const i = 3 * (f * landmarks.length + column);
      if (Number.isNaN(position[i])) continue;
      x += position[i];
      z += position[i + 2];
      n++;
    }
  }
  return n > 0 ? [x / n, floorHeightM, z / n] : [0, floorHeightM, 0];
}
