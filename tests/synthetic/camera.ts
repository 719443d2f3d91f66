import { add, cross, dot, scale, subtract, unit, type Vector } from './vector.ts';

/** A pinhole camera with a Brown–Conrady lens, written here on its own: the analyser's projection is not used. */
export interface SyntheticCamera {
  readonly name: string;
  readonly imageSizePx: readonly [width: number, height: number];
  readonly focalPx: number;
  readonly principalPointPx: readonly [number, number];
  readonly lens: {
    readonly k1: number;
    readonly k2: number;
    readonly p1: number;
    readonly p2: number;
    readonly k3: number;
  };
  /** Rows: image right, image down, optical axis, in world axes. */
  readonly axes: readonly [Vector, Vector, Vector];
  readonly centre: Vector;
}

export interface Stand {
  readonly name: string;
  /** Place of the camera in the world, and the point its optical axis goes through, metres. */
  readonly centre: Vector;
  readonly lookAt: Vector;
  /** Turn of the phone about its optical axis, radians. */
  readonly rollRad: number;
}

export function cameraOn(
  stand: Stand,
  optics: Pick<SyntheticCamera, 'imageSizePx' | 'focalPx' | 'principalPointPx' | 'lens'>,
): SyntheticCamera {
  const axis = unit(subtract(stand.lookAt, stand.centre));
  const right = unit(cross(axis, [0, 1, 0]));
  const down = cross(axis, right);
  const [c, s] = [Math.cos(stand.rollRad), Math.sin(stand.rollRad)];
  return {
    name: stand.name,
    ...optics,
    axes: [add(scale(right, c), scale(down, s)), add(scale(right, -s), scale(down, c)), axis],
    centre: stand.centre,
  };
}

/** Image of a world point, pixels, (0, 0) in the middle of the top-left pixel; null behind the camera. */
export function imageOf(camera: SyntheticCamera, point: Vector): readonly [number, number] | null {
  const { axes, centre } = camera;
  const ray: Vector = [point[0] - centre[0], point[1] - centre[1], point[2] - centre[2]];
  const depth = dot(axes[2], ray);
  if (depth <= 0) return null;
  const x = dot(axes[0], ray) / depth;
  const y = dot(axes[1], ray) / depth;
  const { k1, k2, k3, p1, p2 } = camera.lens;
  const r2 = x * x + y * y;
  const radial = 1 + k1 * r2 + k2 * r2 ** 2 + k3 * r2 ** 3;
  const u = x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x);
  const v = y * radial + 2 * p2 * x * y + p1 * (r2 + 2 * y * y);
  return [camera.focalPx * u + camera.principalPointPx[0], camera.focalPx * v + camera.principalPointPx[1]];
}

/**
 * Two phones upright in front of the lifter, one to each side, 54° and 56° off the sides (a world whose X is forward):
 * each sees both legs, both arms and, past the discs, both bar ends; their rays meet at about 70°. From straight abeam the
 * near disc would hide the head and shoulders, below about 48° it hides the far end of the bar, and both cameras on one side
 * would see one leg through the other.
 */
export function demoCameras(): readonly SyntheticCamera[] {
  const deg = Math.PI / 180;
  const stand = (
    name: string,
    side: 1 | -1,
    offSide: number,
    distance: number,
    height: number,
    roll: number,
  ): Stand => ({
    name,
    centre: [distance * Math.sin(offSide * deg), height, side * distance * Math.cos(offSide * deg)],
    lookAt: [0.02, 0.88, 0],
    rollRad: roll * deg,
  });
  return [
    cameraOn(stand('left', -1, 54, 4.1, 1.05, 0.6), {
      imageSizePx: [1080, 1920],
      focalPx: 1480,
      principalPointPx: [541.2, 955.8],
      lens: { k1: 0.062, k2: -0.11, p1: 0.0006, p2: -0.0004, k3: 0 },
    }),
    cameraOn(stand('right', 1, 56, 3.8, 1.15, -0.9), {
      imageSizePx: [1080, 1920],
      focalPx: 1530,
      principalPointPx: [536.9, 962.4],
      lens: { k1: 0.055, k2: -0.1, p1: -0.0003, p2: 0.0005, k3: 0 },
    }),
  ];
}
