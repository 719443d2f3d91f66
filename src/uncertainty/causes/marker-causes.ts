import { offsetPointOf, offsetTable } from '../../body/keypoint-offsets.ts';
import type { MarkerCentres } from '../../body/marker-centres/marker-centres.ts';
import { CENTRES_FROM_MARKERS } from '../../capture/centre-markers.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';
import type { Cause } from './cause.ts';
import type { PointOwner } from './keypoint-causes.ts';

const AXES = ['forward', 'up', 'outward'] as const;

/**
 * Joint centres derived from markers against the true ones: of the hips the error of the regression, the same on both sides; of
 * knees, ankles and elbows the offset that the detector's table gives this joint, each side its own, by way of its two markers.
 */
export function markerCauses(
  { derived, regression }: MarkerCentres,
  { detector, kind, athleteId }: PointOwner,
  { landmarks, frames }: Pick<Trajectories, 'landmarks' | 'frames'>,
): readonly Cause[] {
  const table = offsetTable(detector, kind);
  const causes: Cause[] = [];
  if (regression) {
    AXES.forEach((axis, a) => {
      causes.push({
        group: 'keypoints',
        key: `athlete/${athleteId}/hips by ${regression.name} ${axis}`,
        label: `hips from the pelvis ${axis}, both sides`,
        changeBody: (body, z) => {
          body.hipRegressionM[a] += regression.sdM[a] * z;
        },
      });
    });
  }
  for (const centre of derived) {
    const of = offsetPointOf(centre);
    const columns = CENTRES_FROM_MARKERS.find((rule) => rule.centre === centre)?.from.map((name) =>
      landmarks.indexOf(name),
    );
    if (!of || of.point === 'hip' || !columns) continue;
    AXES.forEach((axis, a) => {
      const sdM = table.offsets[of.point].sdM[a];
      if (!(sdM > 0)) return;
      const outward = a === 2 && of.side === 'left' ? -1 : 1;
      causes.push({
        group: 'keypoints',
        key: `detector/${table.detector}/${athleteId}/${of.point} from markers ${axis} ${of.side}`,
        label: `${of.point} from its markers ${axis}, ${of.side}`,
        movePoints: (position, z) => {
          const stride = 3 * landmarks.length;
          for (const column of columns)
            for (let i = 3 * column + a, f = 0; f < frames; f++, i += stride) position[i] += outward * sdM * z;
        },
      });
    });
  }
  return causes;
}
