import chiSquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import { meansOfTooFew, notPositive } from '../../messages/reliability.ts';
import { LIMIT_SDS, type WithConfidence } from '../agreement/limits-of-agreement.ts';
import { LEVEL } from './intraclass-correlation.ts';
import { type Incomplete, type MeanSquares, meanSquares, type OneWayMeanSquares } from './mean-squares.ts';

/**
 * What counts as error: `consistency`, the residual, a shift common to all subjects left out; `agreement`, that shift
 * between occasions too; `one-way`, all differences within a subject, occasions having nothing in common.
 */
export type ErrorKind = 'consistency' | 'agreement' | 'one-way';

/** Error of one measurement, or of the mean of several, in the unit of the values. */
export interface MeasurementError {
  readonly kind: ErrorKind;
  /** Measurements in the mean that is spoken of; 1 = a single one. */
  readonly of: number;
  readonly subjects: number;
  readonly missing: number;
  readonly level: number;
  /** Degrees of freedom of the mean square. */
  readonly freedom: number;
  /** Standard error of measurement, with its χ² interval. */
  readonly sem: WithConfidence;
  /** Minimal detectable change between two such measurements of one subject: 1.96 · √2 · SEM, ends likewise. */
  readonly mdc: WithConfidence;
}

/**
 * Standard error of measurement = √(mean square) and minimal detectable change (Weir 2005, J. Strength Cond. Res. 19:231–240).
 *
 * Interval: freedom · MS / χ². Exact for `consistency` and `one-way` in their models; for `agreement` the mean square
 * (JMS + (n − 1) EMS) / n has Satterthwaite's (1946) degrees of freedom, few where there are few occasions. A mean of m measurements divides the
 * variance by m: right only where their errors are independent, which repetitions of one set are not (docs/method/reliability.md).
 */
export function measurementError(squares: MeanSquares, kind: ErrorKind = 'consistency', of = 1): MeasurementError {
  const { subjects: n, occasions: k, ofOccasions, residual, within, missing } = squares;
  const byOccasion = ofOccasions / n;
  const byResidual = ((n - 1) * residual) / n;
  const square = {
    consistency: { variance: residual, freedom: (n - 1) * (k - 1) },
    agreement: {
      variance: byOccasion + byResidual,
      freedom: (byOccasion + byResidual) ** 2 / (byOccasion ** 2 / (k - 1) + byResidual ** 2 / ((n - 1) * (k - 1))),
    },
    'one-way': { variance: within, freedom: n * (k - 1) },
  }[kind];
  return errorOf(square.variance, square.freedom, kind, of, n, missing);
}

/** The same from subjects measured unequally often, `one-way`. */
export function oneWayMeasurementError(squares: OneWayMeanSquares, of = 1): MeasurementError {
  const { within, values, subjects, missing } = squares;
  return errorOf(within, values - subjects, 'one-way', of, subjects, missing);
}

function errorOf(
  variance: number,
  freedom: number,
  kind: ErrorKind,
  of: number,
  subjects: number,
  missing: number,
): MeasurementError {
  if (!(Number.isInteger(of) && of >= 1)) throw meansOfTooFew(of);
  const at = (p: number) => Math.sqrt((freedom * variance) / chiSquareQuantile(p, freedom) / of);
  const known = freedom > 0;
  const sem = {
    value: Math.sqrt(variance / of),
    lower: known ? at(0.5 + LEVEL / 2) : Number.NaN,
    upper: known ? at(0.5 - LEVEL / 2) : Number.NaN,
  };
  const change = (value: number) => LIMIT_SDS * Math.SQRT2 * value;
  return {
    kind,
    of,
    subjects,
    missing,
    level: LEVEL,
    freedom,
    sem,
    mdc: { value: change(sem.value), lower: change(sem.lower), upper: change(sem.upper) },
  };
}

/** Error of a quantity whose error grows with its size: all as ratios, dimensionless. */
export interface RatioError {
  readonly error: MeasurementError;
  /** Coefficient of variation of one measurement (or mean), √(exp(s²) − 1), s the standard error of measurement of the logarithms. */
  readonly cv: WithConfidence;
  /** Factor by which a second measurement must lie above or below the first to be called changed: exp(1.96 √2 s), ≥ 1. */
  readonly mdcFactor: WithConfidence;
}

/**
 * Measurement error on the natural logarithm's scale (Bland & Altman 1996, BMJ 313:106), as the coefficient of variation of the log-normal
 * distribution. Means of several are geometric ones. table as in `meanSquares`, every value above 0, else refused.
 */
export function ratioError(
  table: readonly (readonly number[])[],
  kind: ErrorKind = 'consistency',
  of = 1,
  incomplete: Incomplete = 'refuse',
): RatioError {
  const logs = table.map((row, i) =>
    row.map((value, j) => {
      if (value <= 0) throw notPositive(i + 1, j + 1, value);
      return Math.log(value);
    }),
  );
  const error = measurementError(meanSquares(logs, incomplete), kind, of);
  const each = (from: WithConfidence, to: (value: number) => number): WithConfidence => ({
    value: to(from.value),
    lower: to(from.lower),
    upper: to(from.upper),
  });
  return {
    error,
    cv: each(error.sem, (s) => Math.sqrt(Math.expm1(s * s))),
    mdcFactor: each(error.mdc, Math.exp),
  };
}
