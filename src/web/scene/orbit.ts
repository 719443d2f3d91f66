import type { SceneView } from './payload.ts';

/**
 * A camera that looks at a target from a distance. Azimuth 0 looks from the lifter's right (forward is to the right of the
 * picture), 90° from the front; elevation 90° from above. Radians, metres.
 */
export interface Orbit {
  azimuth: number;
  elevation: number;
  distance: number;
  readonly target: Float64Array;
}

/** Whole vertical angle of the picture, radians: a long lens, so that near and far parts keep their size. */
export const FIELD_OF_VIEW = (16 * Math.PI) / 180;

const QUARTER = Math.PI / 2;
const PRESETS: Readonly<Record<SceneView, readonly [azimuth: number, elevation: number]>> = {
  side: [0, 0],
  front: [QUARTER, 0],
  // Forward is up in the picture, the lifter's right is right.
  top: [-QUARTER, QUARTER],
  free: [0.7, 0.3],
};

/** Nearest and farthest distance, as shares of the one that shows everything. */
const ZOOM = { nearest: 0.25, farthest: 2 } as const;

export function newOrbit(): Orbit {
  return { azimuth: 0, elevation: 0, distance: 6, target: new Float64Array([0, 0.85, 0]) };
}

/** Directions of the picture: right, up, and from the target towards the camera; `3 * direction`. */
export function axesInto(out: Float64Array, { azimuth, elevation }: Orbit): Float64Array {
  const [sinA, cosA, sinE, cosE] = [Math.sin(azimuth), Math.cos(azimuth), Math.sin(elevation), Math.cos(elevation)];
  out[0] = cosA;
  out[1] = 0;
  out[2] = -sinA;
  out[3] = -sinE * sinA;
  out[4] = cosE;
  out[5] = -sinE * cosA;
  out[6] = cosE * sinA;
  out[7] = sinE;
  out[8] = cosE * cosA;
  return out;
}

/** Points to pixels, as the camera of an orbit sees them. */
export interface Projector {
  /** Takes the orbit's present state and the size of the picture, px. */
  set(orbit: Orbit, width: number, height: number): void;
  /** [x, y, px a metre at that depth, distance from the camera], valid until the next call. */
  project(x: number, y: number, z: number): Float64Array;
}

export function projector(): Projector {
  const axes = new Float64Array(9);
  const target = new Float64Array(3);
  const out = new Float64Array(4);
  let [distance, halfWidth, halfHeight, focal] = [1, 1, 1, 1];
  return {
    set(orbit, width, height) {
      axesInto(axes, orbit);
      target.set(orbit.target);
      distance = orbit.distance;
      halfWidth = width / 2;
      halfHeight = height / 2;
      focal = halfHeight / Math.tan(FIELD_OF_VIEW / 2);
    },
    project(x, y, z) {
      const dx = x - target[0];
      const dy = y - target[1];
      const dz = z - target[2];
      const away = distance - (dx * axes[6] + dy * axes[7] + dz * axes[8]);
      const scale = focal / away;
      out[0] = halfWidth + scale * (dx * axes[0] + dy * axes[1] + dz * axes[2]);
      out[1] = halfHeight - scale * (dx * axes[3] + dy * axes[4] + dz * axes[5]);
      out[2] = scale;
      out[3] = away;
      return out;
    },
  };
}

/** Empty space kept at each edge of the picture, px. */
export interface Margins {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/**
 * Turns the orbit to a preset and moves it so that all points are in the picture, as large as they can be.
 *
 * @param points `4 * point`: x, y, z and a radius around it that has to be seen too, metres
 */
export function lookAtAll(
  orbit: Orbit,
  view: SceneView,
  points: Float64Array,
  width: number,
  height: number,
  margins: Margins,
): void {
  [orbit.azimuth, orbit.elevation] = PRESETS[view];
  const axes = axesInto(new Float64Array(9), orbit);
  const focal = height / 2 / Math.tan(FIELD_OF_VIEW / 2);
  const low = [1, 1, 1].map(() => Number.POSITIVE_INFINITY);
  const high = low.map((value) => -value);
  for (let i = 0; i < points.length; i += 4) {
    for (let axis = 0; axis < 3; axis++) {
      const along =
        points[i] * axes[3 * axis] + points[i + 1] * axes[3 * axis + 1] + points[i + 2] * axes[3 * axis + 2];
      if (Number.isNaN(along)) continue;
      low[axis] = Math.min(low[axis], along - points[i + 3]);
      high[axis] = Math.max(high[axis], along + points[i + 3]);
    }
  }
  if (!(high[0] >= low[0])) return;
  const roomX = Math.max(1, width - margins.left - margins.right);
  const roomY = Math.max(1, height - margins.top - margins.bottom);
  // Size as seen at the depth that is nearest to the camera; a distance that holds it holds all the rest.
  const [sizeX, sizeY, depth] = [high[0] - low[0], high[1] - low[1], high[2] - low[2]];
  const away = Math.max((sizeX * focal) / roomX, (sizeY * focal) / roomY, 0.5);
  orbit.distance = away + depth / 2;
  const pixel = away / focal;
  // The free room lies off the middle where the margins differ.
  const middle = [
    (low[0] + high[0]) / 2 - ((margins.left - margins.right) / 2) * pixel,
    (low[1] + high[1]) / 2 + ((margins.top - margins.bottom) / 2) * pixel,
    (low[2] + high[2]) / 2,
  ];
  for (let k = 0; k < 3; k++) {
    orbit.target[k] = middle[0] * axes[k] + middle[1] * axes[3 + k] + middle[2] * axes[6 + k];
  }
}

/** Turns by so many radians; elevation stays between just below the floor's level and straight above. */
export function turnBy(orbit: Orbit, azimuth: number, elevation: number): void {
  orbit.azimuth = (orbit.azimuth + azimuth) % (2 * Math.PI);
  orbit.elevation = Math.max(-0.1, Math.min(QUARTER, orbit.elevation + elevation));
}

/** Comes nearer (factor below 1) or goes away, within limits about the distance that shows everything. */
export function zoomBy(orbit: Orbit, factor: number, wholeDistance: number): void {
  orbit.distance = Math.max(
    ZOOM.nearest * wholeDistance,
    Math.min(ZOOM.farthest * wholeDistance, orbit.distance * factor),
  );
}
