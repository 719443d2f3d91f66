import type { Finding } from './findings.ts';

/** Findings that coaches often meet one after the other, as data. */
export interface ChainRule {
  readonly name: string;
  /** Rules in the order of the lift; a link may be any one of several rules. */
  readonly links: readonly ChainLink[];
}

export interface ChainLink {
  readonly rules: readonly string[];
  /** What was seen, to stand in a list: 'a trunk that leans back at the start'. */
  readonly seen: string;
  /** How coaches tie it to the link before it; '' for the first. */
  readonly tie: string;
}

/** Findings of one set that were shown together. It says nothing about what caused what. */
export interface FindingChain {
  readonly name: string;
  readonly links: readonly Finding[];
  readonly sentence: string;
}

/**
 * The chains of a set: runs of two or more neighbouring links that are each *shown* for the set (repetition 0). A link that
 * is not shown ends a run; a run that stands inside another one is left out.
 */
export function chainsOf(findings: readonly Finding[], rules: readonly ChainRule[] = CHAINS): readonly FindingChain[] {
  const shown = new Map<string, Finding>();
  for (const finding of findings) {
    if (finding.repetition !== 0 || finding.word !== 'shown') continue;
    const before = shown.get(finding.rule.name);
    if (!before || finding.probability > before.probability) shown.set(finding.rule.name, finding);
  }
  const runs = rules.flatMap((rule) => runsOf(rule, shown));
  return runs.filter((run, i) => !runs.some((other, j) => holds(other, run) && (!holds(run, other) || j < i)));
}

function runsOf({ name, links }: ChainRule, shown: ReadonlyMap<string, Finding>): FindingChain[] {
  const runs: { link: ChainLink; finding: Finding }[][] = [[]];
  for (const link of links) {
    const found = link.rules.flatMap((rule) => shown.get(rule) ?? []);
    if (found.length === 0) runs.push([]);
    else runs[runs.length - 1].push({ link, finding: found[0] });
  }
  return runs
    .filter((run) => run.length >= 2)
    .map((run) => ({
      name,
      links: run.map(({ finding }) => finding),
      sentence: sentenceOf(run.map(({ link }) => link)),
    }));
}

/** Whether `inner`'s findings stand side by side within `outer`'s. */
function holds(outer: FindingChain, inner: FindingChain): boolean {
  const names = ({ links }: FindingChain) => links.map(({ rule }) => rule.name);
  const [long, short] = [names(outer), names(inner)];
  return long.some((_, from) => short.every((name, i) => long[from + i] === name));
}

function sentenceOf(links: readonly ChainLink[]): string {
  const seen = links.map((link) => link.seen);
  const list = `${seen.slice(0, -1).join(', ')} and ${seen[seen.length - 1]}`;
  const ties = links.slice(1).map(({ tie }) => tie);
  return `Seen together in this set: ${list}. ${ties.join(' ')} That they were seen together does not show that one causes the other.`;
}

const LEANS_FAR = ['front', 'high_back', 'low_back'].map((bar) => `leans_far_at_parallel_${bar}`);

/** The built-in chains. That their links often come together: common practice, no source. */
export const CHAINS: readonly ChainRule[] = [
  {
    name: 'back_and_up',
    links: [
      { rules: ['leans_back_at_start'], seen: 'a trunk that leans back at the start', tie: '' },
      {
        rules: ['hips_first_start'],
        seen: 'hips that start first',
        tie: 'Lifters who lean back at the start often set off with the hips.',
      },
      {
        rules: ['weight_shifts_back', 'weight_on_heels'],
        seen: 'weight that goes to the heels',
        tie: 'Hips that go back often take the weight to the heels.',
      },
      {
        rules: ['hips_rise_first'],
        seen: 'hips that rise before the shoulders',
        tie: 'With the weight back, the way up often begins with the hips.',
      },
    ],
  },
  {
    name: 'hips_up_early',
    links: [
      { rules: ['hips_first_start'], seen: 'hips that start first', tie: '' },
      {
        rules: LEANS_FAR,
        seen: 'a trunk that leans far at parallel',
        tie: 'Hips that go back often bring the trunk forward.',
      },
      {
        rules: ['hips_rise_first'],
        seen: 'hips that rise before the shoulders',
        tie: 'From a far lean the hips often come up before the shoulders.',
      },
      {
        rules: ['knees_shoot_back'],
        seen: 'knees that shoot back',
        tie: 'Hips that rise early often come with knees that straighten early.',
      },
    ],
  },
  {
    name: 'ankles_to_lean',
    links: [
      { rules: ['ankles_bend_far'], seen: 'ankles bent near what most have', tie: '' },
      {
        rules: ['heels_lift'],
        seen: 'a heel that comes up',
        tie: 'When little ankle bend is left, depth often comes from a lifting heel.',
      },
      {
        rules: ['weight_on_toes'],
        seen: 'weight near the toes',
        tie: 'With a heel up the weight is often near the toes.',
      },
    ],
  },
  {
    name: 'elbows_to_bar',
    links: [
      {
        rules: ['elbows_low_at_start', 'elbows_low_with_whole_hand'],
        seen: 'elbows that are low at the start',
        tie: '',
      },
      {
        rules: ['elbows_drop', 'elbows_drop_at_bottom'],
        seen: 'elbows that drop further',
        tie: 'Elbows that start low often drop further under load.',
      },
      {
        rules: ['bar_slips', 'bar_drifts_forward', 'bar_ahead_at_bottom'],
        seen: 'a bar that leaves its place',
        tie: 'When the elbows drop, the bar often rolls or slides.',
      },
    ],
  },
  {
    name: 'stance_to_bar',
    links: [
      { rules: ['left_foot_ahead', 'right_foot_ahead'], seen: 'one foot that stands ahead', tie: '' },
      {
        rules: ['hips_shift_left', 'hips_shift_right'],
        seen: 'hips that shift sideways',
        tie: 'A turned stance often goes with hips that shift.',
      },
      {
        rules: ['bar_right_higher', 'bar_left_higher'],
        seen: 'a bar that tilts',
        tie: 'Hips that shift are often seen at the bar too.',
      },
    ],
  },
  {
    name: 'drop_to_bounce',
    links: [
      { rules: ['drops_fast'], seen: 'a fast drop', tie: '' },
      { rules: ['double_bounce'], seen: 'a second bounce', tie: 'A fast drop often bounces at the bottom.' },
      {
        rules: ['hips_rise_first'],
        seen: 'hips that rise before the shoulders',
        tie: 'After a bounce the hips often leave the bottom first.',
      },
    ],
  },
];
