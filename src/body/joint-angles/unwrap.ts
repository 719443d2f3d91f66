/**
 * The same angles without jumps of a whole turn (2π radians), in place: each known value is moved by whole turns to lie nearest
 * the last known one before it. The first known value stays between −π and π. Returns the array.
 */
export function unwrapInPlace(anglesRad: Float64Array): Float64Array {
  const turn = 2 * Math.PI;
  let last = Number.NaN;
  for (let f = 0; f < anglesRad.length; f++) {
    const angle = anglesRad[f];
    if (Number.isNaN(angle)) continue;
    if (!Number.isNaN(last)) anglesRad[f] = angle - turn * Math.round((angle - last) / turn);
    last = anglesRad[f];
  }
  return anglesRad;
}
