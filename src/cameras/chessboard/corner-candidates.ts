import { type PictureLevel, valueAt } from './picture-level.ts';
import { type SaddleMap, saddleOffset, strongestSaddles } from './saddle-points.ts';

/** Taken out of the global object once: looked up per pixel it costs more than the arithmetic where globals are intercepted. */
const { abs, ceil, max } = Math;

/**
 * Points where four edges meet, alternately dark → bright and bright → dark on the way round.
 * Angles grow from +x towards +y (clockwise as seen, since y points down).
 */
export interface Candidates {
  count: number;
  /** Level pixels. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /**
   * Unit directions of the four edges, 2 × (4 · candidate + slot), by growing angle. Slots 0 and 2 go from dark to
   * bright with growing angle, so the quarters after slots 0 and 2 are bright.
   */
  readonly direction: Float64Array;
  /** Half the difference of bright and dark quarters, grey levels. */
  readonly amplitude: Float64Array;
}

/** Radii of the circle on which the four quarters are looked for, level px: the smaller for squares of under 8 px. */
export const RING_RADII = [4.5, 3] as const;
const RING_SAMPLES = 32;
/** Weakest quarter against the strongest, as part of the amplitude. */
const LEAST_QUARTER = 0.3;
/** The two halves of an edge go on through the corner within this angle (cos 155°). */
const OPPOSITE_COS = Math.cos((155 * Math.PI) / 180);
/** Least angle between neighbouring edges (cos 18°). */
const NEIGHBOUR_COS = Math.cos((18 * Math.PI) / 180);
const MOST_CANDIDATES = 2500;

const ring = new Float64Array(RING_SAMPLES);
const cosine = Float64Array.from({ length: RING_SAMPLES }, (_, k) => Math.cos((2 * Math.PI * k) / RING_SAMPLES));
const sine = Float64Array.from({ length: RING_SAMPLES }, (_, k) => Math.sin((2 * Math.PI * k) / RING_SAMPLES));

export function noCandidates(room: number): Candidates {
  return {
    count: 0,
    x: new Float64Array(room),
    y: new Float64Array(room),
    direction: new Float64Array(8 * room),
    amplitude: new Float64Array(room),
  };
}

/** Corners of a level; `room` more can be added by `addCandidate`. */
export function cornerCandidates(map: SaddleMap, room: number): Candidates {
  const { level } = map;
  const border = ceil(RING_RADII[1]) + 1;
  const saddles = strongestSaddles(map, border, MOST_CANDIDATES);
  const found = noCandidates(saddles.length + room);
  for (const at of saddles) addCandidate(found, level, at);
  return found;
}

/** Adds the corner at the pixel of index `at` where four edges meet there; returns its number or −1. */
export function addCandidate(found: Candidates, level: PictureLevel, at: number): number {
  const offset = saddleOffset(level, at);
  const x = (at % level.width) + offset[0];
  const y = Math.floor(at / level.width) + offset[1];
  for (const radius of RING_RADII) {
    if (!describeRing(found, found.count, level, x, y, radius)) continue;
    found.x[found.count] = x;
    found.y[found.count] = y;
    return found.count++;
  }
  return -1;
}

/** Writes directions and amplitude of candidate `c` where the circle about (x, y) shows four quarters. */
function describeRing(
  found: Candidates,
  c: number,
  level: PictureLevel,
  x: number,
  y: number,
  radius: number,
): boolean {
  if (!(x >= radius && y >= radius && x <= level.width - 1 - radius && y <= level.height - 1 - radius)) return false;
  let sum = 0;
  for (let k = 0; k < RING_SAMPLES; k++) {
    ring[k] = valueAt(level, x + radius * cosine[k], y + radius * sine[k]);
    sum += ring[k];
  }
  const middle = middleValue(sum / RING_SAMPLES);
  if (Number.isNaN(middle)) return false;
  return writeCrossings(found, c, middle);
}

/** Half way between the mean of the bright and of the dark samples; NaN where all are alike. */
function middleValue(mean: number): number {
  let [bright, dark, nBright] = [0, 0, 0];
  for (let k = 0; k < RING_SAMPLES; k++) {
    if (ring[k] > mean) {
      bright += ring[k];
      nBright++;
    } else dark += ring[k];
  }
  if (nBright === 0 || nBright === RING_SAMPLES) return Number.NaN;
  return 0.5 * (bright / nBright + dark / (RING_SAMPLES - nBright));
}

const crossing = new Float64Array(4);
const extreme = new Float64Array(4);

function writeCrossings(found: Candidates, c: number, middle: number): boolean {
  let crossings = 0;
  let firstRises = false;
  for (let k = 0; k < RING_SAMPLES; k++) {
    const here = ring[k] - middle;
    const next = ring[(k + 1) % RING_SAMPLES] - middle;
    if (here > 0 === next > 0) continue;
    if (crossings === 4) return false;
    if (crossings === 0) firstRises = next > 0;
    crossing[crossings++] = k + here / (here - next);
  }
  if (crossings !== 4) return false;
  // Slot 0 goes from dark to bright.
  const shift = firstRises ? 0 : 1;
  let [least, most] = [Number.POSITIVE_INFINITY, 0];
  for (let slot = 0; slot < 4; slot++) {
    const from = crossing[(slot + shift) % 4];
    const to = crossing[(slot + shift + 1) % 4];
    extreme[slot] = quarterExtreme(from, to, middle);
    least = Math.min(least, extreme[slot]);
    most = max(most, extreme[slot]);
    const angle = (2 * Math.PI * from) / RING_SAMPLES;
    found.direction[8 * c + 2 * slot] = Math.cos(angle);
    found.direction[8 * c + 2 * slot + 1] = Math.sin(angle);
  }
  found.amplitude[c] = 0.25 * (extreme[0] + extreme[1] + extreme[2] + extreme[3]);
  if (least < LEAST_QUARTER * most || found.amplitude[c] < 1.5) return false;
  return straightThrough(found.direction, 8 * c);
}

/** Largest distance from `middle` between two crossings. */
function quarterExtreme(from: number, to: number, middle: number): number {
  let largest = 0;
  const end = to < from ? to + RING_SAMPLES : to;
  for (let k = ceil(from); k <= end; k++) {
    largest = max(largest, abs(ring[k % RING_SAMPLES] - middle));
  }
  return largest;
}

function straightThrough(direction: Float64Array, o: number): boolean {
  const dot = (a: number, b: number) =>
    direction[o + 2 * a] * direction[o + 2 * b] + direction[o + 2 * a + 1] * direction[o + 2 * b + 1];
  if (dot(0, 2) > OPPOSITE_COS || dot(1, 3) > OPPOSITE_COS) return false;
  for (let slot = 0; slot < 4; slot++) if (dot(slot, (slot + 1) % 4) > NEIGHBOUR_COS) return false;
  return true;
}
