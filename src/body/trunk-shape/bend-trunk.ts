import type { Recording } from '../../capture/recording.ts';
import { type BodyPoint, SIDES } from '../body-points.ts';
import type { PointSeries } from '../point-series.ts';
import { FLEXION_SHARE_SD, flexionShare, lumbarFlexionRad } from './lumbar-flexion.ts';
import { combinedShare, measuredShare } from './measured-share.ts';
import { shoulderRise } from './shoulder-girdle.ts';
import { bentCentreInto, type SpineShape, spineShape, type TrunkCentre } from './spine-shape.ts';

/** How a trunk bends: the shape of the athlete's sex, and the share of the published flexion that the lift uses. */
export interface TrunkBend {
  readonly shape: SpineShape;
  readonly share: number;
  /** True where points of the back took part in the share. */
  readonly measured: boolean;
}

/**
 * Null where the recording says that the trunk is straight. Points of the back (neck_base and mid_back), where they are known,
 * sharpen the share that is published for the lift.
 */
export function trunkBendOf(
  { settings, lift, athlete }: Recording,
  known: ReadonlyMap<BodyPoint, PointSeries>,
): TrunkBend | null {
  if (settings.trunk === 'straight') return null;
  const shape = spineShape(athlete.sex);
  const measured = measuredShare(known, shape);
  const share = combinedShare(flexionShare(lift.kind, athlete.sex), FLEXION_SHARE_SD, measured);
  return { shape, share, measured: measured !== null };
}

/**
 * Moves the centre of a straight trunk (in place, `3 * frame`) to where it lies in a bent one: by flexion of the lumbar spine
 * as the line leans, and down the line by what the shoulders have risen with the arms. A function of each frame's own points.
 *
 * Forward is square to the line in the sagittal plane: (c, −s) for the direction (s, c). An arm without an elbow raises no
 * shoulder.
 */
export function bendTrunkInPlace(
  centre: PointSeries,
  axis: Float64Array,
  known: ReadonlyMap<BodyPoint, PointSeries>,
  bend: TrunkBend,
): void {
  const hips = known.get('mid_hip');
  const shoulders = known.get('mid_shoulder');
  if (!hips || !shoulders) return;
  const arms = SIDES.flatMap((side) => {
    const [shoulder, elbow] = [known.get(`${side}_shoulder`), known.get(`${side}_elbow`)];
    return shoulder && elbow ? [{ shoulder, elbow }] : [];
  });
  const found: TrunkCentre = { up: 0, forward: 0 };
  const { atan2, sqrt } = Math;
  for (let i = 0; i < centre.length; i += 3) {
    const [x, y, z] = [axis[i], axis[i + 1], axis[i + 2]];
    const lengthM =
      (shoulders[i] - hips[i]) * x + (shoulders[i + 1] - hips[i + 1]) * y + (shoulders[i + 2] - hips[i + 2]) * z;
    bentCentreInto(found, bend.shape, bend.share * lumbarFlexionRad(atan2(x, y)));
    let cosine = 0;
    for (const { shoulder, elbow } of arms) cosine += cosineToTrunk(shoulder, elbow, i, x, y, z);
    const rise = arms.length > 0 ? shoulderRise(cosine / arms.length) : 0;
    // How far up the line the straight trunk's centre lies, as a share: the table's, or a draw of it.
    const straight =
      ((centre[i] - hips[i]) * x + (centre[i + 1] - hips[i + 1]) * y + (centre[i + 2] - hips[i + 2]) * z) / lengthM;
    const up = lengthM * (found.up - rise * (straight + found.up));
    const forward = (lengthM * (1 - rise) * found.forward) / sqrt(x * x + y * y);
    centre[i] += up * x + forward * y;
    centre[i + 1] += up * y - forward * x;
    centre[i + 2] += up * z;
  }
}

/** Cosine of the angle between an upper arm and the trunk's line downward, at offset i. */
function cosineToTrunk(shoulder: PointSeries, elbow: PointSeries, i: number, x: number, y: number, z: number): number {
  const dx = elbow[i] - shoulder[i];
  const dy = elbow[i + 1] - shoulder[i + 1];
  const dz = elbow[i + 2] - shoulder[i + 2];
  return -(dx * x + dy * y + dz * z) / Math.sqrt(dx * dx + dy * dy + dz * dz);
}
