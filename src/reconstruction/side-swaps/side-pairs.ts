import type { Landmark } from '../../capture/landmarks.ts';

/** A joint with a left and a right point. */
export interface SidePair {
  readonly name: string;
  readonly left: Landmark;
  readonly right: Landmark;
  /** Pairs that a detector exchanges together; the ends of the bar stand alone. */
  readonly part: 'legs' | 'upper body' | 'bar';
}

const bodyPair = (name: string, point: string, part: SidePair['part']): SidePair => ({
  name,
  left: `left_${point}` as Landmark,
  right: `right_${point}` as Landmark,
  part,
});

export const SIDE_PAIRS: readonly SidePair[] = [
  bodyPair('hips', 'hip', 'legs'),
  bodyPair('knees', 'knee', 'legs'),
  bodyPair('ankles', 'ankle', 'legs'),
  bodyPair('heels', 'heel', 'legs'),
  bodyPair('big toes', 'big_toe', 'legs'),
  bodyPair('small toes', 'small_toe', 'legs'),
  bodyPair('shoulders', 'shoulder', 'upper body'),
  bodyPair('elbows', 'elbow', 'upper body'),
  bodyPair('wrists', 'wrist', 'upper body'),
  bodyPair('hands', 'hand', 'upper body'),
  bodyPair('eyes', 'eye', 'upper body'),
  bodyPair('ears', 'ear', 'upper body'),
  { name: 'bar ends', left: 'bar_left_end', right: 'bar_right_end', part: 'bar' },
];
