import type { Side } from '../lift/lift-record.ts';
import type { QuantityEntry } from './quantity-entry.ts';

const ALL: readonly Side[] = ['both', 'left', 'right'];

const WHOLE = (quantity: string, unit: string, definition: string): QuantityEntry => ({
  quantity,
  unit,
  sides: [null],
  definition,
});
const LEGS = (quantity: string, unit: string, definition: string): QuantityEntry => ({
  quantity,
  unit,
  sides: ALL,
  definition: `${definition} \`both\` = mean of left and right.`,
});

/** Frame quantities that technique measures are read from. */
export const TECHNIQUE_QUANTITIES: readonly QuantityEntry[] = [
  WHOLE(
    'head_tilt',
    'deg',
    'Line from mid-ear to mid-eye against the horizontal, seen from the side; face up positive. A level gaze is not 0.',
  ),
  WHOLE(
    'bar_over_midfoot',
    'm',
    'How far the centre of the tracked bar is ahead of the middle of the feet (mean of heels and tips of the big toes).',
  ),
  LEGS(
    'shank_to_foot',
    'deg',
    'shank_inclination less the inclination of the foot (heel to big toe, before resting feet were fitted): how far the shin leans towards its foot, seen from the side; a shin square to a level line from heel to toe is 0, further forward positive.',
  ),
  LEGS('knee_x', 'm', 'Forward place of the knee, lab frame.'),
  LEGS(
    'knee_track',
    'm',
    'How far the knee is outward of the upright plane through heel and big toe of its foot; inward negative.',
  ),
  LEGS('heel_height', 'm', 'Height of the heel point above the floor, before resting feet were fitted.'),
  LEGS('big_toe_height', 'm', 'Height of the tip of the big toe above the floor, before resting feet were fitted.'),
  WHOLE('hip_shift', 'm', 'How far mid-hip is to the lifter’s right of the point midway between the ankles.'),
  WHOLE('trunk_chord', 'm', 'Distance from mid-hip to mid-shoulder, before limbs were fitted.'),
  WHOLE(
    'trunk_bend',
    'deg',
    'How much further the line from mid_back to neck_base leans forward than the line from mid-hip to mid_back, seen from the side.',
  ),
  WHOLE(
    'hips_tilt',
    'deg',
    'Slope of the line from left to right hip, seen from the front; right hip higher positive.',
  ),
  WHOLE(
    'shoulders_tilt',
    'deg',
    'Slope of the line from left to right shoulder, seen from the front; right shoulder higher positive.',
  ),
];
