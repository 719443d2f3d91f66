import type { SyntheticSegment } from './anthropometry.ts';
import type { Legs, Setup, Upper } from './posture.ts';
import { add, between, cross, mirrored, norm, scale, subtract, unit, type Vector } from './vector.ts';

/** Taken out of the global object once: where globals are intercepted, each look-up costs more than the arithmetic. */
const { hypot, max, sqrt } = Math;

/** Height of a body in the chain: what a cut at the hips, knees, ankles or the floor carries. */
export const ABOVE_HIPS = 0;
export const ABOVE_KNEES = 1;
export const ABOVE_ANKLES = 2;
export const ABOVE_FLOOR = 3;
export type Level = 0 | 1 | 2 | 3;

/** One body, on the midline or on the right (`paired`: the left has a mirror image). */
export interface Body {
  readonly name: string;
  readonly level: Level;
  readonly paired: boolean;
  readonly massKg: number;
  readonly centre: Vector;
  /** Unit vectors: along the body, across it (near medio-lateral), and the third. */
  readonly axes: readonly [Vector, Vector, Vector];
  /** Half-spans of the pairs of particles along those axes, metres: the body's inertia as six (a rod: two) particles. */
  readonly spans: readonly [number, number, number];
}

const LATERAL: Vector = [0, 0, 1];

/** A segment as a body between its two end points, the proximal (or upper) one first. */
export function bodyBetween(
  setup: Setup,
  name: SyntheticSegment,
  level: Level,
  paired: boolean,
  from: Vector,
  to: Vector,
  length = norm(subtract(to, from)),
): Body {
  const { segments, massKg, thinRods } = setup.lifter;
  const { centrePct, radiiPct, aheadM, aheadPerSineM = 0, upPerSineM = 0 } = segments[name];
  const along = unit(subtract(to, from));
  // `along` runs from the head or the nearer joint outward, so this is the front of a hanging body.
  const front = unit(cross(LATERAL, along));
  const across = unit(cross(front, along));
  // It hangs: leaning forward, its lower end lies behind its upper one.
  const ahead = aheadM - aheadPerSineM * along[0];
  const down = (centrePct / 100) * length + upPerSineM * along[0];
  const centre = add(add(from, scale(along, down)), scale(front, ahead));
  return {
    name,
    level,
    paired,
    massKg: massKg[name],
    centre,
    axes: [along, across, front],
    spans: thinRods ? [(radiiPct[1] / 100) * length, 0, 0] : fullSpans(radiiPct, length),
  };
}

/**
 * Half-spans a of particle pairs (each pair carries a third of the mass) that give the stated radii of gyration:
 * k²(about one axis) = (a² + b²)/3 over the two other axes. Where a printed set is not that of any real body (a thin long
 * radius), the missing part is left at 0.
 */
function fullSpans(
  [sagittal, transverse, long]: readonly [number, number, number],
  length: number,
): [number, number, number] {
  const s = ((sagittal / 100) * length) ** 2;
  const t = ((transverse / 100) * length) ** 2;
  const l = ((long / 100) * length) ** 2;
  const span = (square: number) => sqrt(3 * max(0, square / 2));
  return [span(s + t - l), span(s + l - t), span(t + l - s)];
}

/** A segment still to be made into a body: its name, whether it is one of a pair, its end points. */
type Piece = readonly [name: SyntheticSegment, paired: boolean, from: Vector, to: Vector];

function upperPieces(setup: Setup, upper: Upper): Piece[] {
  const [midHip, first, second, top] = upper.spine;
  const trunk: Piece[] =
    setup.lifter.trunk === 'straight'
      ? [['trunk', false, upper.midShoulder, midHip]]
      : [
          ['upperTrunk', false, top, second],
          ['middleTrunk', false, second, first],
          ['lowerTrunk', false, first, midHip],
        ];
  return [
    ...trunk,
    ['upperArm', true, upper.shoulder, upper.elbow],
    ['forearm', true, upper.elbow, upper.wrist],
    ['hand', true, upper.wrist, upper.knuckle],
    ['head', false, upper.vertex, upper.neckBase],
  ];
}

/** Σ m x of everything above the hips, kg·m: what balance needs, without the rest of the bodies. */
export function upperForwardMoment(setup: Setup, upper: Upper): number {
  const { massKg, segments, thinRods } = setup.lifter;
  let sum = setup.equipment.loadKg * upper.bar[0];
  for (const [name, paired, from, to] of upperPieces(setup, upper)) {
    const { centrePct, aheadM, aheadPerSineM = 0, upPerSineM = 0 } = segments[name];
    const share = centrePct / 100;
    let x = from[0] + share * (to[0] - from[0]);
    if (aheadM !== 0 || aheadPerSineM !== 0 || upPerSineM !== 0) {
      const length = hypot(to[0] - from[0], to[1] - from[1]);
      const sine = (from[0] - to[0]) / length;
      x += ((aheadM + aheadPerSineM * sine) * (from[1] - to[1])) / length + upPerSineM * sine * sine;
    }
    if (name === 'head' && thinRods) x = upper.ear[0];
    sum += (paired ? 2 : 1) * massKg[name] * x;
  }
  return sum;
}

/** Bodies above the hips: trunk, arms, head, bar. A lifter of thin rods has a head that is a point midway between the ears. */
export function upperBodies(setup: Setup, upper: Upper): Body[] {
  const { equipment, lifter } = setup;
  const bodies = upperPieces(setup, upper).map(([name, paired, from, to]): Body => {
    const body = bodyBetween(setup, name, ABOVE_HIPS, paired, from, to);
    return name === 'head' && lifter.thinRods ? { ...body, centre: onMidline(upper.ear), spans: [0, 0, 0] } : body;
  });
  if (equipment.loadKg > 0) {
    const shaft: Body['axes'] = [LATERAL, [1, 0, 0], [0, 1, 0]];
    const halfKg = (equipment.loadKg - equipment.barMassKg) / 2;
    bodies.push(
      {
        name: 'bar',
        level: ABOVE_HIPS,
        paired: false,
        massKg: equipment.barMassKg,
        centre: upper.bar,
        axes: shaft,
        spans: [equipment.barLengthM / sqrt(12), 0, 0],
      },
      {
        name: 'discs',
        level: ABOVE_HIPS,
        paired: true,
        massKg: halfKg,
        centre: add(upper.bar, [0, 0, equipment.discAtM]),
        axes: shaft,
        spans: [0, 0, 0],
      },
    );
  }
  return bodies;
}

/** Thighs, shanks, feet. */
export function legBodies(setup: Setup, legs: Legs): Body[] {
  return [
    bodyBetween(setup, 'thigh', ABOVE_KNEES, true, legs.hip, legs.knee),
    bodyBetween(setup, 'shank', ABOVE_ANKLES, true, legs.knee, legs.ankle),
    bodyBetween(setup, 'foot', ABOVE_FLOOR, true, legs.heel, legs.bigToe),
  ];
}

/** Particles of all bodies, left and right: masses and levels are the same at all times. */
export interface ParticleSet {
  readonly massKg: Float64Array;
  readonly level: Uint8Array;
}

export function particleSet(bodies: readonly Body[]): ParticleSet {
  const mass: number[] = [];
  const level: number[] = [];
  for (const body of bodies) {
    const rod = body.spans[1] === 0 && body.spans[2] === 0;
    const count = (rod ? 2 : 6) * (body.paired ? 2 : 1);
    for (let i = 0; i < count; i++) {
      mass.push((body.massKg * (body.paired ? 2 : 1)) / count);
      level.push(body.level);
    }
  }
  return { massKg: Float64Array.from(mass), level: Uint8Array.from(level) };
}

/** Places of the particles, `3 * particle`, in the order of `particleSet`. */
export function particlePlaces(bodies: readonly Body[]): Float64Array {
  const out: number[] = [];
  for (const body of bodies) {
    const rod = body.spans[1] === 0 && body.spans[2] === 0;
    for (let axis = 0; axis < (rod ? 1 : 3); axis++) {
      const reach = scale(body.axes[axis], body.spans[axis]);
      for (const place of [add(body.centre, reach), subtract(body.centre, reach)]) {
        out.push(...place);
        if (body.paired) out.push(...mirrored(place));
      }
    }
  }
  return Float64Array.from(out);
}

/** Centre of mass of all bodies, or of those without the load. */
export function centreOfMass(bodies: readonly Body[], withLoad = true): Vector {
  let sum: Vector = [0, 0, 0];
  let total = 0;
  for (const body of bodies) {
    if (!withLoad && (body.name === 'bar' || body.name === 'discs')) continue;
    const mass = body.massKg * (body.paired ? 2 : 1);
    const centre: Vector = body.paired ? [body.centre[0], body.centre[1], 0] : body.centre;
    sum = add(sum, scale(centre, mass));
    total += mass;
  }
  return scale(sum, 1 / total);
}

/** Midpoint of a point and its mirror image. */
export const onMidline = (point: Vector): Vector => between(point, mirrored(point), 0.5);
