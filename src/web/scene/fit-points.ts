import type { ScenePayload } from './payload.ts';
import { wholeRange } from './phases.ts';
import type { Pose } from './pose.ts';

/** Every so many frames a posture is looked at: a lifter moves a few centimetres in between. */
const EVERY = 10;
/** Seconds of standing before the first and after the last repetition that are kept in the picture. */
const STAND_S = 0.5;
/** Room around a point of the body for the body itself, metres. */
const BODY_M = 0.1;

/**
 * What has to be in the picture, `4 * point`: x, y, z and a radius, metres. Lifter, bar and discs through all repetitions
 * (the whole recording where none was found), and the floor below them. Leaves the pose elsewhere than it was.
 */
export function fitPoints(payload: ScenePayload, pose: Pose): Float64Array {
  const { repetitions, frames, frameRateHz, points, bar } = payload;
  const ranges = repetitions.map(wholeRange);
  const stand = Math.round(STAND_S * frameRateHz);
  const from = Math.max(0, Math.min(frames - 1, ...ranges.map(([first]) => first - stand)));
  const to = ranges.length > 0 ? Math.min(frames, Math.max(...ranges.map(([, last]) => last + stand))) : frames;
  const body = points
    .filter((name) => !name.startsWith('bar') && !name.endsWith('pressure'))
    .map((name) => pose.slot(name));
  const out: number[] = [];
  const add = (x: number, y: number, z: number, radius: number) => {
    if (!Number.isNaN(x + y + z)) out.push(x, y, z, radius);
  };
  for (let frame = ranges.length > 0 ? from : 0; frame < to; frame += EVERY) {
    pose.moveTo(frame);
    for (const slot of body) {
      const [x, y, z] = pose.at.subarray(3 * slot, 3 * slot + 3);
      add(x, y, z, BODY_M);
      add(x, 0, z, 0);
    }
    for (const end of ['bar_left', 'bar_right']) {
      const slot = pose.slot(end);
      const [x, y, z] = pose.at.subarray(3 * slot, 3 * slot + 3);
      const radius = bar?.discs?.radiusM ?? 0;
      for (const r of [-radius, radius]) {
        add(x + r, y, z, 0);
        add(x, y + r, z, 0);
      }
    }
  }
  return Float64Array.from(out);
}
