import type { JointLoads } from '../../../src/mechanics/joint-loads.ts';
import type { Placed } from './with-points.ts';

/** The lifter with these points elsewhere before limbs and resting feet were fitted; the fitted ones stay. */
export function beforeFit(loads: JointLoads, placed: Placed): JointLoads {
  const { trajectories } = loads.motion;
  const { landmarks, frames, position } = trajectories;
  const free = position.slice();
  landmarks.forEach((name, k) => {
    const place = placed[name];
    if (!place) return;
    for (let f = 0; f < frames; f++) free.set(place(f), 3 * (f * landmarks.length + k));
  });
  return { ...loads, motion: { ...loads.motion, trajectories: { ...trajectories, beforeFit: free } } };
}
