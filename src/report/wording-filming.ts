/* What was not seen, and how to film it next time. Tests assert on the reasons, not on the prose. */

export interface FilmingWords {
  /** What was not seen, in the words of a coach. */
  readonly notSeen: string;
  /** What to do next time. */
  readonly nextTime: string;
}

interface FilmingRule {
  /** The reasons of the tables that mean it. */
  readonly when: RegExp;
  readonly words: FilmingWords;
}

const rule = (when: RegExp, notSeen: string, nextTime: string): FilmingRule => ({ when, words: { notSeen, nextTime } });

/** Common practice, no source. */
export const FILMING: readonly FilmingRule[] = [
  rule(
    /needs .*_(heel|big_toe|small_toe)/,
    'heels and toes',
    'Film so that both feet are in every picture, from the sole up, nothing lying before them, and have heels and toes found too.',
  ),
  rule(
    /needs .*bar_(left|right)_end/,
    'the ends of the bar',
    'Film so that both ends of the bar stay in every picture, also at the bottom, and track them: a bright sticker on each end helps.',
  ),
  rule(
    /needs .*(mid_back|neck_base)/,
    'the back between hips and neck',
    'Stick one marker on the base of the neck and one between the shoulder blades, let a camera see them from behind, and track them.',
  ),
  rule(
    /needs .*_(ear|eye)\b|needs .*\bhead\b(?!,? trunk)/,
    'the head',
    'Film so that eyes and one ear are not hidden by bar, hands or hair.',
  ),
  rule(/needs .*_hand\b/, 'the hands', 'Film near enough to see the knuckles, and have them found too.'),
  rule(
    /needs .*_(shoulder|elbow|wrist)\b|needs head, trunk and arms/,
    'the arms and shoulders',
    'Film so that both arms are in every picture; a camera a little to the front and one a little to the back see past bar and discs.',
  ),
  rule(
    /needs .*_(hip|knee|ankle)\b/,
    'hips, knees or ankles',
    'Film the whole lifter from head to sole; nothing between camera and legs.',
  ),
  rule(
    /needs .*(asis|psis|pelvis)/i,
    'the pelvis',
    'It takes markers on the bony points of the pelvis, front and back, put there by someone who knows how.',
  ),
  rule(
    /beside a gap or an end|recording (begins|ends)/,
    'the very beginning or end, or what lies beside a hole in the film',
    'Start filming two seconds before the first repetition, stand still, and stop two seconds after the last; in between, keep the whole lifter in every picture, with nothing before the camera.',
  ),
  rule(
    /too little standing|within the noise of standing|does not leave the sway/,
    'a still stand before going down',
    'Stand still for one second before every repetition: only then does it show what moves first.',
  ),
  rule(
    /^missing$|points missing|moments missing|depth not known|not known$/,
    'parts of the movement',
    'More light, clothes that stand out from the wall, and nobody walking through the picture.',
  ),
];
