import { BufferGeometry, CylinderGeometry, Float32BufferAttribute } from 'three';
import { TRUNK_OUTLINE } from './body-parts.ts';

/** Stripes along a limb: their number, so that they keep with the limb as it is stretched. */
const STRIPES = 7;
const AROUND = 20;

/** A limb of length 1 along +Y from the origin, open at both ends; balls close it. */
export function tube(fromRadiusM: number, toRadiusM: number): BufferGeometry {
  const geometry = new CylinderGeometry(toRadiusM, fromRadiusM, 1, 14, 1, true);
  geometry.translate(0, 0.5, 0);
  const uv = geometry.getAttribute('uv');
  for (let i = 0; i < uv.count; i++) uv.setY(i, STRIPES * uv.getY(i));
  return geometry;
}

/** A trunk of length 1 along +Y; x in half distances between the shoulders, z (forward) in metres. */
export function trunkShape(): BufferGeometry {
  return loft(
    TRUNK_OUTLINE.map(([y, width, depth]) => ({
      y,
      at: (angle: number) => [width * roundedCos(angle), depth * Math.sin(angle)] as const,
      stripe: y,
    })),
  );
}

/** Broader than an ellipse: a trunk is flat in front and behind. */
function roundedCos(angle: number): number {
  const cos = Math.cos(angle);
  return Math.sign(cos) * Math.abs(cos) ** 0.8;
}

/** A shoe: x from heel (0) to toe (1) in lengths of the foot, y up and z sideways in metres, the sole under the line of the points. */
export function shoeShape(): BufferGeometry {
  const outline = (angle: number, from: number, to: number, wide: number): readonly [number, number] => {
    const along = (1 - Math.cos(angle)) / 2;
    const s = from + (to - from) * along;
    // Narrow at the heel, widest at the ball of the foot.
    const ball = 0.72 + 0.28 * Math.sin(Math.PI * Math.min(1, 0.15 + 0.75 * s));
    return [s, wide * ball * Math.sin(angle)];
  };
  const ring = (y: number, from: number, to: number, wide: number) => ({
    y,
    at: (angle: number) => outline(angle, from, to, wide),
    stripe: STRIPES * (0.4 + 4 * y),
  });
  return loft([
    ring(-0.015, 0.02, 0.97, 0.03),
    ring(-0.015, -0.07, 1.05, 0.045),
    ring(0.018, -0.08, 1.05, 0.046),
    ring(0.035, -0.06, 0.9, 0.042),
    ring(0.062, -0.03, 0.55, 0.034),
    ring(0.078, 0.02, 0.34, 0.024),
    ring(0.08, 0.12, 0.2, 0.008),
  ]);
}

interface Ring {
  readonly y: number;
  /** [x, z] at an angle round the ring. */
  at(angle: number): readonly [number, number];
  readonly stripe: number;
}

/** A skin over rings, from the lowest up. */
function loft(rings: readonly Ring[]): BufferGeometry {
  const position: number[] = [];
  const uv: number[] = [];
  const index: number[] = [];
  for (const { y, at, stripe } of rings) {
    for (let k = 0; k < AROUND; k++) {
      const [x, z] = at((2 * Math.PI * k) / AROUND);
      position.push(x, y, z);
      uv.push(k / AROUND, stripe);
    }
  }
  for (let r = 0; r + 1 < rings.length; r++) {
    for (let k = 0; k < AROUND; k++) {
      const a = r * AROUND + k;
      const b = r * AROUND + ((k + 1) % AROUND);
      index.push(a, a + AROUND, b, b, a + AROUND, b + AROUND);
    }
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new Float32BufferAttribute(position, 3));
  geometry.setAttribute('uv', new Float32BufferAttribute(uv, 2));
  geometry.setIndex(index);
  geometry.computeVertexNormals();
  return geometry;
}
