import { manyStudies, type StudiesFound, type StudySetting } from './curve-permutation-runs.ts';
import type { Validation, ValidationRow } from './result.ts';

const SEED = 20261129;
const STUDIES = 2000;

/** What a level of 5 % must give. */
const KEPT = [0.04, 0.06] as const;
/** What a band of 95 % must hold on 2,000 studies. */
const COVERED = [0.935, 0.965] as const;
/** Standard deviations of a rate that it may lie from the level that steps of p allow. */
const WITHIN_SD = 3.5;

interface Part {
  readonly name: string;
  readonly setting: StudySetting;
  rows(found: StudiesFound, name: string): ValidationRow[];
}

const row = (
  what: string,
  runs: number,
  value: number,
  range: readonly [number | null, number | null] = [null, null],
): ValidationRow => ({ what, runs, value, unit: '1', from: range[0], to: range[1] });

/** The level that p can take at all: within chance of it. */
const nearAttainable = ({ attainable, studies }: StudiesFound): readonly [number, number] => {
  const sd = Math.sqrt((attainable * (1 - attainable)) / studies);
  return [attainable - WITHIN_SD * sd, attainable + WITHIN_SD * sd];
};

const level = (found: StudiesFound, name: string): ValidationRow[] => [
  row(`${name}: share of null studies with some depth called different`, found.studies, found.positive, KEPT),
  row(`${name}: the same against the attainable level`, found.studies, found.positive, nearAttainable(found)),
];

/** Too few athletes for 5 %: the steps of p allow less, and a decision drawn at random on the step makes 5 %. */
const steps = (found: StudiesFound, name: string): ValidationRow[] => [
  row(`${name}: attainable level`, found.studies, found.attainable),
  row(`${name}: share with some depth called different`, found.studies, found.positive, nearAttainable(found)),
  row(`${name}: the same, decided at random on the step across 5 %`, found.studies, found.positiveDrawn, KEPT),
];

const reported = (found: StudiesFound, name: string): ValidationRow[] => [
  row(`outside the assumptions: ${name}: share with some depth called different`, found.studies, found.positive),
];

const band = (found: StudiesFound, name: string): ValidationRow[] => [
  row(`${name}: bands that hold the whole true curve`, found.studies, found.bandHolds, COVERED),
  row(`${name}: intervals of single depths that hold it at every depth`, found.studies, found.eachDepthHolds),
];

/** A true effect in part of the curve must not make the other part differ. */
const elsewhere = (found: StudiesFound, name: string): ValidationRow[] => [
  row(`${name}: a depth without effect called different`, found.studies, found.wrongly, [null, KEPT[1]]),
  row(`${name}: some depth called different`, found.studies, found.positive),
  ...band(found, name),
];

const shared = (found: StudiesFound, name: string): ValidationRow[] => [
  row(`${name}: bands that hold the true curve, shared error left out`, found.studies, found.bandHolds),
  row(`${name}: widened bands that hold it`, found.studies, found.widenedHolds, COVERED),
];

const middle = (share: number) => 3 * Math.exp(-0.5 * ((share - 0.5) / 0.2) ** 2);
const deep = (share: number) => (share > 0.7 ? 2 : 0);
const paired = (n: number, more: Partial<StudySetting> = {}): StudySetting => ({
  design: 'paired',
  n,
  scatter: 'normal',
  ...more,
});
const groups = (n: number, nB: number, more: Partial<StudySetting> = {}): StudySetting => ({
  ...paired(n),
  design: 'groups',
  nB,
  ...more,
});
const covariate = (n: number, more: Partial<StudySetting> = {}): StudySetting => ({
  ...paired(n),
  design: 'covariate',
  ...more,
});

const PARTS: readonly Part[] = [
  { name: '6 athletes in pairs', setting: paired(6), rows: steps },
  { name: '8 athletes in pairs', setting: paired(8), rows: level },
  { name: '12 athletes in pairs', setting: paired(12), rows: level },
  { name: '20 athletes in pairs, random flips', setting: paired(20), rows: level },
  { name: '8 athletes in pairs, heavy tails', setting: paired(8, { scatter: 'heavy-tailed' }), rows: level },
  { name: '12 athletes in pairs, skewed', setting: paired(12, { scatter: 'skewed' }), rows: level },
  { name: '12 athletes in pairs, half of them shallow', setting: paired(12, { shallow: true }), rows: level },
  { name: '5 and 5 athletes in groups', setting: groups(5, 5), rows: level },
  { name: '6 and 9 athletes in groups, skewed', setting: groups(6, 9, { scatter: 'skewed' }), rows: level },
  { name: '9 and 9 athletes in groups, some shallow', setting: groups(9, 9, { shallow: true }), rows: level },
  { name: '10 athletes, a skewed covariate', setting: covariate(10, { scatter: 'heavy-tailed' }), rows: level },
  { name: '12 athletes, a covariate beside another', setting: covariate(12, { other: true }), rows: level },
  {
    name: '12 athletes in pairs, differences skewed by themselves',
    setting: paired(12, { skewedDifference: true }),
    rows: reported,
  },
  {
    name: '5 and 12 athletes in groups, spread 0.4 in the larger',
    setting: groups(5, 12, { spreadOfB: 0.4 }),
    rows: reported,
  },
  { name: '8 athletes in pairs, large effect', setting: paired(8, { effect: middle, band: true }), rows: band },
  {
    name: '12 athletes in pairs, effect in the deep third',
    setting: paired(12, { effect: deep, band: true }),
    rows: elsewhere,
  },
  {
    name: '8 and 8 athletes in groups, large effect',
    setting: groups(8, 8, { effect: middle, band: true }),
    rows: band,
  },
  {
    name: '10 athletes, slope along a covariate',
    setting: covariate(10, { effect: deep, band: true }),
    rows: elsewhere,
  },
  {
    name: '8 athletes in pairs, an error of 0.25 that all share beside a standard error of 0.3',
    setting: paired(8, { effect: middle, band: true, shared: 0.25 }),
    rows: shared,
  },
];

export const validation: Validation = {
  name: 'curve-permutation',
  title: 'How often tests of whole curves across depth find what is not there, and how often their bands hold what is',
  async run(scale, progress) {
    const studies = Math.max(1, Math.round(STUDIES * scale));
    let done = 0;
    return {
      seed: SEED,
      setting:
        `${studies} invented studies a row, seeded. Smooth curves over 50 places (way down and up, partly going together); athletes, an athlete’s own ` +
        'difference and repetitions scatter normally, by Student’s t with 3 degrees of freedom, or by an exponential; 2 to 5 repetitions, drawn for each ' +
        'athlete and condition. Family-wise level 5 %. All rearrangements up to 4,096, else 999 random ones. In pairs p moves in steps of 2 in 2^n: with 6 athletes ' +
        'the level kept is 3.1 %, with 8 4.7 %.',
      rows: PARTS.flatMap(({ name, setting, rows }, part) =>
        rows(
          manyStudies(setting, studies, SEED + part, () => progress(++done, studies * PARTS.length)),
          name,
        ),
      ),
    };
  },
};
