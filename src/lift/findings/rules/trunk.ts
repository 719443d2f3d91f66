import type { BarPosition } from '../../../capture/recording.ts';
import type { Basis, FindingRule } from '../rule.ts';
import { contested, practice, SQUAT } from './basis.ts';

const LEAN_BASIS: Basis = practice(
  'How far a lifter has to lean depends on the build (long thighs lean more), on the ankles and on the shoes; the limit is a rule of thumb for this place of the bar.',
);

/** Lean looked at for one place of the bar: the further back it lies, the more lean it needs. */
function leanRules(
  suffix: string,
  bar: readonly BarPosition[],
  atParallel: number,
  largest: number,
): readonly FindingRule[] {
  return [
    {
      name: `leans_far_at_parallel_${suffix}`,
      title: 'Leans far at parallel',
      measure: 'trunk_lean',
      at: 'parallel',
      sides: [''],
      comparison: 'above',
      threshold: atParallel,
      basis: LEAN_BASIS,
      sentence: 'With the thighs level the trunk leans forward by {value}.',
      why: 'The further the trunk leans, the more the hips and the back have to hold, and the harder it is to keep the bar in place.',
      cue: 'Think chest and bar up as the hips go down, and let the knees go a little further forward. If the heels then want to lift, try shoes with a heel.',
      caution:
        'Knees further forward means more work for the knees and more bend in the ankles: change it with a light load first.',
      priority: 3,
      appliesTo: { ...SQUAT, bar },
    },
    {
      name: `leans_far_${suffix}`,
      title: 'Largest lean is far',
      measure: 'trunk_lean',
      at: 'largest',
      sides: [''],
      comparison: 'above',
      threshold: largest,
      basis: LEAN_BASIS,
      sentence: 'At its largest, somewhere in the repetition, the trunk leans forward by {value}.',
      why: 'The place of the largest lean is where the back works hardest; it is often on the way up.',
      cue: 'Take a little load off and hold the chest at the same lean from the bottom to half way up.',
      caution:
        'If the lean comes back with every heavy set, lift less than the load that brings it until it stays away.',
      priority: 3,
      appliesTo: { ...SQUAT, bar },
    },
  ];
}

/** What the trunk does. */
export const TRUNK_RULES: readonly FindingRule[] = [
  ...leanRules('front', ['front rack', 'overhead'], 40, 48),
  ...leanRules('high_back', ['high back', 'none'], 50, 58),
  ...leanRules('low_back', ['low back'], 60, 66),
  {
    name: 'back_rounds',
    title: 'Upper and middle back round',
    measure: 'trunk_rounding',
    at: 'largest',
    sides: [''],
    comparison: 'above',
    threshold: 15,
    basis: contested(
      'How much rounding matters is contested: a review of eleven studies (Saraceni and others 2020, summary read) found low-quality evidence that bending the lower back while lifting does not go with back pain; most coaches still ask for a back that keeps its shape under a heavy bar. The threshold is common practice, no source.',
    ),
    sentence: 'The back bends forward by {value} from how it stood at the start.',
    why: 'A back that gives way lets the bar sink and lengthens the way up.',
    cue: 'Big breath and brace before each repetition, elbows (front squat) or elbows and chest (back squat) up; stop the set at the repetition where the shape goes.',
    caution: 'With back pain, now or before, do not test this: see a qualified person first.',
    priority: 1,
  },
  {
    name: 'trunk_shortens',
    title: 'Trunk gets shorter',
    measure: 'chord_shortening',
    at: 'largest',
    sides: [''],
    comparison: 'above',
    threshold: 0.05,
    basis: contested(
      'The line from hips to shoulders gets shorter when the back rounds, and also when the shoulders come forward or the shrug is lost. The threshold is common practice, no source.',
    ),
    sentence: 'The line from the hips to the shoulders gets shorter by {value} of its length.',
    why: 'It may be a rounding back, or shoulders that move; a point on the middle of the back would tell them apart.',
    cue: '',
    caution: '',
    priority: 4,
    openBecause: 'rounding and moving shoulders look alike without a point on the middle of the back (mid_back)',
  },
  {
    name: 'pelvis_tucks',
    title: 'Pelvis tucks under at the bottom',
    measure: 'pelvic_tuck',
    at: 'bottom',
    sides: [''],
    comparison: 'above',
    threshold: 20,
    basis: contested(
      'Some tuck at the bottom is seen in most deep squats, and how much of it matters is contested. The threshold is common practice, no source.',
    ),
    sentence: 'From the start to the bottom the pelvis turns under by {value}.',
    why: 'A pelvis that turns under takes the lower back with it, at the place where the load is hardest to hold.',
    cue: 'Stop a hand’s width higher for a few sets, or stand a little wider with the toes out, and see at which depth it begins.',
    caution: 'With back pain, now or before, do not test this: see a qualified person first.',
    priority: 3,
    appliesTo: SQUAT,
  },
];
