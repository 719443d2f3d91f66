import { countsWords } from './caption-words.ts';
import { type ComparedDepths, type CurveTestRow, levelName } from './curve-rows.ts';
import { differenceDomain, levelNames, meanDomain } from './depth-domains.ts';
import { counted, outcomeName, stepOf, termName } from './names.ts';
import { known, said } from './publication.ts';

/* Words on the figure of curves by group, and its caption. */

const quantityName = ({ quantity }: Pick<CurveTestRow, 'quantity'>) =>
  outcomeName({ measure: quantity, side: '', at: '' });

export const depthTitle = (test: CurveTestRow): string => `${quantityName(test)} across depth`;

/** What tells the groups apart; a line or, where there is little room, two. `below`: whether the panels of the difference are there. */
export function groupWords({ test, groups }: ComparedDepths, columns: 1 | 2, below: boolean): string[] {
  const banded = groups.flat().some(({ band_lower }) => known(band_lower));
  if (groups.length === 1) {
    const slope = below ? [`below: how it goes with ${termName(said(test.by))}`] : [];
    return columns === 2
      ? [['mean of all athletes', ...slope].join('; ')]
      : [`mean of all athletes${banded ? ', with the band of the whole curve' : ''}`, ...slope];
  }
  const whom = test.design === 'paired' ? 'the same athletes at both' : 'two groups of athletes';
  const first = `by ${termName(said(test.by))}: ${whom}`;
  const second = `${banded ? 'bands hold each whole mean curve' : 'too few athletes for bands'}${below ? '; below: the difference' : ''}`;
  return columns === 2 ? [`${first}; ${second}`] : [first, second];
}

export const groupMark = {
  reference: (name = '') => `● ${name}`.trimEnd(),
  level: (name = '') => `□ ${name}`.trimEnd(),
  all: () => 'all',
} as const;

export const differsMark = (slope: boolean) => (slope ? 'slope is not 0' : 'differs');
export const notTestedMark = () => 'not tested';

export const differenceAxis = {
  difference: (level: string, reference: string, unit: string) => [
    `${level} − ${reference}`,
    ...(unit === '' ? [] : [`(${unit})`]),
  ],
  factor: (level: string, reference: string) => [`${level} / ${reference}`, '(1 = alike)'],
} as const;
export const slopeAxis = (unit: string, step: string) => [`change for ${step}`, ...(unit === '' ? [] : [`(${unit})`])];

const percent = (share: number) => `${Number((100 * share).toPrecision(3))} %`;
const pWords = (p: number) => (p < 0.001 ? p.toPrecision(1) : p.toPrecision(2));
const whole = (count: number) => count.toLocaleString('en-GB');

/**
 * Caption of `shareAcrossDepthByGroup`: what is shown, n (athletes, recordings, repetitions, missing), how bands are made, the test with
 * its p and level, and what widening by shared doubt does. Of the same rows as the figure; nothing is said that they do not hold.
 */
export function shareAcrossDepthByGroupCaption(compared: ComparedDepths): string {
  const { test, groups } = compared;
  return [
    `${quantityName(test)} against depth, by ${termName(said(test.by))}, way down and way up.`,
    groups.length === 1
      ? 'Line: mean of all athletes, each counting once.'
      : `Full line and round marks: ${levelName(test.by, test.reference)}; dotted line and open squares: ${levelName(test.by, test.level)}; means over athletes, each counting once.`,
    ...counts(compared),
    ...bands(compared),
    ...lower(compared),
    ...tested(test),
    said(test.notes) === '' ? '' : `Note: ${said(test.notes)}.`,
  ]
    .filter((part) => part !== '')
    .join(' ');
}

function counts({ test, groups, curves }: ComparedDepths): string[] {
  const shown = groups.flat().filter(({ mean }) => known(mean));
  const [least, most] = [Math.min(...shown.map(({ n }) => n)), Math.max(...shown.map(({ n }) => n))];
  const each =
    test.design === 'groups' && known(test.n_reference) && known(test.n_level)
      ? ` (${test.n_reference} and ${test.n_level})`
      : '';
  return [
    curves.length > 0
      ? countsWords(test).replace(/athletes?/, (word) => `${word}${each}`)
      : 'No test was made; means are of all athletes at each level.',
    curves.length > 0
      ? `Missing: ${counted(test.missing, 'athlete')}, ${counted(test.recordings_missing, 'recording')}.`
      : '',
    least < most ? `Not all reach every depth: each mean is of ${least} to ${most} athletes.` : '',
  ];
}

function bands(compared: ComparedDepths): string[] {
  const { test, groups } = compared;
  const banded = groups.flat().some(({ band_lower }) => known(band_lower));
  if (!banded) return ['No bands about the means: they need at least 6 athletes.'];
  return [
    `Bands: each holds the whole mean curve of athletes like these, way down and way up together, ${percent(1 - test.level_asked)} of the time; their half width is the quantile of the largest |t| over all depths when whole athletes’ deviations from the mean change sign.`,
    test.design === 'paired'
      ? 'They hold the spread between athletes, which cancels within athletes: judge by the difference, not by their overlap.'
      : '',
    'Errors of measurement that athletes share are not in these bands; cohort-group-curves.csv has them with and without.',
    meanDomain(compared).cut ? 'Bands are cut at the frame.' : '',
  ];
}

function lower(compared: ComparedDepths): string[] {
  const { test, curves } = compared;
  if (curves.every(({ estimate }) => !known(estimate))) return [];
  const step = stepOf(said(test.by), said(test.per));
  const what =
    test.design === 'covariate'
      ? `change of the curve for ${step?.words ?? '1'} of ${termName(said(test.by))}`
      : test.scale === 'factor'
        ? levelNames(compared).join(' divided by ')
        : levelNames(compared).join(' less ');
  const widened = curves.some((row) => known(row.widened_band_lower));
  const banded = curves.some((row) => known(row.band_lower));
  return [
    `Lower panels: ${what}, with ${banded ? 'its simultaneous band (darker); squares: as the bars.' : 'no band: too few athletes.'}`,
    widened
      ? 'Lighter band: widened by errors of measurement that athletes share, which no spread between athletes shows; p says whether the numbers differ, this band whether the lifters do.'
      : banded && test.design !== 'covariate'
        ? 'Errors of measurement that athletes share are not in the band: a recording used has no interval.'
        : '',
    differenceDomain(compared)?.cut ? 'Bands are cut at the frame.' : '',
  ];
}

function tested(test: CurveTestRow): string[] {
  const design = {
    paired: 'signs of whole difference curves turned within athletes',
    groups: 'whole curves exchanged between groups',
    covariate: 'values of the covariate dealt out anew over whole curves',
  }[said(test.design)];
  if (design === undefined || !known(test.p)) return [stopped(capital(said(test.reason) || said(test.verdict)))];
  const how = test.exact
    ? `all ${whole(test.rearrangements)} rearrangements`
    : `${whole(test.rearrangements)} rearrangements, random with seed ${test.seed}`;
  const found =
    test.verdict === 'cannot be significant'
      ? stopped(capital(said(test.reason)))
      : test.verdict === 'differs'
        ? `Bars along the depth axis: ${test.design === 'covariate' ? 'depths whose slope is not 0' : 'depths that differ'}.`
        : 'No depth differs: cannot tell, which is no proof of sameness; the band says how large a difference may still be there.';
  return [
    `Permutation test of the largest |t| over ${test.depths_tested} depths (${design}; ${how}): p = ${pWords(test.p)}, family-wise level ${percent(test.level_asked)}${test.verdict === 'cannot be significant' ? '' : `, kept ${percent(test.level_kept)}`}.`,
    found,
    test.depths_not_tested > 0
      ? `Dots along the axis: ${counted(test.depths_not_tested, 'depth')} not tested, for too few athletes reach them.`
      : '',
  ];
}

const capital = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;

/** Reasons are whole sentences or parts of one. */
const stopped = (text: string) => (text.endsWith('.') ? text : `${text}.`);
