/**
 * A series summed over the phases of one squat between its 2 % marks, each frame standing for half a frame to either side, by
 * counting a thousand instants a frame; a pause at the bottom halved. Per frame: times 1 / rate it is an integral.
 */
export function overPhase(
  values: ArrayLike<number>,
  height: ArrayLike<number>,
  { topFrame, bottomFrame }: { readonly topFrame: number; readonly bottomFrame: number },
): { readonly descent: number; readonly ascent: number } {
  const [top, bottom] = [height[topFrame], height[bottomFrame]];
  const high = top - 0.02 * (top - bottom);
  const low = bottom + 0.02 * (top - bottom);
  const at = (t: number) => height[Math.floor(t)] + (t % 1) * (height[Math.floor(t) + 1] - height[Math.floor(t)]);
  const step = 1e-3;
  const first = (from: number, way: 1 | -1, holds: (h: number) => boolean) => {
    let i = Math.round(from / step);
    while (!holds(at(i * step))) i += way;
    return i * step;
  };
  const descends = first(topFrame, 1, (h) => h <= high);
  const arrives = first(topFrame, 1, (h) => h <= low);
  const stands = first(bottomFrame, 1, (h) => h >= high);
  const drives = first(stands, -1, (h) => h <= low);
  const sum = (from: number, to: number) => {
    let total = 0;
    for (let t = from; t < to; t += step) total += values[Math.round(t)] * step;
    return total;
  };
  const middle = (arrives + drives) / 2;
  return { descent: sum(descends, middle), ascent: sum(middle, stands) };
}
