/** Taken out of the global object once: where globals are intercepted, each look-up costs more than the arithmetic. */
const { cos, hypot, sin } = Math;

/** Points and directions of the synthetic world: lab axes, X forward, Y up, Z to the lifter's right; metres. */
export type Vector = readonly [number, number, number];

export const add = (a: Vector, b: Vector): Vector => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const subtract = (a: Vector, b: Vector): Vector => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const scale = (a: Vector, s: number): Vector => [a[0] * s, a[1] * s, a[2] * s];
export const between = (a: Vector, b: Vector, share: number): Vector => add(a, scale(subtract(b, a), share));
export const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const norm = (a: Vector): number => hypot(a[0], a[1], a[2]);
export const unit = (a: Vector): Vector => scale(a, 1 / norm(a));
/** The same point on the lifter's other side. */
export const mirrored = (a: Vector): Vector => [a[0], a[1], -a[2]];

/** Direction in the sagittal plane leaning forward by `leanRad` from the vertical. */
export const leaning = (leanRad: number): Vector => [sin(leanRad), cos(leanRad), 0];
/** A point given as (forward, up) in a body leaning by `leanRad`. */
export const inLeaning = (leanRad: number, forward: number, up: number, lateral = 0): Vector => [
  forward * cos(leanRad) + up * sin(leanRad),
  -forward * sin(leanRad) + up * cos(leanRad),
  lateral,
];
