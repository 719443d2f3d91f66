import type { Landmark } from '../../src/capture/landmarks.ts';

/**
 * An invented stick figure that squats once, facing +X, Y up, metres: shank 0.40, thigh 0.42, trunk 0.50 m; feet half a
 * metre apart. Only as good as reading and checking files needs.
 */
export function stickFrame(depth: number): Partial<Record<Landmark, readonly [number, number, number]>> {
  const shank = 0.5 * depth;
  const thigh = 1.5 * depth;
  const lean = 0.7 * depth;
  const knee = [0.4 * Math.sin(shank), 0.08 + 0.4 * Math.cos(shank)];
  const hip = [knee[0] - 0.42 * Math.sin(thigh), knee[1] + 0.42 * Math.cos(thigh)];
  const shoulder = [hip[0] + 0.5 * Math.sin(lean), hip[1] + 0.5 * Math.cos(lean)];
  const points: Partial<Record<Landmark, readonly [number, number, number]>> = {};
  for (const [side, z] of [
    ['left', -1],
    ['right', 1],
  ] as const) {
    points[`${side}_heel`] = [-0.06, 0.02, 0.25 * z];
    points[`${side}_big_toe`] = [0.16, 0.02, 0.28 * z];
    points[`${side}_ankle`] = [0, 0.08, 0.25 * z];
    points[`${side}_knee`] = [knee[0], knee[1], 0.25 * z];
    points[`${side}_hip`] = [hip[0], hip[1], 0.09 * z];
    points[`${side}_shoulder`] = [shoulder[0], shoulder[1], 0.2 * z];
    points[`${side}_ear`] = [shoulder[0], shoulder[1] + 0.2, 0.07 * z];
  }
  points.nose = [shoulder[0] + 0.1, shoulder[1] + 0.2, 0];
  return points;
}

export interface Stick {
  readonly landmarks: readonly Landmark[];
  readonly position: Float64Array;
  readonly frames: number;
}

/** One squat over `frames` frames; only the landmarks that `keep` lets through. */
export function stickLifter(frames: number, keep: (name: Landmark) => boolean = () => true): Stick {
  const landmarks = (Object.keys(stickFrame(0)) as Landmark[]).filter(keep);
  const position = new Float64Array(3 * frames * landmarks.length);
  for (let frame = 0; frame < frames; frame++) {
    const points = stickFrame(Math.sin((Math.PI * frame) / Math.max(1, frames - 1)));
    landmarks.forEach((name, column) => {
      position.set(points[name]!, 3 * (frame * landmarks.length + column));
    });
  }
  return { landmarks, position, frames };
}

/** Every point sent through `move`. */
export function moved(stick: Stick, move: (x: number, y: number, z: number) => readonly number[]): Stick {
  const position = new Float64Array(stick.position.length);
  for (let i = 0; i < position.length; i += 3) {
    position.set(move(stick.position[i], stick.position[i + 1], stick.position[i + 2]), i);
  }
  return { ...stick, position };
}

/** `frame,landmark,x,y,z` of a stick lifter. */
export function pointsCsv(stick: Stick): string {
  const rows = ['frame,landmark,x,y,z'];
  for (let frame = 0; frame < stick.frames; frame++) {
    stick.landmarks.forEach((name, column) => {
      const at = 3 * (frame * stick.landmarks.length + column);
      rows.push([frame, name, ...stick.position.slice(at, at + 3)].join(','));
    });
  }
  return `${rows.join('\n')}\n`;
}

/** COCO keypoint results of `frames` frames: K points at (100 + index, 200 + frame), score 0.9. */
export function cocoResults(frames: number, count: 17 | 23 | 133, score = 0.9): object[] {
  return Array.from({ length: frames }, (_, frame) => ({
    image_id: frame,
    category_id: 1,
    keypoints: Array.from({ length: count }, (_, k) => [100 + k, 200 + frame, score]).flat(),
    score: 0.8,
  }));
}
