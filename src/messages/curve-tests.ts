import { DataError } from '../errors.ts';

/** Why a depth was not tested, or an athlete took no part. */
export const curveTestReasons = {
  fewAthletes: (n: number, least: number) => `${n} athlete${n === 1 ? '' : 's'} reach this depth, ${least} are needed`,
  fewInGroup: (n: number, least: number) =>
    `${n} athlete${n === 1 ? '' : 's'} of one group reach this depth, ${least} of each are needed`,
  notEveryAthlete: (n: number, all: number) =>
    `${n} of ${all} athletes reach this depth, and beside other covariates every one must`,
  nothingDiffers: () => 'all athletes have one and the same value: t is not defined',
  noSpread: () => 'the same difference in every athlete, no spread left: t and band are not defined',
  cannotAtDepth: (smallest: number) =>
    `so few athletes reach this depth that no p below ${smallest.toPrecision(2)} is possible`,
  onlyIn: (side: 'A' | 'B') => `has a curve in ${side} only`,
  noSharedDepth: () => 'A and B have no depth in common',
  covariateUnknown: (name: string) => `${name} is not known`,
};

const OF = { paired: ' with both curves', groups: ' in a group', covariate: '' };

/** So few athletes that there is no spread to compare with. */
export const tooFewAthletes = (design: 'paired' | 'groups' | 'covariate', found: number, least: number) =>
  new DataError(
    'curve-test-too-few-athletes',
    `Curves cannot be compared: ${found} athlete${found === 1 ? '' : 's'}${OF[design]}, at least ${least} are needed for any spread between them. Add athletes; repetitions do not replace them.`,
    { found, least },
  );

/** An athlete stands in both of two independent groups. */
export const athleteInBothGroups = (athlete: string) =>
  new DataError(
    'curve-test-athlete-in-both',
    `${athlete} is in both groups, so the groups are not independent. Compare within athletes (paired), or leave the athlete out of one group.`,
    { athlete },
  );

/** The curves to be compared are not of one kind. */
export const curvesOfTwoKinds = (what: string, a: string, b: string) =>
  new DataError(
    'curve-test-two-kinds',
    `The curves cannot be compared: ${what} is "${a}" in A and "${b}" in B. Take the same ${what} of both.`,
    { what, a, b },
  );

/** No repetition has a value anywhere. */
export const noCurveValues = (quantity: string, side: string, grid: string) =>
  new DataError(
    'curve-test-no-values',
    `No full repetition has a known value of ${quantity}${side === '' ? '' : ` (${side})`} on the grid ${grid}. The column reason of curves.csv says why.`,
    { quantity, side, grid },
  );

/** The covariate is one and the same number. */
export const covariateConstant = (name: string, value: number, athletes: number) =>
  new DataError(
    'curve-test-covariate-constant',
    `${name} is ${value} in all ${athletes} athletes: nothing can go with it. Choose a covariate that differs between athletes.`,
    { name, value, athletes },
  );

/** The other covariates say all that the covariate says. */
export const covariateExplained = (name: string, others: readonly string[]) =>
  new DataError(
    'curve-test-covariate-explained',
    `${name} is a sum of ${others.join(', ')} in these athletes: what belongs to it cannot be told from them. Leave one of them out.`,
    { name, others: others.join(' ') },
  );

/** So few random rearrangements that p cannot be as small as alpha. */
export const tooFewArrangements = (draws: number, alpha: number) =>
  new DataError(
    'curve-test-too-few-arrangements',
    `${draws} random rearrangements give no p below ${(1 / (draws + 1)).toPrecision(2)}, and alpha is ${alpha}. Ask for at least ${Math.ceil(1 / alpha) - 1}; 9999 is usual.`,
    { draws, alpha },
  );

const percent = (share: number) => `${Number((100 * share).toPrecision(2))} %`;

/** What a test found, in words. */
export const curveTestWords = {
  cannotBeSignificant: (athletes: number, needed: number, eachGroup: boolean) =>
    `cannot be significant with ${athletes} athletes; at least ${needed}${eachGroup ? ' in each group' : ''} needed`,
  nothingFound: (alpha: number) =>
    `no depth differs at the family-wise level of ${percent(alpha)}: cannot tell, which is no proof of sameness; the band says how large a difference may still be there`,
  range: (phase: string, from: number, to: number, unit: string, larger: boolean, p: number) =>
    `${phase}, ${from === to ? `${from} ${unit}` : `${from} to ${to} ${unit}`}: ${larger ? 'larger' : 'smaller'} (adjusted p ${p.toPrecision(2)})`,
  steps: (attainable: number, alpha: number) =>
    `p moves in steps with so few athletes: the level kept is ${percent(attainable)}, not ${percent(alpha)}`,
};
