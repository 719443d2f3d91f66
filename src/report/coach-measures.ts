import { PER_CENT, type Shown, shownAs, TIMES } from '../study/shown.ts';

/** A line of the coach's table: which measure, and what to call it. */
export interface CoachMeasure {
  readonly group: string;
  readonly measure: string;
  readonly at: string;
  readonly side: 'both' | '';
  readonly words: string;
  /** How to read the number; '' where the words say it. */
  readonly hint: string;
  readonly shown: Shown;
  /** Shown only where this other measure is unknown. */
  readonly insteadOf?: string;
}

const line = (
  group: string,
  measure: string,
  at: string,
  side: 'both' | '',
  words: string,
  hint: string,
  shown: Shown,
  insteadOf?: string,
): CoachMeasure => ({ group, measure, at, side, words, hint, shown, insteadOf });

const EFFORT = 'Effort (both legs together)';
const START = 'How the lift starts';
const TRUNK = 'Trunk';
const LEGS = 'Legs and feet';
const DEPTH = 'Depth and tempo';
const BUILD = 'Build';

/** What a coach reads first, in this order, in words without jargon. The full list stands in the last part of the report. */
export const COACH_MEASURES: readonly CoachMeasure[] = [
  line(EFFORT, 'hip_share', 'parallel', 'both', 'Hips’ part of the hip + knee effort, at parallel', '', PER_CENT),
  line(EFFORT, 'hip_share', 'bottom', 'both', 'Hips’ part of the hip + knee effort, at the bottom', '', PER_CENT),
  line(EFFORT, 'hip_moment_peak', 'largest', 'both', 'Largest effort at the hips', '', shownAs('nm')),
  line(EFFORT, 'knee_moment_peak', 'largest', 'both', 'Largest effort at the knees', '', shownAs('nm')),
  line(
    START,
    'knee_share_of_start',
    'descent',
    '',
    'Knees’ part of the first movement',
    '100 % = only knees, 0 % = only hips',
    PER_CENT,
  ),
  line(
    START,
    'knee_onset_lead',
    'descent',
    '',
    'Knees start before the hips by',
    'minus: the hips start first',
    shownAs('s'),
  ),
  line(TRUNK, 'trunk_lean', 'start', '', 'Lean at the start', '0° = upright', shownAs('deg')),
  line(TRUNK, 'trunk_lean', 'parallel', '', 'Lean at parallel', '', shownAs('deg')),
  line(TRUNK, 'trunk_lean', 'largest', '', 'Largest lean', '', shownAs('deg')),
  line(
    TRUNK,
    'lean_gained_in_drive',
    'ascent',
    '',
    'Lean gained in the first third of the way up',
    'plus: hips rise before shoulders',
    shownAs('deg'),
  ),
  line(LEGS, 'knee_over_toe', 'bottom', 'both', 'Knee ahead of the toe at the bottom', 'minus: behind', shownAs('m')),
  line(LEGS, 'shank_inclination', 'bottom', 'both', 'Shin lean at the bottom', '0° = upright', shownAs('deg')),
  line(LEGS, 'com_along_foot', 'parallel', '', 'Mass over the foot at parallel', '0 % heel, 100 % toe', PER_CENT),
  line(LEGS, 'com_along_foot', 'bottom', '', 'Mass over the foot at the bottom', '0 % heel, 100 % toe', PER_CENT),
  line(LEGS, 'com_rear_shift', 'largest', '', 'Largest shift of the mass to the rear', 'share of the foot', PER_CENT),
  line(LEGS, 'stance_per_shoulder_width', 'start', '', 'Stance width, in shoulder widths', '', TIMES),
  line(LEGS, 'toe_out', 'start', 'both', 'Feet turned out', '', shownAs('deg')),
  line(
    DEPTH,
    'bottom_thigh_elevation',
    'bottom',
    'both',
    'Thigh angle at the bottom',
    '0° = parallel, minus = below',
    shownAs('deg'),
  ),
  line(DEPTH, 'hip_drop', 'bottom', '', 'How far the hips sink', '', shownAs('m')),
  line(DEPTH, 'descent_time', 'descent', '', 'Time of the way down', '', shownAs('s')),
  line(DEPTH, 'bottom_pause', 'bottom', '', 'Pause at the bottom', '', shownAs('s')),
  line(DEPTH, 'ascent_time', 'ascent', '', 'Time of the way up', '', shownAs('s')),
  line(DEPTH, 'bar_velocity_mean', 'ascent', '', 'Mean bar speed on the way up', '', shownAs('m_per_s')),
  line(
    DEPTH,
    'placed_bar_velocity_mean',
    'ascent',
    '',
    'Mean bar speed on the way up',
    'bar taken to move with the body: its ends were not tracked',
    shownAs('m_per_s'),
    'bar_velocity_mean',
  ),
  line(BUILD, 'femur_per_trunk', 'set', '', 'Thigh length in trunk lengths', '', TIMES),
  line(BUILD, 'femur_per_tibia', 'set', '', 'Thigh length in shin lengths', '', TIMES),
];
