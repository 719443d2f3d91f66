/* What the page of a study says beside its tables. */

export const acrossHeading = () => 'Each lifter across loads and conditions';
export const acrossNote = (intervals: boolean) =>
  intervals
    ? 'A dot: mean of the full repetitions; the line: its 95 % interval. Intervals of one lifter share causes of doubt, so two lifts may differ for sure although their lines overlap: the table of changes says which.'
    : 'A dot: mean of the full repetitions, without an interval: whether two lifts differ for sure cannot be told.';
export const lifterHeading = (lifter: string) => `Lifter ${lifter}`;
export const hipsAtParallel = () => 'Hips’ part at parallel';
export const largestLean = () => 'Largest lean of the trunk';
export const dotsDescription = (lifter: string, title: string, intervals: boolean) =>
  `${title} of lifter ${lifter}: a dot${intervals ? ' with its interval' : ''} for each lift.`;
export const liftsCount = (count: number) => `${count} lift${count === 1 ? '' : 's'}`;
export const liftersCount = (count: number) => `${count} lifter${count === 1 ? '' : 's'}`;

// Comparison of the whole study
export const cohortHeading = () => 'Comparison';
export const cohortNote = () =>
  'In brackets: the range that holds the true value for lifters like these 19 times out of 20 (95 % interval), with what the measurement errors common to several recordings do where that is known. A comparison is not a cause: order, fatigue and learning are in it unless the study balanced them. Method: docs/method/cohort.md.';
export const forestFigure = (figure: number, of: number) =>
  `What makes a difference${of > 1 ? `, ${figure} of ${of}` : ''}`;
const MODEL_DRAWN = {
  means: ', and the means of the model',
  line: ', and the line of the model',
  nothing: '',
} as const;
export const levelsFigure = (drawn: keyof typeof MODEL_DRAWN) => `Each athlete${MODEL_DRAWN[drawn]}`;
export const limbRatioFigure = () => 'Hips’ part against limb ratio';
export const heatFigure = () => 'Hips’ part by stance and heel';
export const depthFigure = () => 'Hips’ part across depth';
export const moreDepthsFigure = (count: number) => `${count} more comparison${count === 1 ? '' : 's'} across depth`;
export const moreDepths = (drawn: number) =>
  `at most ${drawn} are drawn; all are in cohort-curve-tests.csv and cohort-group-curves.csv`;
export const noCurves = () => 'no athlete has the curve';
export const effectsTableHeading = () => 'All effects';
export const effectColumns = () =>
  ['Outcome', 'Effect', 'Estimate (95 % interval)', 'Verdict', 'p (Holm)', 'n', 'Missing'] as const;
export const effectCounts = (recordings: number, athletes: number) =>
  `${recordings} recording${recordings === 1 ? '' : 's'}, ${athletes} athlete${athletes === 1 ? '' : 's'}`;
export const effectMissing = (recordings: number) => `${recordings} recording${recordings === 1 ? '' : 's'}`;
export const withoutSharedMark = () => 'without the shared part';
export const tablesOf = () => 'Tables:';
export const notDrawn = (title: string, why: string) =>
  `Not drawn: “${title}”. ${why.charAt(0).toUpperCase()}${why.slice(1)}.`;
export const filesOfFigure = () => 'Files:';

// Sentences for the coach
const A_LIFTER = 'a lifter like these';
/** What one step of a covariate means, up to the subject. */
export const onStep = (term: string, name: string, step: string) =>
  term === 'heel_height_mm'
    ? `on a heel ${step} higher ${A_LIFTER}`
    : term === 'load_kg'
      ? `with ${step} more ${A_LIFTER}`
      : term === 'week'
        ? `a week later ${A_LIFTER}`
        : `with “${name}” larger by ${step} ${A_LIFTER}`;
export const onLevel = (term: string, name: string, level: string, reference: string) =>
  term === 'heel_height_mm'
    ? `on a heel of ${level} mm instead of ${reference} mm ${A_LIFTER}`
    : term === 'sex'
      ? `a ${level} lifter like these, compared with a ${reference} one,`
      : `with “${name}” ${level} instead of ${reference} ${A_LIFTER}`;
interface Verb {
  readonly shows: string;
  readonly may: string;
  readonly less: string;
  readonly more: string;
  readonly after: string;
}
/** What a ratio is put as before it is compared. */
const SCALES: Readonly<Record<string, string>> = {
  share: ', counted as the share a / (a + b)',
  reciprocal: ', counted as −1 / ratio',
};
/** How an outcome is put into a sentence. */
export const verbOf = (measure: string, name: string, scale: string): Verb =>
  measure === 'trunk_lean'
    ? { shows: 'leans', may: 'lean', less: 'less', more: 'more', after: name }
    : measure === 'hip_share'
      ? {
          shows: 'has the hips take',
          may: 'have the hips take',
          less: 'less of the effort',
          more: 'more of the effort',
          after: name,
        }
      : { shows: 'shows', may: 'show', less: 'less', more: 'more', after: ` in “${name}”${SCALES[scale] ?? ''}` };
/** `where`: what the effect is the effect at, '' where it is one everywhere. */
export const effectSentence = (
  subject: string,
  verb: Verb,
  amount: string,
  more: boolean,
  interval: string,
  where: string,
) => `${capital(subject)} ${verb.shows} ${amount} ${more ? verb.more : verb.less}${verb.after} (${interval})${where}.`;
export const noEffectSentence = (subject: string, verb: Verb, less: string, more: string, where: string) =>
  `No difference is shown: ${subject} may ${verb.may} anything from ${less} ${verb.less} to ${more} ${verb.more}${verb.after}${where}.`;
/** A factor of more than two levels. `probability`: '< 0.001', '= 0.02'. */
export const levelsSentence = (
  outcome: string,
  name: string,
  levels: number,
  differs: boolean,
  probability: string,
  where: string,
) =>
  `${differs ? `“${outcome}” differs` : `No difference is shown in “${outcome}”`} between the ${levels} levels of “${name}” taken together (p ${probability})${where}.`;
/** '' where nothing changes the effect. */
export const holdsWhere = (partners: readonly string[]) =>
  partners.length === 0 ? '' : `, at ${partners.join(' and ')} (elsewhere it may differ: see the effects with “×”)`;
/** 'sex female', 'heel height 15 mm'; `at` '' where the tables do not say. */
export const partnerAt = (name: string, at: string) => (at === '' ? `one value of ${name} only` : `${name} ${at}`);
/** Means by the model, back in the unit of the measure. */
export const meansSentence = (now: string, against: string) => `The mean is ${now} instead of ${against}.`;
export const mayBeChance = (probability: string) =>
  `With several outcomes looked at, one like this may be chance (p by Holm’s rule ${probability}).`;
export const noIntervalSentence = (outcome: string) =>
  `“${outcome}”: the effect has no interval, so nothing can be said.`;
export const notInGeneral = (outcome: string, why: string) =>
  `“${outcome}”: nothing can be said of lifters in general: ${why}.`;
export const ownContrasts = () =>
  'What each athlete’s own recordings tell stands in the figure and the table; it holds for that athlete alone.';
export const nothingCompared = () => 'No outcome has an effect of one predictor alone.';

// From week to week
export const weeksHeading = () => 'From week to week';
export const weeksNote = () =>
  'Sessions of one athlete at the same load and condition. “Changed” is said only of what goes beyond the measurement, the repetitions and how the athlete differs from day to day. Of the measures of reliability.csv; week-changes.csv has all. Method: docs/method/weeks.md.';
export const noWeeks = () =>
  'Nothing is followed: it takes recordings with a day (date in the recording file) and with intervals (not “--no-intervals”).';
export const weeksFigure = () => 'Week by week, and what would show';
export const weekWords = (athlete: string, name: string, change: string, verdict: string) =>
  `${athlete}: ${name} ${verdict}, ${change}, last against first session.`;
export const moreWeekChanges = (more: number) => `And ${more} more, in week-changes.csv.`;
export const noWeekChange = (compared: number) =>
  `No change is shown in ${compared} comparison${compared === 1 ? '' : 's'} of a last with a first session.`;

// Repeated recordings
export const reliabilityHeading = () => 'How alike repeated recordings are';
export const reliabilityNote = () =>
  'A change of one athlete smaller than the minimal detectable change (MDC) may be nothing but the difference between two recordings. Method: docs/method/reliability.md.';
export const reliabilityFigure = () => 'Repeated recordings';

const capital = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
