/** Distance between the lines on the floor, and how far they reach from the middle, metres. */
export const FLOOR_STEP_M = 0.25;
export const FLOOR_REACH_M = 2;

/** Lines on the floor in pieces of one step, `6 * piece`: x, y, z of both ends, metres; none beyond the reach. */
export function floorLines(): Float32Array {
  const count = Math.round(FLOOR_REACH_M / FLOOR_STEP_M);
  const ends: number[] = [];
  for (let k = -count; k <= count; k++) {
    for (let i = -count; i < count; i++) {
      const [along, from, to] = [k, i, i + 1].map((steps) => steps * FLOOR_STEP_M);
      if (strength(along, from) + strength(along, to) <= 0) continue;
      ends.push(along, 0, from, along, 0, to, from, 0, along, to, 0, along);
    }
  }
  return Float32Array.from(ends);
}

/** How strongly the floor is drawn at a place: 1 in the middle, 0 at its reach. */
export function strength(x: number, z: number): number {
  return Math.max(0, 1 - (x * x + z * z) / FLOOR_REACH_M ** 2);
}
