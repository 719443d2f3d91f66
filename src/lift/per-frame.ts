/** A value a frame. */
export function perFrame(frames: number, valueAt: (frame: number) => number): Float64Array {
  const out = new Float64Array(frames);
  for (let f = 0; f < frames; f++) out[f] = valueAt(f);
  return out;
}
