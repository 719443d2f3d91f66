import type { GradedRig } from '../cameras/acceptance.ts';
import { rigVerdict } from '../messages/calibrate.ts';

/** How good a rig is and, where it is not good, why and what to do; several lines. */
export function gradeInWords({ grade, rows }: GradedRig): string {
  const deciding = rows.filter((row) => row.grade === grade && grade !== 'good');
  return rigVerdict(
    grade,
    deciding.map(({ limit, value, unit, camera, remedy, why }) => {
      const where = camera === null ? '' : `camera ${camera}: `;
      const size =
        value === null ? (why ?? 'not known') : `${Number(value.toPrecision(3))}${unit === '1' ? '' : ` ${unit}`}`;
      return `${where}${limit.means}: ${size}. ${remedy ?? ''}`.trim();
    }),
  );
}
