import { readdirSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import { type LeastSquaresProblem, leastSquares } from '../../src/numerics/least-squares.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { type Reference, reference } from '../reference.ts';

interface StrdProblem extends Reference<{ start: string; values: number[] }> {
  x: number[];
  y: number[];
  certified: number[];
  standardDeviations: number[];
  residualSumOfSquares: number;
  degreesOfFreedom: number;
}

type Model = (x: number, b: ArrayLike<number>) => number;
const { exp } = Math;

const models: Record<string, Model> = {
  misra1a: (x, b) => b[0] * (1 - exp(-b[1] * x)),
  chwirut2: (x, b) => exp(-b[0] * x) / (b[1] + b[2] * x),
  lanczos3: (x, b) => b[0] * exp(-b[1] * x) + b[2] * exp(-b[3] * x) + b[4] * exp(-b[5] * x),
  mgh17: (x, b) => b[0] + b[1] * exp(-x * b[3]) + b[2] * exp(-x * b[4]),
  mgh09: (x, b) => (b[0] * (x * x + x * b[1])) / (x * x + x * b[2] + b[3]),
  thurber: (x, b) => (b[0] + x * (b[1] + x * (b[2] + x * b[3]))) / (1 + x * (b[4] + x * (b[5] + x * b[6]))),
  mgh10: (x, b) => b[0] * exp(b[1] / (x + b[2])),
  boxbod: (x, b) => b[0] * (1 - exp(-b[1] * x)),
  rat43: (x, b) => b[0] / (1 + exp(b[1] - b[2] * x)) ** (1 / b[3]),
  eckerle4: (x, b) => (b[0] / b[1]) * exp(-0.5 * ((x - b[2]) / b[1]) ** 2),
};

function curve(model: Model, x: ArrayLike<number>, y: ArrayLike<number>, parameterCount: number): LeastSquaresProblem {
  return {
    residualCount: x.length,
    parameterCount,
    residualsInto(out, p) {
      for (let i = 0; i < x.length; i++) out[i] = model(x[i], p) - y[i];
    },
  };
}

const problems = Object.keys(models).map((name) => ({
  name,
  data: reference(`numerics-nist-${name}`) as unknown as StrdProblem,
}));

test('every stored NIST problem has a model here', () => {
  const stored = readdirSync(new URL('../references', import.meta.url)).filter((f) => f.startsWith('numerics-nist-'));
  expect(stored.map((f) => f.slice('numerics-nist-'.length, -'.json'.length)).sort()).toEqual(
    Object.keys(models).sort(),
  );
});

describe.each(problems)('NIST StRD $name', ({ name, data }) => {
  test('the data give the certified sum of squares at the certified parameters', () => {
    const rss = data.x.reduce((sum, x, i) => sum + (models[name](x, data.certified) - data.y[i]) ** 2, 0);
    expectClose(rss / data.residualSumOfSquares, 1, 1e-10, name);
  });

  test.each(data.cases)(
    '$start: certified parameters and standard deviations, derivatives by differences',
    ({ values }) => {
      const problem = curve(models[name], data.x, data.y, data.certified.length);
      const found = leastSquares(problem, values, { maxIterations: 1000 });
      data.certified.forEach((value, j) => {
        expectClose(found.parameters[j] / value, 1, data.tolerance, `b${j + 1} ratio`);
        expectClose(
          found.standardDeviations[j] / data.standardDeviations[j],
          1,
          data.tolerance,
          `SD of b${j + 1} ratio`,
        );
      });
      expectClose(found.residualSumOfSquares / data.residualSumOfSquares, 1, 1e-9, 'rss ratio');
      expect(['gradient', 'step', 'cost']).toContain(found.stopped);
      expect(found.rank).toBe(data.certified.length);
    },
  );
});

describe('exact derivatives', () => {
  const { data } = problems.find(({ name }) => name === 'misra1a') ?? problems[0];
  const problem: LeastSquaresProblem = {
    ...curve(models.misra1a, data.x, data.y, 2),
    jacobianInto(out, b) {
      data.x.forEach((x, i) => {
        out[2 * i] = 1 - exp(-b[1] * x);
        out[2 * i + 1] = b[0] * x * exp(-b[1] * x);
      });
    },
  };

  test('Misra1a to 9 digits, standard deviations too', () => {
    const found = leastSquares(problem, data.cases[0].values);
    data.certified.forEach((value, j) => {
      expectClose(found.parameters[j] / value, 1, 1e-9, `b${j + 1} ratio`);
      expectClose(found.standardDeviations[j] / data.standardDeviations[j], 1, 1e-9, `SD of b${j + 1} ratio`);
    });
  });

  test('a linear problem (NIST StRD linear set is not needed: closed form of the straight line) gives mean, slope and covariance', () => {
    const x = [-2, -1, 0, 1, 2];
    const y = [0.9, 2.1, 2.9, 4.2, 4.9];
    const found = leastSquares(
      curve((t, b) => b[0] + b[1] * t, x, y, 2),
      [0, 0],
    );
    // Centred x: intercept = mean, slope = Σxy/Σx², covariance σ² diag(1/5, 1/10), σ² = rss/3.
    expectAllClose(found.parameters, [3, 1.01], 1e-10, 'line');
    const rss = y.reduce((sum, value, i) => sum + (3 + 1.01 * x[i] - value) ** 2, 0);
    expectAllClose(found.covariance, [rss / 15, 0, 0, rss / 30], 1e-10, 'covariance');
  });
});

describe('why it stopped and what is not determined', () => {
  test('residuals that reach 0: gradient, standard deviations 0', () => {
    const x = [0, 1, 2, 3, 4];
    const found = leastSquares(
      curve(
        (t, b) => b[0] * exp(-b[1] * t),
        x,
        x.map((t) => 2 * exp(-0.5 * t)),
        2,
      ),
      [1, 1],
    );
    expectAllClose(found.parameters, [2, 0.5], 1e-9, 'parameters');
    expect(found.residualSumOfSquares).toBeLessThan(1e-20);
    expect(found.rank).toBe(2);
  });

  test('only a sum is determined: both summands have NaN deviation, the third parameter keeps its own', () => {
    const x = [0, 1, 2, 3, 4, 5];
    const y = [1.1, 2.9, 5.2, 6.8, 9.1, 11.2];
    const free = leastSquares(
      curve((t, b) => b[0] + b[1] + b[2] * t, x, y, 3),
      [0.2, 0.1, 1],
    );
    const plain = leastSquares(
      curve((t, b) => b[0] + b[1] * t, x, y, 2),
      [0, 1],
    );
    expect(free.rank).toBe(2);
    expect([...free.standardDeviations].map(Number.isNaN)).toEqual([true, true, false]);
    expectClose(free.parameters[0] + free.parameters[1], plain.parameters[0], 1e-9, 'sum');
    // Of the two columns, equal to rounding, the second is held: its parameter keeps its start.
    expect(free.parameters[1]).toBe(0.1);
    expectClose(free.standardDeviations[2], plain.standardDeviations[1], 1e-9, 'SD of slope');
  });

  test('a parameter without effect stays at its start and has NaN deviation', () => {
    const found = leastSquares(
      curve((t, b) => b[0] * t, [1, 2, 3], [2.1, 3.9, 6.1], 2),
      [1, 7],
    );
    expect(found.parameters[1]).toBe(7);
    expect(found.rank).toBe(1);
    expect([...found.standardDeviations].map(Number.isNaN)).toEqual([false, true]);
  });

  test('as many residuals as parameters: solved, but no deviation can be had', () => {
    const found = leastSquares(
      curve((t, b) => b[0] + b[1] * t, [1, 2], [3, 5], 2),
      [0, 0],
    );
    expectAllClose(found.parameters, [1, 2], 1e-9, 'line through two points');
    expect([...found.standardDeviations].every(Number.isNaN)).toBe(true);
  });

  test('fewer residuals than parameters: a solution, rank below the number of parameters', () => {
    const found = leastSquares(
      curve((_, b) => b[0] + 2 * b[1], [0], [5], 2),
      [0, 0],
    );
    expectClose(found.parameters[0] + 2 * found.parameters[1], 5, 1e-9, 'constraint');
    expect(found.rank).toBe(1);
  });

  test('an idle first parameter and few residuals do not hide the one that matters', () => {
    const found = leastSquares(
      curve((_, b) => b[1] - 5, [0], [0], 2),
      [3, 0],
    );
    expect(found.parameters[0]).toBe(3);
    expectClose(found.parameters[1], 5, 1e-9, 'second');
  });

  test('the limit of iterations is said', () => {
    const { data } = problems[0];
    const found = leastSquares(curve(models.misra1a, data.x, data.y, 2), data.cases[0].values, { maxIterations: 2 });
    expect(found.stopped).toBe('iterations');
    expect(found.iterations).toBe(2);
  });

  test('a derivative of the wrong sign: stuck, at the start', () => {
    const found = leastSquares(
      {
        residualCount: 1,
        parameterCount: 1,
        residualsInto: (out, p) => out.set([p[0] - 3]),
        jacobianInto: (out) => out.set([-1]),
      },
      [1],
    );
    expect(found.stopped).toBe('stuck');
    expect(found.parameters[0]).toBe(1);
  });

  test('steps into a region without a value are shortened', () => {
    const problem: LeastSquaresProblem = {
      residualCount: 2,
      parameterCount: 1,
      residualsInto: (out, p) => out.set([Math.log(p[0]) + 3, 0.1 * p[0]]),
    };
    const found = leastSquares(problem, [5]);
    // d/dp[(ln p + 3)² + 0.01 p²] = 0  ⇔  (ln p + 3) + 0.01 p² = 0.
    expectClose(Math.log(found.parameters[0]) + 3 + 0.01 * found.parameters[0] ** 2, 0, 1e-8, 'stationarity');
  });

  test('the path does not depend on the units of the parameters', () => {
    const { data } = problems.find(({ name }) => name === 'thurber') ?? problems[0];
    const units = [1e3, 1e-4, 1, 10, 1e5, 1e-2, 1e-3];
    const scaled: Model = (x, b) =>
      models.thurber(
        x,
        units.map((unit, j) => unit * b[j]),
      );
    const start = data.cases[0].values;
    const plain = leastSquares(curve(models.thurber, data.x, data.y, 7), start);
    const other = leastSquares(
      curve(scaled, data.x, data.y, 7),
      start.map((value, j) => value / units[j]),
    );
    data.certified.forEach((value, j) => {
      expectClose((other.parameters[j] * units[j]) / value, 1, data.tolerance, `b${j + 1}`);
    });
    // Rounding decides when the last, idle steps end.
    expect(Math.abs(other.iterations - plain.iterations)).toBeLessThanOrEqual(8);
  });

  test('a start that is no place to start from is refused', () => {
    const problem = curve((t, b) => b[0] / t, [0, 1], [1, 1], 1);
    expect(() => leastSquares(problem, [1])).toThrow(RangeError);
    expect(() => leastSquares(problem, [1, 2])).toThrow(RangeError);
  });
});
