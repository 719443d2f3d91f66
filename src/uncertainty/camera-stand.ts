import { cameraCentre } from '../cameras/camera-model.ts';
import { type Camera, NO_DISTORTION } from '../cameras/rig.ts';

/**
 * Where a phone stands, as a coach would say it, seen from a place on the floor under the lifter: on the lifter's left or
 * right, how far, how many degrees off straight sideways (positive towards the front, negative towards the back), how high.
 */
export interface Stand {
  readonly side: 'left' | 'right';
  readonly angleDeg: number;
  /** On the floor, from the lifter's middle to below the lens, metres. */
  readonly distanceM: number;
  readonly heightM: number;
  /** Height over the lifter's middle at which the picture's middle points, metres. */
  readonly aimHeightM: number;
}

/** The lens and picture of a phone, held still. `focalPx` 0-distortion pinhole. */
export interface PinholeLens {
  readonly imageWidth: number;
  readonly imageHeight: number;
  readonly focalPx: number;
}

/** Place of the lens in lab axes (X forward, Y up, Z right), the lifter's middle at (x0, 0, z0); metres. */
export function standPlace({ side, angleDeg, distanceM, heightM }: Stand, x0 = 0, z0 = 0): [number, number, number] {
  const angle = (angleDeg * Math.PI) / 180;
  return [x0 + distanceM * Math.sin(angle), heightM, z0 + (side === 'right' ? 1 : -1) * distanceM * Math.cos(angle)];
}

/** A level pinhole camera on a stand, looking at the lifter's middle. */
export function cameraOnStand(name: string, stand: Stand, lens: PinholeLens, x0 = 0, z0 = 0): Camera {
  return {
    name,
    imageWidth: lens.imageWidth,
    imageHeight: lens.imageHeight,
    fx: lens.focalPx,
    fy: lens.focalPx,
    cx: (lens.imageWidth - 1) / 2,
    cy: (lens.imageHeight - 1) / 2,
    skew: 0,
    distortion: NO_DISTORTION,
    ...lookingAt(standPlace(stand, x0, z0), [x0, stand.aimHeightM, z0]),
  };
}

/** A calibrated camera carried to another stand and pointed at the lifter, its lens kept, held level. */
export function cameraMoved(camera: Camera, stand: Stand, x0: number, z0: number): Camera {
  return { ...camera, ...lookingAt(standPlace(stand, x0, z0), [x0, stand.aimHeightM, z0]) };
}

/** The stand of a camera whose pose is in lab axes: the inverse of `cameraMoved`, but for roll and sideways aim. */
export function standOf(camera: Camera, x0: number, z0: number): Stand {
  const [x, y, z] = cameraCentre(camera);
  const [dx, dz] = [x - x0, z - z0];
  const distanceM = Math.hypot(dx, dz);
  const axis = camera.rotation.subarray(6, 9);
  const level = Math.hypot(axis[0], axis[2]);
  return {
    side: dz >= 0 ? 'right' : 'left',
    angleDeg: (Math.atan2(dx, Math.abs(dz)) * 180) / Math.PI,
    distanceM,
    heightM: y,
    aimHeightM: y + (distanceM * axis[1]) / level,
  };
}

/** Rows of cameraFromWorld: right in the picture, down in the picture, ahead. */
function lookingAt(
  from: readonly [number, number, number],
  to: readonly [number, number, number],
): Pick<Camera, 'rotation' | 'translation'> {
  const d = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
  const far = Math.hypot(d[0], d[1], d[2]);
  const [ax, ay, az] = [d[0] / far, d[1] / far, d[2] / far];
  const level = Math.hypot(ax, az);
  // right = ahead × up, down = ahead × right
  const [rx, rz] = [-az / level, ax / level];
  const down = [ay * rz, az * rx - ax * rz, -ay * rx];
  const rotation = Float64Array.of(rx, 0, rz, down[0], down[1], down[2], ax, ay, az);
  const translation = Float64Array.from(
    [0, 3, 6],
    (row) => -(rotation[row] * from[0] + rotation[row + 1] * from[1] + rotation[row + 2] * from[2]),
  );
  return { rotation, translation };
}
