import type { Course, PlannedRepetition } from '../course.ts';
import { smoothStep } from '../course.ts';
import { type Steering, type VirtualLift, virtualLift } from '../lift.ts';
import type { Style } from '../posture.ts';
import type { Fault } from './fault.ts';
import { inDrive, withDepth } from './when.ts';

const DEG = Math.PI / 180;

const balanced = (
  words: string,
  measure: Fault['measure'],
  range: Fault['range'],
  make: (lift: VirtualLift, size: number) => VirtualLift,
): Fault => ({ words, measure, kind: 'balanced', range, apply: (lift, size) => make(lift, size) });

const steered =
  (steering: (lift: VirtualLift, size: number) => Steering) =>
  (lift: VirtualLift, size: number): VirtualLift =>
    virtualLift(lift.setup, lift.course, steering(lift, size));

const restyled =
  (style: (style: Style, size: number) => Partial<Style>) =>
  ({ setup, course }: VirtualLift, size: number): VirtualLift =>
    virtualLift({ ...setup, style: { ...setup.style, ...style(setup.style, size) } }, course);

/** Repetitions planned otherwise; what comes after one that lasts longer comes later. */
function replanned(
  course: Course,
  plan: (repetition: PlannedRepetition, index: number) => Partial<PlannedRepetition>,
): Course {
  let later = 0;
  const lasts = ({ descentS, pauseS, ascentS }: PlannedRepetition) => descentS + pauseS + ascentS;
  const repetitions = course.repetitions.map((repetition, index) => {
    const changed = { ...repetition, ...plan(repetition, index), startS: repetition.startS + later };
    later += lasts(changed) - lasts(repetition);
    return changed;
  });
  return { ...course, repetitions, durationS: course.durationS + later };
}

const recourse =
  (
    plan: (size: number, last: number) => (repetition: PlannedRepetition, index: number) => Partial<PlannedRepetition>,
  ) =>
  ({ setup, course }: VirtualLift, size: number): VirtualLift =>
    virtualLift(setup, replanned(course, plan(size, course.repetitions.length - 1)));

/** Time at the bottom in which a lifter comes up and sinks again. */
const BOUNCE_S = 0.9;

function bounced({ setup, course }: VirtualLift, size: number): VirtualLift {
  const paused = replanned(course, () => ({ pauseS: BOUNCE_S }));
  const depth = (t: number) =>
    paused.repetitions.reduce((sum, { startS, descentS }) => {
      const u = (t - startS - descentS) / BOUNCE_S;
      return sum - size * (smoothStep((u - 0.05) / 0.45) - smoothStep((u - 0.5) / 0.45));
    }, 0);
  return virtualLift(setup, paused, { depth });
}

export const BALANCED_FAULTS = {
  'knees shoot back': balanced(
    'The shins come upright in the first third of the way up: the knees go back, the trunk tips to keep the balance.',
    { measure: 'knee_return', at: 'drive', side: 'both' },
    [-15 * DEG, 20 * DEG],
    steered(({ course }, size) => {
      const share = inDrive(course);
      return { shankRad: (t) => -size * share(t) };
    }),
  ),
  'hips rise first': balanced(
    'The shins come upright in the first third of the way up, and balance tips the trunk.',
    { measure: 'lean_gained_in_drive', at: 'ascent', side: '' },
    [-15 * DEG, 20 * DEG],
    steered(({ course }, size) => {
      const share = inDrive(course);
      return { shankRad: (t) => -size * share(t) };
    }),
  ),
  'leans far': balanced(
    'The shins stay upright as the lifter sinks, so that balance makes the trunk lean.',
    { measure: 'trunk_lean', at: 'parallel', side: '' },
    [-12 * DEG, 25 * DEG],
    steered(({ course }, size) => {
      const share = withDepth(course);
      return { shankRad: (t) => -size * share(t) };
    }),
  ),
  'weight goes back': balanced(
    'The weight moves to the heels as the lifter sinks.',
    { measure: 'com_rear_shift', at: 'largest', side: '' },
    [-0.2, 0.35],
    steered(({ course }, size) => {
      const share = withDepth(course);
      return { footPoint: (t) => -size * share(t) };
    }),
  ),
  'weight stands forward': balanced(
    'The weight is further forward on the foot all the time.',
    { measure: 'com_along_foot', at: 'start', side: '' },
    [-0.35, 0.35],
    steered((_lift, size) => ({ footPoint: () => size })),
  ),
  'too shallow': balanced(
    'The thighs stay above parallel.',
    { measure: 'bottom_thigh_elevation', at: 'bottom', side: 'both' },
    [-10 * DEG, 45 * DEG],
    steered(({ course }, size) => {
      const share = withDepth(course);
      return { thighRad: (t) => size * share(t) };
    }),
  ),
  'double bounce': balanced(
    'The hips come up a little at the bottom and sink again before the drive.',
    { measure: 'double_bounce', at: 'bottom', side: '' },
    [0, 0.25],
    bounced,
  ),
  'hips first': balanced(
    'The hips start the descent.',
    { measure: 'knee_share_of_start', at: 'descent', side: '' },
    [-1.2, 1],
    restyled((_style, size) => ({ shankShape: size })),
  ),
  'leans back': balanced(
    'The lifter stands leaning back.',
    { measure: 'lean_back', at: 'start', side: '' },
    [-12 * DEG, 12 * DEG],
    restyled((_style, size) => ({ standingLeanRad: -size })),
  ),
  'shins lean': balanced(
    'The shins lean further forward at depth.',
    { measure: 'shank_inclination', at: 'bottom', side: 'both' },
    [-25 * DEG, 25 * DEG],
    steered(({ course }, size) => {
      const share = withDepth(course);
      return { shankRad: (t) => size * share(t) };
    }),
  ),
  'stands wide': balanced(
    'The feet stand further apart.',
    { measure: 'stance_ankle_distance', at: 'start', side: '' },
    [-0.2, 0.4],
    restyled(({ ankleDistanceM }, size) => ({ ankleDistanceM: ankleDistanceM + size })),
  ),
  'toes out': balanced(
    'The feet are turned further out.',
    { measure: 'toe_out', at: 'start', side: 'both' },
    [-35 * DEG, 40 * DEG],
    restyled(({ toeOutRad }, size) => ({ toeOutRad: toeOutRad + size })),
  ),
  'drops fast': balanced(
    'The descent is quicker.',
    { measure: 'descent_velocity_peak', at: 'descent', side: '' },
    [-0.6, 0.8],
    recourse((size) => ({ descentS }) => ({ descentS: descentS * (1 - size) })),
  ),
  'slows down': balanced(
    'The last repetition comes up more slowly.',
    { measure: 'velocity_loss', at: 'set', side: '' },
    [-0.3, 2],
    recourse(
      (size, last) =>
        ({ ascentS }, index) =>
          index === last ? { ascentS: ascentS * (1 + size) } : {},
    ),
  ),
  'loses depth': balanced(
    'The last repetition is less deep.',
    { measure: 'depth_loss', at: 'set', side: '' },
    [-0.05, 0.5],
    recourse(
      (size, last) =>
        ({ depth }, index) =>
          index === last ? { depth: depth * (1 - size) } : {},
    ),
  ),
  'slows half-way': balanced(
    'The drive all but stops half-way up.',
    { measure: 'sticking_speed_loss', at: 'sticking point', side: '' },
    [0.3, 0.5],
    recourse((size) => () => ({ sticking: size })),
  ),
} as const satisfies Record<string, Fault>;
