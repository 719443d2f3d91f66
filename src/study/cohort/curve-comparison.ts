import { DataError } from '../../errors.ts';
import { cohortCurveNotes, cohortCurveReasons } from '../../messages/cohort-curves.ts';
import { hashSeed } from '../../numerics/random.ts';
import { type AthleteCurves, athleteCurves, type CurveRow, onOnePlaces } from '../statistics/curves/athlete-curves.ts';
import { covariateCurves } from '../statistics/curves/covariate-curves.ts';
import type { CurveTestOptions } from '../statistics/curves/curve-test.ts';
import type { CurveTest } from '../statistics/curves/curve-test-result.ts';
import { groupCurves } from '../statistics/curves/group-curves.ts';
import { pairedCurves } from '../statistics/curves/paired-curves.ts';
import { effectsOfDifference, type WidenedCurveTest, withSharedDoubt } from '../statistics/curves/shared-doubt.ts';
import type { CheckedComparison } from './checked-comparison.ts';
import { type CheckedCurve, sideOfCurve, USUAL_CURVE } from './checked-curves.ts';
import {
  type CovariateContrast,
  type CurveContrast,
  curveContrast,
  hasTwoLevels,
  type LevelContrast,
} from './curve-contrast.ts';
import { type CurveCounts, countsOf, NO_COUNTS, notesOf } from './curve-counts.ts';
import { athleteEffects, type Effects, sharedEffects } from './curve-effects.ts';
import { type GroupMeanPoint, groupMeanCurve } from './group-mean-curve.ts';
import type { KeptCurve } from './kept-curves.ts';
import type { PredictorValues } from './predictor-values.ts';
import type { RecordingFacts } from './recording-facts.ts';

/** Family-wise level of the tests and bands. */
export const CURVE_ALPHA = 0.05;

export interface GroupMeanCurve {
  /** '' for all athletes of a covariate. */
  readonly level: string;
  readonly against: string;
  readonly points: readonly GroupMeanPoint[];
}

/** One comparison across depth; without a test `reason` says why. */
export interface CurveResult {
  readonly quantity: string;
  readonly side: 'both' | '';
  readonly unit: string;
  /** Column of what it is compared by; '' where nothing could be. */
  readonly by: string;
  /** Unit of a covariate; '' else. */
  readonly per: string;
  readonly designStated: boolean;
  readonly contrast: CurveContrast;
  readonly test: CurveTest | WidenedCurveTest | null;
  readonly groups: readonly GroupMeanCurve[];
  readonly seed: number;
  readonly counts: CurveCounts;
  readonly notes: readonly string[];
  readonly reason: string;
}

/** All comparisons across depth that a study asks for, the usual one where it names none. */
export function curveComparisons(
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  comparison: CheckedComparison,
  studySeed: number,
): CurveResult[] {
  if (comparison.curves !== null)
    return comparison.curves.map((one) => curveComparison(facts, predictors, comparison, one, studySeed));
  const by = comparison.predictors.find(
    ({ kind, column }) => (kind === 'file' || kind === 'condition') && hasTwoLevels(predictors, column),
  );
  const side = sideOfCurve(USUAL_CURVE);
  const usual = { quantity: USUAL_CURVE, side, levels: null, design: null };
  if (by) return [curveComparison(facts, predictors, comparison, { ...usual, by }, studySeed)];
  const reason = cohortCurveReasons.noPredictor(comparison.predictors.map(({ name }) => name));
  return [
    {
      quantity: USUAL_CURVE,
      side,
      unit: unitOf(facts, USUAL_CURVE),
      by: '',
      per: '',
      designStated: false,
      contrast: { kind: 'none', design: null, reason },
      test: null,
      groups: [],
      seed: 0,
      counts: { ...NO_COUNTS, recordingsMissing: facts.length },
      notes: [],
      reason,
    },
  ];
}

/** One comparison: who is set against whom, the test over all depths, the mean curves. */
export function curveComparison(
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  comparison: CheckedComparison,
  checked: CheckedCurve,
  studySeed: number,
): CurveResult {
  const { quantity, side, by } = checked;
  const contrast = curveContrast(facts, predictors, checked, comparison.factors[by.column]?.reference);
  const levels = contrast.kind === 'levels' ? [contrast.reference, contrast.level] : [];
  const seed = hashSeed('cohort curves', studySeed, quantity, by.column, ...levels);
  const options: CurveTestOptions = { alpha: CURVE_ALPHA, seed };
  const of = { facts, quantity, side, options };
  const found =
    contrast.kind === 'levels'
      ? levelsCompared(of, contrast)
      : contrast.kind === 'covariate'
        ? alongCovariate(of, contrast, by.name)
        : { test: null, groups: [], used: [], notes: [], reason: contrast.reason };
  return {
    quantity,
    side,
    unit: unitOf(facts, quantity),
    by: by.column,
    per: contrast.kind === 'covariate' ? perOf(facts, checked) : '',
    designStated: checked.design !== null,
    contrast,
    test: found.test,
    groups: found.groups,
    seed,
    counts: countsOf(facts, predictors, contrast, found, checked),
    notes: [...found.notes, ...notesOf(facts, predictors, comparison, contrast, found, checked)],
    reason: found.reason,
  };
}

interface Of {
  readonly facts: readonly RecordingFacts[];
  readonly quantity: string;
  readonly side: 'both' | '';
  readonly options: CurveTestOptions;
}

interface Found {
  readonly test: CurveTest | WidenedCurveTest | null;
  readonly groups: readonly GroupMeanCurve[];
  /** Recordings in the test. */
  readonly used: readonly number[];
  readonly notes: readonly string[];
  readonly reason: string;
}

function levelsCompared(of: Of, contrast: LevelContrast): Found {
  const { facts, options } = of;
  const { reference, level, design } = contrast;
  const sides = [contrast.atReference, contrast.atLevel].map((at) => withCurve(of, at));
  const [a, b] = sides.map((at) => curvesOf(of, at));
  if (a === null || b === null) {
    const reason = cohortCurveReasons.notTested(cohortCurveReasons.noCurves(of.quantity));
    return { test: null, groups: [], used: [], notes: [], reason };
  }
  const [inA, inB] = onOnePlaces(a, b);
  const { test, reason } = tested(() =>
    design === 'paired' ? pairedCurves(a, b, options) : groupCurves(a, b, options),
  );
  const effects = sides.map((at) => athleteEffects(named(of, at), inA.places));
  const takes = new Set(test?.athletes ?? [...inA.athletes, ...inB.athletes]);
  const meanOf = (own: AthleteCurves, other: AthleteCurves, s: 0 | 1): GroupMeanCurve => {
    const shown = test && design === 'paired' ? knownInBoth(own, other, takes) : own;
    const all = new Set((s === 0 ? contrast.atReference : contrast.atLevel).map((i) => facts[i].card.athlete.id));
    const moved = effects[s];
    return {
      level: s === 0 ? reference : level,
      against: s === 0 ? level : reference,
      points: groupMeanCurve(shown, all.size, moved && sharedEffects(only(moved, shown.athletes)), options),
    };
  };
  const used = sides.flat().filter((i) => takes.has(facts[i].card.athlete.id));
  const groups = [meanOf(inA, inB, 0), meanOf(inB, inA, 1)];
  if (test === null) return { test, groups, used: [], notes: [], reason };
  const notes: string[] = [];
  if (design === 'groups' && a.athletes.length !== b.athletes.length)
    notes.push(cohortCurveNotes.unequalGroups(a.athletes.length, b.athletes.length));
  for (const [own, other, word] of [[a, b, reference] as const, [b, a, level] as const]) {
    const alone = own.athletes.filter((athlete) => !other.athletes.includes(athlete));
    if (design === 'paired' && alone.length > 0)
      notes.push(cohortCurveNotes.leftOut(alone, cohortCurveNotes.onlyOneLevel(word)));
  }
  const [ofA, ofB] = effects;
  if (ofA === null || ofB === null) return { test, groups, used, notes, reason };
  const shared = design === 'paired' ? differences(ofA, ofB, test.athletes) : new Map([...ofA, ...ofB]);
  return { test: withSharedDoubt(test, sharedEffects(shared)), groups, used, notes, reason };
}

function alongCovariate(of: Of, contrast: CovariateContrast, name: string): Found {
  const { facts, options } = of;
  const at = withCurve(of, contrast.recordings);
  const curves = curvesOf(of, at);
  if (curves === null) {
    const reason = cohortCurveReasons.notTested(cohortCurveReasons.noCurves(of.quantity));
    return { test: null, groups: [], used: [], notes: [], reason };
  }
  const { test, reason } = tested(() => covariateCurves(curves, { name, of: contrast.of }, [], options));
  const effects = athleteEffects(named(of, at), curves.places);
  const all = new Set(contrast.recordings.map((i) => facts[i].card.athlete.id));
  const shared = effects && sharedEffects(effects);
  const points = groupMeanCurve(curves, all.size, shared, options);
  const notes = contrast.averaged ? [cohortCurveNotes.meansOfAthlete(name)] : [];
  return {
    test: test && shared ? withSharedDoubt(test, shared) : test,
    groups: [{ level: '', against: '', points }],
    used: test ? at : [],
    notes,
    reason,
  };
}

/** What the data do not bear is a reason, not a stop: other comparisons go on. */
function tested(run: () => CurveTest): { readonly test: CurveTest | null; readonly reason: string } {
  try {
    return { test: run(), reason: '' };
  } catch (error) {
    if (!(error instanceof DataError)) throw error;
    return { test: null, reason: cohortCurveReasons.notTested(error.message) };
  }
}

/** Recordings of which a full repetition has the curve somewhere. */
const withCurve = ({ facts, quantity }: Pick<Of, 'facts' | 'quantity'>, at: readonly number[]): number[] =>
  at.filter((i) => facts[i].curves.get(quantity)?.values.some(Number.isFinite));

const named = ({ facts, quantity }: Of, at: readonly number[]) =>
  at.map((i) => ({ athlete: facts[i].card.athlete.id, curve: facts[i].curves.get(quantity)! }));

function curvesOf({ facts, quantity, side }: Of, at: readonly number[]): AthleteCurves | null {
  const rows = at.flatMap((i) => rowsOf(facts[i].card.id, facts[i].card.athlete.id, facts[i].curves.get(quantity)!));
  try {
    return athleteCurves(rows, { quantity, side, grid: 'thigh_elevation_deg' });
  } catch (error) {
    // No value is known, or none has a logarithm.
    if (error instanceof DataError && error.code === 'curve-test-no-values') return null;
    throw error;
  }
}

function rowsOf(recordingId: string, athleteId: string, { places, repetitions, values }: KeptCurve): CurveRow[] {
  return repetitions.flatMap((repetition, row) =>
    places.map(({ phase, depth }, p) => ({
      recordingId,
      athleteId,
      repetition,
      phase,
      depth,
      value: values[row * places.length + p],
    })),
  );
}

/** Curves of those in a paired test, where the athlete is known at both levels: then the means differ by the tested difference. */
function knownInBoth(own: AthleteCurves, other: AthleteCurves, takes: ReadonlySet<string>): AthleteCurves {
  const count = own.places.length;
  const rows = [...own.athletes.keys()].filter((i) => takes.has(own.athletes[i]));
  const values = new Float64Array(rows.length * count);
  rows.forEach((i, row) => {
    const j = other.athletes.indexOf(own.athletes[i]);
    for (let p = 0; p < count; p++)
      values[row * count + p] = Number.isFinite(other.values[j * count + p]) ? own.values[i * count + p] : Number.NaN;
  });
  return {
    ...own,
    athletes: rows.map((i) => own.athletes[i]),
    values,
    recordings: rows.map((i) => own.recordings[i]),
    repetitions: rows.map((i) => own.repetitions[i]),
  };
}

const only = (effects: ReadonlyMap<string, Effects>, athletes: readonly string[]) =>
  new Map(athletes.flatMap((id) => (effects.has(id) ? [[id, effects.get(id)!] as const] : [])));

const differences = (a: ReadonlyMap<string, Effects>, b: ReadonlyMap<string, Effects>, athletes: readonly string[]) =>
  new Map(athletes.map((id) => [id, effectsOfDifference(a.get(id)!, b.get(id)!)]));

const unitOf = (facts: readonly RecordingFacts[], quantity: string): string =>
  facts.map(({ curves }) => curves.get(quantity)?.unit ?? '').find((unit) => unit !== '') ?? '';

function perOf(facts: readonly RecordingFacts[], { by }: CheckedCurve): string {
  if (by.kind === 'file' || by.kind === 'week') return by.unit;
  if (by.kind === 'condition') return '1';
  return facts.map(({ measured }) => measured.get(by.column)?.unit ?? '').find((unit) => unit !== '') ?? '1';
}
