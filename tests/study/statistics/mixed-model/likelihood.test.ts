import { describe, expect, test } from '@jest/globals';
import { solve as solveLinear } from 'ml-matrix';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
import type { SmoothFunction } from '../../../../src/study/statistics/mixed-model/newton-minimum.ts';
import { devianceFunction, freePlaces } from '../../../../src/study/statistics/mixed-model/solve.ts';
import { weightsOnStandardised } from '../../../../src/study/statistics/mixed-model/standardised.ts';
import {
  covarianceOf,
  fullDeviance,
  varianceSlope,
} from '../../../../src/study/statistics/mixed-model/variance-doubt.ts';
import { expectAllClose, expectClose } from '../../../expect-close.ts';
import { dense, logDeterminant } from './dense.ts';
import { MODEL, madeStudy } from './made-study.ts';

const study = madeStudy(11);
const slopes = ['heel_height_mm', 'stance'];

describe.each(['REML', 'ML'] as const)('%s', (criterion) => {
  const fit = mixedModel(study, { ...MODEL, criterion });

  test('−2 ln L and fixed effects are those of the covariance of all rows written out', () => {
    const { x, y, v, weights } = dense(fit);
    const beta = weights.mmul(y);
    const r = y.clone().sub(x.mmul(beta));
    const quadratic = r.transpose().mmul(solveLinear(v, r)).get(0, 0);
    const n = fit.n;
    const p = fit.fixedEffects.length;
    const reml = criterion === 'REML' ? logDeterminant(x.transpose().mmul(solveLinear(v, x))) : 0;
    const rows = criterion === 'REML' ? n - p : n;
    expectClose(
      fit.deviance,
      rows * Math.log(2 * Math.PI) + logDeterminant(v) + reml + quadratic,
      1e-9 * Math.abs(fit.deviance),
      'deviance',
    );
    expectClose(quadratic, rows, 1e-8 * rows, 'the residual variance is at its best');
    expectAllClose(
      fit.fixedEffects.map(({ estimate }) => estimate),
      beta.to1DArray(),
      1e-9,
      'fixed effects',
    );
    const covariance = weights.mmul(v).mmul(weights.transpose()).to1DArray();
    expectAllClose(fit.fixedCovariance, covariance, 1e-9, 'covariance');
  });

  describe.each([
    ['random intercept', [], true],
    ['one slope', ['heel_height_mm'], true],
    ['two slopes', slopes, true],
    ['two slopes, uncorrelated', slopes, false],
  ] as const)('derivatives against differences: %s', (_, named, correlated) => {
    const { moments } = mixedModel(study, {
      ...MODEL,
      random: { group: 'athlete_id', slopes: [...named], correlated },
      criterion,
    }).inner;
    const places = freePlaces(moments.k, correlated);
    // Away from the minimum, where the slope is not 0.
    const theta = Float64Array.from(places, ([i, j], t) => (i === j ? 0.7 + 0.2 * t : 0.1 * t - 0.3));

    test('σ² profiled out', () => {
      checkDerivatives(devianceFunction(moments, criterion, places), theta);
    });

    test('with ln σ', () => {
      checkDerivatives(fullDeviance(moments, criterion, places), Float64Array.from([...theta, Math.log(3)]));
    });
  });

  test('slope of the variance of a contrast against differences', () => {
    const { moments, standardised, solution, doubt } = fit.inner;
    const l = weightsOnStandardised([0.3, 1, -0.5], standardised);
    const function_ = fullDeviance(moments, criterion, doubt.places);
    const { k, p } = moments;
    const at = Float64Array.from([
      ...doubt.places.map(([i, j]) => solution.lambda[i * k + j]),
      Math.log(solution.sigma2) / 2,
    ]);
    const slope = varianceSlope(l, moments, solution, doubt.places);
    const variance = (x: Float64Array): number => {
      // covarianceOf reads the evaluation that the function fills.
      function_.value(new Float64Array(x.length), x);
      const lambda = new Float64Array(k * k);
      doubt.places.forEach(([i, j], t) => {
        lambda[i * k + j] = x[t];
      });
      return covarianceOf(l, 1, p, {
        ...solution,
        lambda,
        sigma2: Math.exp(2 * x[x.length - 1]),
        evaluation: function_.evaluation,
      })[0];
    };
    slope.forEach((found, t) => {
      const h = 1e-5;
      const [above, below] = [at.slice(), at.slice()];
      above[t] += h;
      below[t] -= h;
      expectClose(found, (variance(above) - variance(below)) / (2 * h), 1e-7 * variance(at), `slope ${t}`);
    });
  });
});

/** Slope against differences of the value, curvature against differences of the slope: of order h², h = 1e-5. */
function checkDerivatives(of: SmoothFunction, x: Float64Array): void {
  const n = x.length;
  const slope = new Float64Array(n);
  const value = of.value(slope, x);
  const curvature = of.curvature(x);
  expect(slope.every((s) => Math.abs(s) > 1e-3)).toBe(true);
  const h = 1e-5;
  for (let t = 0; t < n; t++) {
    const [above, below] = [x.slice(), x.slice()];
    above[t] += h;
    below[t] -= h;
    const [up, down] = [new Float64Array(n), new Float64Array(n)];
    const difference = (of.value(up, above) - of.value(down, below)) / (2 * h);
    // Rounding of the value, 1e-15 of it, over h.
    expectClose(slope[t], difference, 1e-9 * Math.abs(value) + 1e-7 * Math.abs(slope[t]), `slope ${t}`);
    for (let s = 0; s < n; s++)
      expectClose(
        curvature[t * n + s],
        (up[s] - down[s]) / (2 * h),
        2e-7 * (1 + norm(curvature)),
        `curvature ${t} ${s}`,
      );
  }
}

const norm = (a: Float64Array): number => Math.hypot(...a);
