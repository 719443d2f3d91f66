import type { Side } from '../lift/lift-record.ts';
import { JOINT_ANGLE_QUANTITIES } from './joint-angle-definitions.ts';
import { LEG_SHARING_QUANTITIES } from './leg-sharing-definitions.ts';
import type { QuantityEntry } from './quantity-entry.ts';
import { TECHNIQUE_QUANTITIES } from './technique-definitions.ts';

export type { QuantityEntry };

const ALL: readonly Side[] = ['both', 'left', 'right'];
const BOTH: readonly Side[] = ['both'];
const WHOLE: readonly null[] = [null];

const JOINT_WORDS = {
  hip: 'positive = the hip extensors (buttocks, hamstrings) work',
  knee: 'positive = the knee extensors (front of the thigh) work',
  ankle: 'positive = the calf (plantarflexors) works',
} as const;

const moments = (['hip', 'knee', 'ankle'] as const).flatMap((joint): QuantityEntry[] => [
  {
    quantity: `${joint}_moment`,
    unit: 'nm',
    sides: ALL,
    definition: `Net internal moment at the ${joint} about the sideways axis of the lab; ${JOINT_WORDS[joint]}. \`both\`: left and right together, about the point midway between the two joints.`,
  },
  {
    quantity: `${joint}_moment_gravity`,
    unit: 'nm',
    sides: ALL,
    definition: `Part of ${joint}_moment that a lifter frozen in this posture would need.`,
  },
  {
    quantity: `${joint}_moment_inertial`,
    unit: 'nm',
    sides: ALL,
    definition: `Part of ${joint}_moment that comes from acceleration: ${joint}_moment less ${joint}_moment_gravity.`,
  },
  {
    quantity: `${joint}_moment_from_below`,
    unit: 'nm',
    sides: BOTH,
    definition: `${joint}_moment computed from the measured floor force upward; only where moments from above exist too.`,
  },
  {
    quantity: `${joint}_moment_from_above`,
    unit: 'nm',
    sides: BOTH,
    definition: `${joint}_moment computed from the bar downward; only where ${joint}_moment itself is from below.`,
  },
]);

const vector = (
  quantity: string,
  unit: string,
  axes: readonly ('x' | 'y' | 'z')[],
  definition: string,
): QuantityEntry[] =>
  axes.map((axis) => ({
    quantity: `${quantity}_${axis}`,
    unit,
    sides: WHOLE,
    definition: `${definition}, ${{ x: 'forward', y: 'upward', z: 'to the lifter’s right' }[axis]} component.`,
  }));

/** Every quantity a frame can have. Where a quantity is unknown in a frame its cell is empty. */
export const FRAME_QUANTITIES: readonly QuantityEntry[] = [
  ...moments,
  {
    quantity: 'support_moment',
    unit: 'nm',
    sides: ALL,
    definition: 'hip_moment + knee_moment + ankle_moment.',
  },
  { quantity: 'hip_minus_knee', unit: 'nm', sides: ALL, definition: 'hip_moment − knee_moment; always defined.' },
  {
    quantity: 'hip_share',
    unit: '',
    sides: ALL,
    definition:
      'hip_moment / (hip_moment + knee_moment). 0 = all knee, 1 = all hip, outside where one of the two is a flexor moment. Empty where the sum is below 0.5 N·m per kg of lifter and bar (near standing it is noise).',
  },
  {
    quantity: 'hip_share_gravity',
    unit: '',
    sides: ALL,
    definition: 'hip_share of the gravity parts alone; less noisy.',
  },
  {
    quantity: 'hip_knee_ratio',
    unit: '',
    sides: ALL,
    definition:
      'hip_moment / knee_moment; empty where hip_share is, and where the knee moment is below 10 % of the sum.',
  },
  {
    quantity: 'ankle_share',
    unit: '',
    sides: ALL,
    definition: 'ankle_moment / support_moment, with the floor of hip_share.',
  },
  ...LEG_SHARING_QUANTITIES,
  {
    quantity: 'lumbosacral_moment',
    unit: 'nm',
    sides: BOTH,
    definition:
      'Net internal moment at L5/S1, a fifth of the way from mid-hip to mid-shoulder, about the sideways axis of the lab; positive = the extensors of the back work. From the movement, always.',
  },
  {
    quantity: 'lumbosacral_moment_gravity',
    unit: 'nm',
    sides: BOTH,
    definition: 'Part of lumbosacral_moment that a lifter frozen in this posture would need.',
  },
  ...(['shoulder', 'elbow'] as const).map(
    (joint): QuantityEntry => ({
      quantity: `${joint}_moment`,
      unit: 'nm',
      sides: ['left', 'right'],
      definition: `Net internal moment at the ${joint} about the sideways axis of the lab; positive = extensors work, negative = flexors hold something in front. A bar in the hands is shared by the lever rule; empty where the bar rests on the shoulders.`,
    }),
  ),
  ...(['hip', 'knee', 'ankle'] as const).map(
    (joint): QuantityEntry => ({
      quantity: `${joint}_power`,
      unit: 'w',
      sides: ALL,
      definition: `Power of the moment at the ${joint}: positive = the muscles add energy, negative = they take it up. \`both\`: moment about the mid-joint times how fast the angle changes as seen from the side; left, right: in space, from measured floor forces.`,
    }),
  ),
  {
    quantity: 'bar_power',
    unit: 'w',
    sides: WHOLE,
    definition: 'Power the bar gets: force on it times its velocity, and what turns it. From the movement, always.',
  },
  {
    quantity: 'energy_rate',
    unit: 'w',
    sides: WHOLE,
    definition: 'Rate of change of the kinetic and potential energy of lifter and bar. From the movement, always.',
  },
  {
    quantity: 'trunk_lean',
    unit: 'deg',
    sides: WHOLE,
    definition: 'Angle of the line mid-hip to mid-shoulder from upright, seen from the side; forward positive.',
  },
  {
    quantity: 'thigh_elevation',
    unit: 'deg',
    sides: ALL,
    definition:
      'Angle of the thigh (hip to knee) against the floor: +90 standing upright, 0 parallel, negative below. `both` = mean of left and right, here and for the angles below.',
  },
  {
    quantity: 'shank_inclination',
    unit: 'deg',
    sides: ALL,
    definition:
      'Angle of the shank (ankle to knee) from upright, seen from the side; knee ahead of the ankle positive.',
  },
  {
    quantity: 'knee_flexion',
    unit: 'deg',
    sides: ALL,
    definition: '180° less the angle hip, knee, ankle in space; 0 = straight.',
  },
  {
    quantity: 'foot_inclination',
    unit: 'deg',
    sides: ALL,
    definition: 'Angle of the line from heel to big toe against the floor; heel higher positive.',
  },
  {
    quantity: 'knee_over_toe',
    unit: 'm',
    sides: ALL,
    definition: 'How far the knee is ahead of the tip of the big toe; behind negative.',
  },
  {
    quantity: 'com_along_foot',
    unit: '',
    sides: WHOLE,
    definition:
      'Where the centre of mass of lifter and bar stands along the foot: 0 heel, 1 tip of the big toe; left and right averaged.',
  },
  {
    quantity: 'cop_along_foot',
    unit: '',
    sides: WHOLE,
    definition: 'The same of the centre of pressure predicted from the movement.',
  },
  {
    quantity: 'measured_cop_along_foot',
    unit: '',
    sides: WHOLE,
    definition: 'The same of the centre of pressure measured by force plates.',
  },
  ...vector('com', 'm', ['x', 'y', 'z'], 'Centre of mass of lifter and bar, lab frame'),
  ...vector('body_com', 'm', ['x', 'y', 'z'], 'Centre of mass of the lifter without the bar, lab frame'),
  { quantity: 'hip_height', unit: 'm', sides: WHOLE, definition: 'Height of the mid-hip point above the floor.' },
  { quantity: 'hip_velocity_y', unit: 'm_per_s', sides: WHOLE, definition: 'Upward velocity of the mid-hip point.' },
  ...vector('bar', 'm', ['x', 'y'], 'Centre of the barbell, lab frame'),
  {
    quantity: 'bar_velocity_y',
    unit: 'm_per_s',
    sides: WHOLE,
    definition: 'Upward velocity of the centre of the barbell.',
  },
  ...vector('ground_force', 'n', ['x', 'y', 'z'], 'Force of the floor on the lifter, predicted from the movement'),
  ...vector('cop', 'm', ['x', 'z'], 'Centre of pressure on the floor, predicted from the movement, lab frame'),
  ...vector(
    'measured_force',
    'n',
    ['x', 'y', 'z'],
    'Force of the floor on the lifter, all force plates together, filtered like the movement',
  ),
  ...vector('measured_cop', 'm', ['x', 'z'], 'Centre of pressure of all force plates together, lab frame'),
  ...TECHNIQUE_QUANTITIES,
  ...JOINT_ANGLE_QUANTITIES,
];
