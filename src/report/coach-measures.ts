import { PER_CENT, type Shown, shownAs, TIMES } from '../study/shown.ts';

/** A line of the coach's table: which measure, and what to call it. */
export interface CoachMeasure {
  readonly group: string;
  readonly measure: string;
  readonly at: string;
  readonly side: 'both' | 'left' | 'right' | '';
  readonly words: string;
  /** How to read the number; '' where the words say it. */
  readonly hint: string;
  readonly shown: Shown;
  /** Stands in the table that is open; the others are folded under it. */
  readonly main: boolean;
  /** Shown only where this other measure is unknown. */
  readonly insteadOf?: string;
}

type Line = readonly [
  measure: string,
  at: string,
  side: CoachMeasure['side'],
  words: string,
  hint: string,
  shown?: Shown,
  insteadOf?: string,
];

const DEG = shownAs('deg');
const CM = shownAs('m');
const SECONDS = shownAs('s');
const NM = shownAs('nm');
const SPEED = shownAs('m_per_s');

const group = (title: string, main: boolean, lines: readonly Line[]): CoachMeasure[] =>
  lines.map(([measure, at, side, words, hint, shown = DEG, insteadOf]) => ({
    group: title,
    measure,
    at,
    side,
    words,
    hint,
    shown,
    main,
    ...(insteadOf && { insteadOf }),
  }));

const EFFORT = 'Effort (both legs together)';
const START = 'How the lift starts';
const TRUNK = 'Trunk';
const LEGS = 'Legs';
const FOOT = 'Foot and balance';
const RACK = 'Bar and rack';
const DEPTH = 'Depth';
const TEMPO = 'Tempo and speed';
const STANCE = 'Stance';
const SIDES = 'Left and right';
const SET = 'Through the set';
const BUILD = 'Build';

/** What a coach reads first, in this order, in words without jargon; then, folded, what is asked for more rarely. */
export const COACH_MEASURES: readonly CoachMeasure[] = [
  ...group(EFFORT, true, [
    ['hip_share', 'parallel', 'both', 'Hips’ part of the hip + knee effort, at parallel', '', PER_CENT],
    ['hip_share', 'bottom', 'both', 'Hips’ part of the hip + knee effort, at the bottom', '', PER_CENT],
    ['hip_moment_peak', 'largest', 'both', 'Largest effort at the hips', '', NM],
    ['knee_moment_peak', 'largest', 'both', 'Largest effort at the knees', '', NM],
  ]),
  ...group(START, true, [
    [
      'knee_share_of_start',
      'descent',
      '',
      'Knees’ part of the first movement',
      '100 % = only knees, 0 % = only hips',
      PER_CENT,
    ],
    ['knee_onset_lead', 'descent', '', 'Knees start before the hips by', 'minus: the hips start first', SECONDS],
    ['lean_back', 'start', '', 'Leaning back before going down', 'minus: leaning forward'],
  ]),
  ...group(TRUNK, true, [
    ['trunk_lean', 'parallel', '', 'Lean at parallel', '0° = upright'],
    ['trunk_lean', 'largest', '', 'Largest lean', ''],
    [
      'lean_gained_in_drive',
      'ascent',
      '',
      'Lean gained in the first third of the way up',
      'plus: hips rise before shoulders',
    ],
  ]),
  ...group(LEGS, true, [
    ['knee_over_toe', 'bottom', 'both', 'Knee ahead of the toe at the bottom', 'minus: behind', CM],
    ['knee_return', 'drive', 'both', 'Knees move back in the first third of the way up', '', CM],
    ['knee_track', 'smallest', 'both', 'Knees against the line of the feet, most inward', 'minus: inside the foot', CM],
    [
      'ankle_dorsiflexion',
      'bottom',
      'both',
      'Bend of the ankle used at the bottom',
      'shin against foot, from standing',
    ],
  ]),
  ...group(FOOT, true, [
    ['com_along_foot', 'parallel', '', 'Weight over the foot at parallel', '0 % heel, 100 % toe', PER_CENT],
    ['com_along_foot', 'bottom', '', 'Weight over the foot at the bottom', '0 % heel, 100 % toe', PER_CENT],
    ['com_rear_shift', 'largest', '', 'Largest shift of the weight to the rear', 'part of the foot', PER_CENT],
    ['heel_lift', 'largest', 'both', 'Heels lift by', '', CM],
    ['hip_shift', 'bottom', '', 'Hips shift sideways at the bottom', 'plus: to the right', CM],
  ]),
  ...group(RACK, true, [
    ['upper_arm_drop', 'drive', 'both', 'Elbows drop by the first third of the way up', 'plus: dropped'],
    ['elbow_thigh_clearance', 'bottom', 'both', 'Elbow from the thigh at the bottom', '', CM],
    ['bar_over_midfoot', 'bottom', '', 'Bar ahead of the middle of the foot, bottom', 'minus: behind', CM],
    ['bar_path_width', 'largest', '', 'Width of the bar’s path', '', CM],
  ]),
  ...group(DEPTH, true, [
    ['bottom_thigh_elevation', 'bottom', 'both', 'Thigh angle at the bottom', '0° = parallel, minus = below'],
    ['hip_drop', 'bottom', '', 'How far the hips sink', '', CM],
  ]),
  ...group(TEMPO, true, [
    ['descent_time', 'descent', '', 'Time of the way down', '', SECONDS],
    ['ascent_time', 'ascent', '', 'Time of the way up', '', SECONDS],
    ['bar_velocity_mean', 'ascent', '', 'Mean bar speed on the way up', '', SPEED],
    [
      'placed_bar_velocity_mean',
      'ascent',
      '',
      'Mean bar speed on the way up',
      'bar taken to move with the body: its ends were not tracked',
      SPEED,
      'bar_velocity_mean',
    ],
  ]),
  ...group(SET, true, [
    ['velocity_loss', 'set', '', 'Speed lost from the fastest to the last repetition', '', PER_CENT],
    ['depth_loss', 'set', '', 'Depth lost from the deepest to the last repetition', 'plus: less deep'],
  ]),
  ...group(START, false, [
    ['pelvis_ahead', 'start', '', 'Hips ahead of the shoulders at the start', 'minus: behind', CM],
    ['trunk_lean', 'start', '', 'Lean at the start', '0° = upright'],
    ['bar_over_midfoot', 'start', '', 'Bar ahead of the middle of the foot, start', 'minus: behind', CM],
  ]),
  ...group(TRUNK, false, [
    ['trunk_lean', 'bottom', '', 'Lean at the bottom', '0° = upright'],
    ['extra_lean', 'parallel', '', 'Lean at parallel beyond that of the start', ''],
    ['largest_lean_depth', 'largest', '', 'Thigh angle where the lean is largest', '0° = parallel, minus = below'],
    ['trunk_minus_shank', 'bottom', 'both', 'Trunk lean less shin lean at the bottom', ''],
    ['trunk_rounding', 'bottom', '', 'Rounding of the back at the bottom, from standing', 'plus: rounder'],
    ['pelvic_tuck', 'bottom', '', 'Tuck of the pelvis at the bottom, from standing', 'plus: tucked under'],
    [
      'chord_shortening',
      'bottom',
      '',
      'Hips to shoulders shortened at the bottom',
      'rounding and shrugging look alike here',
      PER_CENT,
    ],
    ['head_tilt', 'start', '', 'Head tilt at the start', 'a level gaze is not 0: only changes count'],
    ['head_tilt', 'bottom', '', 'Head tilt at the bottom', 'a level gaze is not 0: only changes count'],
  ]),
  ...group(LEGS, false, [
    ['shank_inclination', 'bottom', 'both', 'Shin lean at the bottom', '0° = upright'],
    ['knee_flexion_bottom', 'bottom', 'both', 'Bend of the knee at the bottom', '0° = straight'],
    ['ankle_dorsiflexion', 'largest', 'both', 'Largest bend of the ankle used', ''],
    ['knee_track', 'parallel', 'both', 'Knees against the line of the feet at parallel', 'minus: inside the foot', CM],
    ['knee_track', 'bottom', 'both', 'Knees against the line of the feet at the bottom', 'minus: inside the foot', CM],
  ]),
  ...group(FOOT, false, [
    ['toe_lift', 'largest', 'both', 'Toes lift by', '', CM],
    ['feet_moved', 'start', 'both', 'Feet moved since the last repetition', '', CM],
    ['hip_shift', 'parallel', '', 'Hips shift sideways at parallel', 'plus: to the right', CM],
    ['hip_shift', 'drive', '', 'Hips shift sideways in the first third of the way up', 'plus: to the right', CM],
  ]),
  ...group(RACK, false, [
    ['upper_arm_elevation', 'start', 'both', 'Upper arm at the start', '0° = level, minus = elbow below'],
    ['upper_arm_elevation', 'bottom', 'both', 'Upper arm at the bottom', '0° = level, minus = elbow below'],
    ['elbow_width', 'start', '', 'Elbows apart, in shoulder widths', '', TIMES],
    ['hand_spacing', 'start', '', 'Hands apart, in shoulder widths', '', TIMES],
    ['wrist_extension', 'start', 'both', 'Wrist bent back at the start', '0° = straight'],
    ['bar_slip', 'bottom', '', 'Bar slid down the trunk by the bottom', '', CM],
    ['bar_ahead_of_shoulders', 'start', '', 'Bar ahead of the shoulders at the start', '', CM],
    ['bar_ahead_of_neck', 'start', '', 'Bar ahead of the neck at the start', '', CM],
    ['bar_drift', 'bottom', '', 'Bar drifted forward by the bottom', 'minus: backward', CM],
    ['bar_tilt', 'largest', '', 'Largest tilt of the bar', 'plus: right end higher'],
    ['bar_turn', 'bottom', '', 'Bar turned at the bottom, from above', 'plus: right end ahead'],
  ]),
  ...group(DEPTH, false, [
    [
      'hip_crease_above_knee',
      'bottom',
      'both',
      'Hip crease above the top of the knee, estimate',
      'minus: below it',
      CM,
    ],
  ]),
  ...group(TEMPO, false, [
    ['bottom_pause', 'bottom', '', 'Pause at the bottom', '', SECONDS],
    ['descent_velocity_mean', 'descent', '', 'Mean speed of the hips on the way down', '', SPEED],
    ['descent_velocity_peak', 'descent', '', 'Largest speed of the hips on the way down', '', SPEED],
    ['double_bounce', 'bottom', '', 'Hips rise and sink again at the bottom by', '', CM],
    ['sticking_height', 'sticking point', '', 'Slowest point of the way up, part of the way', '', PER_CENT],
    ['sticking_duration', 'ascent', '', 'Length of the slow stretch', '', SECONDS],
    ['sticking_speed_loss', 'sticking point', '', 'Speed lost in the slow stretch', '', PER_CENT],
    ['stall_height', 'ascent', '', 'Where a failed repetition stopped, part of the way up', '', PER_CENT],
    ['bar_velocity_peak', 'ascent', '', 'Largest bar speed on the way up', '', SPEED],
  ]),
  ...group(STANCE, false, [
    ['stance_per_shoulder_width', 'start', '', 'Stance width, in shoulder widths', '', TIMES],
    ['stance_per_hip_width', 'start', '', 'Stance width, in hip widths', '', TIMES],
    ['toe_out', 'start', 'both', 'Feet turned out', ''],
  ]),
  ...group(SIDES, false, [
    ['stance_stagger', 'start', '', 'Left foot ahead of the right', 'minus: right foot ahead', CM],
    ['left_minus_right_thigh', 'bottom', '', 'Thigh angle at the bottom, left less right', ''],
    ['left_minus_right_knee_over_toe', 'bottom', '', 'Knee ahead of the toe, left less right', '', CM],
    ['hips_tilt', 'bottom', '', 'Hips tilted at the bottom', 'plus: right hip higher'],
    ['shoulders_tilt', 'bottom', '', 'Shoulders tilted at the bottom', 'plus: right shoulder higher'],
  ]),
  ...group(BUILD, false, [
    ['femur_per_trunk', 'set', '', 'Thigh length in trunk lengths', '', TIMES],
    ['femur_per_tibia', 'set', '', 'Thigh length in shin lengths', '', TIMES],
    ['leg_per_trunk', 'set', '', 'Leg length in trunk lengths', '', TIMES],
    ['hip_width', 'set', '', 'Hip joints apart', '', CM],
    ['shoulder_width', 'set', '', 'Shoulder points apart', '', CM],
    ['thigh_percentile', 'set', '', 'Thigh length among adults', 'part of adults with a shorter one', PER_CENT],
    ['shank_percentile', 'set', '', 'Shin length among adults', 'part of adults with a shorter one', PER_CENT],
  ]),
];
