import type { RigQuality } from '../cameras/rig.ts';
import { type Recording, type Smoothing, type SmoothingMethod, smoothingMethod } from '../capture/recording.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import type { ForceMismatch, PowerBalanceQuality } from '../mechanics/joint-loads.ts';
import { numberText } from '../study/shown.ts';
import { digitsText } from './numbers.ts';

/* What the last part of the report says: for readers who want to know how the numbers came about. */

/** True where the moments of both legs, each, come from the force under its foot. */
const eachLegMeasured = ({ loads }: LiftRecord) => Boolean(loads.fromBelow?.left && loads.fromBelow.right);

/** Where the parts of the scientist's view stand. */
export const contents = (intervals: boolean, tables: boolean): readonly (readonly [id: string, words: string])[] => [
  ['quality', 'Quality'],
  ...(intervals ? [['doubt', 'Doubt'] as const] : []),
  ...(tables ? [['data', 'Tables'] as const] : []),
  ['method', 'Assumptions and settings'],
  ['files', 'Files'],
];

export const assumptionsHeading = () => 'Assumptions';
export function assumptions(record: LiftRecord): string[] {
  const { primary, motion } = record.loads;
  return [
    'Net internal moments of inverse dynamics (Newton–Euler): what all muscles and passive tissue around a joint give together. Muscles working against each other do not show, and no force in a bone or ligament follows from it.',
    ...(primary === 'above'
      ? [
          'Moments are summed from the bar and head downward; both legs are cut at once about the point midway between left and right joints.',
        ]
      : []),
    ...(record.legSharing
      ? [
          `Numbers of one leg called “shared” rest on an assumption: the floor’s force is shared between the feet (${record.legSharing.choice}). ${eachLegMeasured(record) ? 'Beside them stand those measured by a force plate under each foot; compare.' : 'Only force plates measure it.'}`,
        ]
      : []),
    ...(primary === 'below'
      ? ['Moments are summed from the measured floor forces upward, filtered like the movement.']
      : []),
    ...(primary === 'none' ? ['No moments: they need head, trunk and arms, or force plates.'] : []),
    motion.trunkBend
      ? 'The trunk’s mass follows a spine that bends as the lifter leans and shoulders that move on the chest, by published means of other people; how far this lifter may differ is a cause of doubt (segments).'
      : 'The trunk is one straight body from mid-hip to mid-shoulder. With shoulders drawn forward under a bar this puts the upper body too far ahead as the lifter leans.',
    'Keypoints called hip and shoulder are not joint centres; their offsets differ with the side they are seen from. As far as they are not corrected they are a cause of doubt (points against joints).',
    'Deep in the squat thigh and calf touch (beyond about 120–130° of knee flexion): the net knee moment is then not all muscle.',
    `Segment masses and centres from the table ${motion.table}, which was made from other people.${motion.sex === 'unknown' ? ' Sex is not stated: see the notes for what the other table would give.' : ''}`,
  ];
}

export const settingColumns = () => ['setting', 'value'] as const;
export const mismatchColumns = () => ['comparison', 'value'] as const;
export const settingsHeading = () => 'Settings';
export const smoothingWords = (smoothing: Smoothing): string => {
  const method = smoothingMethod(smoothing);
  const words = method === null ? '' : METHOD_WORDS[method];
  switch (smoothing.kind) {
    case 'fixed':
      return `${words}, −3 dB of the whole ${method === 'zero-lag filter' ? 'filter' : 'smoother'} at ${smoothing.legsHz} Hz (legs), ${smoothing.trunkHz} Hz (hips, trunk, arms, head), ${smoothing.barHz} Hz (bar)`;
    case 'residual':
      return `${words}, cut-off per landmark by residual analysis`;
    default:
      return 'none';
  }
};

const METHOD_WORDS: Readonly<Record<SmoothingMethod, string>> = {
  'zero-lag filter': 'zero-lag Butterworth low-pass',
  'smoothing spline': 'fifth-degree smoothing spline',
  'state-space': 'state-space (Kalman) smoother, white acceleration',
};

export function settingRows(
  record: LiftRecord,
  recording: Recording,
  toolVersion: string,
  seed: number,
): [string, string][] {
  const { settings } = recording;
  const { motion } = record.loads;
  const { quality } = motion.trajectories;
  return [
    ['Kneeward', toolVersion],
    ['seed', String(seed)],
    ['smoothing', smoothingWords(settings.smoothing)],
    ['longest gap filled', `${digitsText(settings.gapLimitS)} s`],
    ['least confidence', digitsText(settings.minimumConfidence)],
    ['frame rate', `${digitsText(record.loads.frameRateHz, 5)} Hz, ${record.loads.frames} frames`],
    ['input', recording.source.kind === 'views' ? `${quality.views} views` : '3D points'],
    ['force plates', String(recording.forcePlates.length)],
    ['moments', { above: 'from above', below: 'from below', none: 'none' }[record.loads.primary]],
    [
      'one leg',
      [
        ...(eachLegMeasured(record) ? ['measured by force plates'] : []),
        recording.settings.legSharing === 'none'
          ? 'not given without force plates'
          : `shared: ${recording.settings.legSharing}`,
      ].join('; '),
    ],
    ['trunk', recording.settings.trunk],
    ['moments.csv', `axes: ${recording.settings.momentAxes}; unit: ${recording.settings.momentUnit}`],
    ['heading turned by', `${digitsText(quality.headingDeg)}°`],
    ['floor', quality.floor],
    ['segment table', motion.table],
    ['sex', motion.sex],
    ['body mass', `${digitsText(motion.bodyMassKg, 4)} kg`],
    ['bar, discs and collars', `${digitsText(motion.barMassKg, 4)} kg (${recording.load.bar.position})`],
  ];
}

export const segmentsHeading = () => 'Segments';
export const segmentColumns = () => ['segment', 'mass (kg)', 'length (m)', 'variation (%)', 'placed by'] as const;
export const measuredPoints = () => 'its own points';

export const landmarksHeading = () => 'Body points';
export const landmarkColumns = () =>
  ['landmark', 'seen', 'filled', 'missing', 'rms (px)', 'sd (mm)', 'cut-off (Hz)'] as const;

export const mismatchHeading = () => 'From above against force plates';
export const mismatchRows = (found: ForceMismatch): [name: string, value: number | null, unit: string][] => [
  ['correlation of the vertical force', found.verticalR, ''],
  ['root mean square difference of the vertical force', found.verticalRmsN, 'N'],
  ['the same, of body weight', found.verticalRmsPctBodyWeight, '%'],
  ['mean vertical force, from above', found.meanVerticalAboveN, 'N'],
  ['mean vertical force, measured', found.meanVerticalMeasuredN, 'N'],
  ['centre of pressure forward, mean difference', 100 * found.copForwardMeanM, 'cm'],
  ['centre of pressure forward, root mean square', 100 * found.copForwardRmsM, 'cm'],
  ['centre of pressure sideways, root mean square', 100 * found.copSidewaysRmsM, 'cm'],
  ['hip moment, root mean square difference', found.hipMomentRmsNm, 'N·m'],
  ['knee moment, root mean square difference', found.kneeMomentRmsNm, 'N·m'],
  ['ankle moment, root mean square difference', found.ankleMomentRmsNm, 'N·m'],
  ['frames compared', found.framesCompared, ''],
];

export const residualHeading = () => 'What the force plates leave over, by trunk lean';
export const residualColumns = () =>
  ['trunk lean', 'frames', 'vertical force (% weight)', 'moment about mid-hip (N·m)', 'pressure forward (mm)'] as const;
export const leanRange = (fromDeg: number, toDeg: number) =>
  fromDeg < 0 ? `below ${toDeg}°` : toDeg >= 100 ? `${fromDeg}° and more` : `${fromDeg} to ${toDeg}°`;
export const meanAndRms = ({ mean, rms }: { readonly mean: number; readonly rms: number }, decimals: number) =>
  `mean ${numberText(mean, decimals)}, rms ${numberText(rms, decimals)}`;

export const powerHeading = () => 'Work, power and impulse';
export const powerColumns = () => ['mean of the full repetitions', 'hips', 'knees', 'ankles', 'bar'] as const;
export const powerRows = () =>
  [
    { words: 'work on the way down (J)', suffix: 'work', at: 'descent', unit: 'j' },
    { words: 'work on the way up (J)', suffix: 'work', at: 'ascent', unit: 'j' },
    { words: 'largest power on the way up (W)', suffix: 'power_peak', at: 'largest', unit: 'w' },
    { words: 'impulse on the way down (N·m·s)', suffix: 'impulse', at: 'descent', unit: 'nms' },
    { words: 'impulse on the way up (N·m·s)', suffix: 'impulse', at: 'ascent', unit: 'nms' },
  ] as const;
export const powerNote = () =>
  'Both legs, from moments about the mid-joints as seen from the side; in brackets the 95 % interval. Positive work: muscles add energy; negative: they take it up.';
export const balanceNote = ({ peakW, errorPct, upperBodyPct, besideThePlanePct }: PowerBalanceQuality) =>
  `Power balance: hips, knees, ankles, upper body and what lies beside the plane together miss the rate of change of kinetic and potential energy by ${digitsText(errorPct, 2)} % of its peak of ${digitsText(peakW)} W (rms; it comes from differencing alone). Upper body (arms, head and bar against the trunk, bending): ${digitsText(upperBodyPct, 2)} %; beside the plane (turned-out thighs, unlike legs, feet that move): ${digitsText(besideThePlanePct, 2)} %.`;
export const angleCaption = () =>
  'Moment of hip and knee against how far the joint is bent, both legs; each repetition, way down solid, way up dashed. The area under a line is work.';

export const tablesHeading = () => 'What the other segment tables would give';
export const tablesNote = () =>
  'The tables were made from different people and cut the body in different places. The one used has a column of its own; every measure stands in';
export const tablesRows = () =>
  [
    { measure: 'hip_share', at: 'parallel', words: 'hips’ part at parallel' },
    { measure: 'hip_share', at: 'bottom', words: 'hips’ part at the bottom' },
    { measure: 'hip_moment_peak', at: 'largest', words: 'largest hip moment' },
    { measure: 'knee_moment_peak', at: 'largest', words: 'largest knee moment' },
    { measure: 'ankle_moment_peak', at: 'largest', words: 'largest ankle moment' },
    { measure: 'com_along_foot', at: 'parallel', words: 'centre of mass along the foot, parallel' },
  ] as const;
export const tablesFirstColumn = () => 'mean of the full repetitions';
export const tableColumn = (segments: string, used: boolean) => (used ? `${segments} (used)` : segments);

export const rigNote = ({ method, reprojectionRmsPx, pointsUsed }: RigQuality) =>
  `Cameras: ${method}${reprojectionRmsPx === null ? '' : `, reprojection ${digitsText(reprojectionRmsPx)} px root mean square`}${pointsUsed === null ? '' : ` over ${pointsUsed} points`}.`;
export const repetitionsHeading = () => 'Repetitions';
export const repetitionColumns = () =>
  ['no.', 'order', 'what', 'top (s)', 'bottom (s)', 'drop (m)', 'thigh (°)'] as const;
export const allMeasuresHeading = () => 'Every measure, by repetition';
export const allMeasuresNote = () =>
  'Definitions, signs and sources: docs/method/measures.md of the Kneeward package. SI units; in brackets the 95 % interval. An empty cell: unknown (reasons above and in measures.csv).';
export const inputsHeading = () => 'Inputs';
export const inputColumns = () => ['file', 'SHA-256'] as const;
export const filesHeading = () => 'Files written with this report';
export const filesNote = () =>
  'Columns, units and definitions: docs/data-dictionary.md. Words explained: docs/glossary.md. Method, one page a stage: docs/method/ (all in the Kneeward package).';
export const notesHeading = () => 'Notes of the stages';

export const FILE_WORDS: Readonly<Record<string, string>> = {
  'report.html': 'this page',
  'frames.csv': 'every quantity, one row a frame',
  'moments.csv': 'moments of every joint in three dimensions, one row a frame',
  'moment-axes.csv': 'axis, sign, unit and origin of every column of moments.csv',
  'residual.csv': 'movement against force plates: what is left over',
  'segment-tables.csv': 'what the other segment tables would give',
  'curves.csv': 'values across depth, one row a point',
  'repetitions.csv': 'one row a repetition',
  'measures.csv': 'every measure, one row a value',
  'means.csv': 'every measure as mean of the set, with its interval and causes of doubt',
  'causes.csv': 'what the doubt about every measure is made of, one row a measure and cause',
  'comparisons.csv': 'recordings of one lifter against each other, with intervals of the differences',
  'set-changes.csv': 'each measure over the repetitions of the set, and from which one it changes',
  'load-changes.csv': 'each measure from light to heavy, and from which load it changes',
  'weeks.csv': 'what is followed from week to week, a row a day',
  'week-changes.csv': 'from week to week: changed, or cannot tell yet',
  'cohort-effects.csv': 'whole study: every effect on every outcome, with intervals',
  'cohort-means.csv': 'whole study: what the model expects at each level',
  'cohort-models.csv': 'whole study: how well the models describe the outcomes',
  'cohort-rows.csv': 'whole study: the observations, those left out too',
  'cohort-curves.csv': 'whole study: how curves across depth differ, one row a depth',
  'cohort-group-curves.csv': 'whole study: mean curve of each level, with its band',
  'cohort-curve-tests.csv': 'whole study: the tests of these curves, one row a test',
  'reliability.csv': 'how alike recordings of one lifter are, one row a condition and measure',
  'findings.csv': 'every rule held against the set and each repetition, with its probability',
  'athletes.csv': 'the lifters as described',
  'recordings.csv': 'the recordings as described',
  'lift.json': 'the whole result in one file',
  'lift.c3d': 'points, centre of mass, moments and floor forces for other programs (C3D)',
  'quality.json': 'grade, limits and the quality record of every stage',
  'provenance.json': 'version, settings, digests of the inputs, seed',
};
export const fileWords = (name: string) =>
  FILE_WORDS[name.split('/').at(-1) ?? name] ?? (name.endsWith('.svg') ? 'figure' : '');

// Index of a study
export const studyHeading = () => 'Lifts';
export const studyColumns = () =>
  [
    'Recording',
    'Lifter',
    'Load',
    'Condition',
    'n',
    'Hips at parallel',
    'Hips at bottom',
    'Largest lean',
    'Start',
    'Quality',
  ] as const;
export const noLoad = () => 'none';
export const unknownCell = () => 'unknown';
export const repetitionCount = (n: number) => `n = ${n}`;
export const studyNote = (intervals: boolean) =>
  `Hips = hip / (hip + knee) effort, both legs. Mean of the n full repetitions${
    intervals
      ? ' with its 95 % interval: how sure the measurement is, as far as its causes of doubt are known (each report says which are not).'
      : '; intervals were switched off.'
  }`;
export const failuresHeading = () => 'Recordings that could not be analysed';
export const noLifts = () => 'No recording was analysed.';
