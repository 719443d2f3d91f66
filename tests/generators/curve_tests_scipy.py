"""Writes tests/references/study-curve-permutation.json and study-sample-size-power.json with SciPy, the independent program for exact
permutation p at a single place, regression t, and the power of t tests. Run: python3 tests/generators/curve_tests_scipy.py"""
import json
import math
import pathlib

import numpy as np
import scipy
from scipy import integrate, optimize, stats

OUT = pathlib.Path(__file__).resolve().parent.parent / "references"
VERSIONS = f"SciPy {scipy.__version__}, NumPy {np.__version__}"
RNG = np.random.default_rng(20261129)


def write(name, record):
    body = ",\n".join(f"  {json.dumps(k)}: {json.dumps(v)}" for k, v in record.items())
    (OUT / f"{name}.json").write_text("{\n" + body + "\n}\n")


def exact(data, statistic, kind):
    return stats.permutation_test(
        data, statistic, permutation_type=kind, n_resamples=np.inf, alternative="two-sided", vectorized=False
    ).pvalue


cases = []
for n in (5, 8, 11):
    d = np.round(RNG.normal(0.4, 1, n), 3)
    p = exact((d,), lambda x: np.mean(x) / (np.std(x, ddof=1) / math.sqrt(len(x))), "samples")
    t = stats.ttest_1samp(d, 0)
    interval = t.confidence_interval(0.95)
    cases.append({"design": "paired", "x": d.tolist(), "p": p, "t": t.statistic, "lower": interval.low, "upper": interval.high})
for na, nb in ((4, 4), (3, 6), (6, 7)):
    a, b = np.round(RNG.normal(0, 1, na), 3), np.round(RNG.normal(0.9, 1, nb), 3)
    # |t| is what is compared: SciPy doubles the smaller tail, which differs for unequal groups.
    p = stats.permutation_test(
        (a, b), lambda x, y: abs(stats.ttest_ind(y, x).statistic), permutation_type="independent",
        n_resamples=np.inf, alternative="greater", vectorized=False).pvalue
    t = stats.ttest_ind(b, a)
    interval = t.confidence_interval(0.95)
    cases.append({"design": "groups", "a": a.tolist(), "b": b.tolist(), "p": p, "t": t.statistic, "lower": interval.low, "upper": interval.high})
for n in (5, 7):
    x = np.round(RNG.exponential(1, n), 3)
    y = np.round(0.8 * x + RNG.normal(0, 0.7, n), 3)
    p = stats.permutation_test(
        (x,), lambda v: abs(np.corrcoef(v, y)[0, 1]), permutation_type="pairings",
        n_resamples=np.inf, alternative="greater", vectorized=False).pvalue
    fit = stats.linregress(x, y)
    half = stats.t.ppf(0.975, n - 2) * fit.stderr
    cases.append({"design": "covariate", "x": x.tolist(), "y": y.tolist(), "p": p, "t": fit.slope / fit.stderr,
                  "lower": fit.slope - half, "upper": fit.slope + half})
n = 7
z = np.round(RNG.normal(0, 1, n), 3)
x = np.round(0.5 * z + RNG.normal(0, 1, n), 3)
y = np.round(0.6 * x + 0.9 * z + RNG.normal(0, 0.6, n), 3)


def partial_t(values):
    """t of x in the regression of values on 1, z, x, by normal equations."""
    design = np.column_stack([np.ones(n), z, x])
    inverse = np.linalg.inv(design.T @ design)
    beta = inverse @ design.T @ values
    rest = values - design @ beta
    return beta[2], math.sqrt(rest @ rest / (n - 3) * inverse[2, 2])


reduced = np.column_stack([np.ones(n), z])
fitted = reduced @ np.linalg.lstsq(reduced, y, rcond=None)[0]
rest = y - fitted
p = stats.permutation_test(
    (rest,), lambda e: abs(np.divide(*partial_t(fitted + e))), permutation_type="pairings",
    n_resamples=np.inf, alternative="greater", vectorized=False).pvalue
slope, error = partial_t(y)
half = stats.t.ppf(0.975, n - 3) * error
cases.append({"design": "partial", "x": x.tolist(), "z": z.tolist(), "y": y.tolist(), "p": p, "t": slope / error,
              "lower": slope - half, "upper": slope + half})
write("study-curve-permutation", {
    "source": f"scipy.stats.permutation_test, all rearrangements; ttest_1samp, ttest_ind, linregress; normal equations for the partial slope ({VERSIONS})",
    "provenance": "recomputed by tests/generators/curve_tests_scipy.py",
    "tolerance": 1e-9,
    "toleranceReason": "p are counts over counts, t and intervals double precision on a few small numbers",
    "cases": cases,
})


def power_paired(d, n, alpha=0.05):
    crit = stats.t.ppf(1 - alpha / 2, n - 1)
    return stats.nct.sf(crit, n - 1, d * math.sqrt(n)) + stats.nct.cdf(-crit, n - 1, d * math.sqrt(n))


def power_groups(d, n, alpha=0.05):
    crit, nc = stats.t.ppf(1 - alpha / 2, 2 * n - 2), d * math.sqrt(n / 2)
    return stats.nct.sf(crit, 2 * n - 2, nc) + stats.nct.cdf(-crit, 2 * n - 2, nc)


powers = []
for d, n in ((0.5, 33), (0.5, 34), (0.8, 15), (1.2, 8), (0.3, 20)):
    powers.append({"design": "paired", "d": d, "athletes": n, "alpha": 0.05, "power": power_paired(d, n)})
for d, n in ((0.5, 63), (0.5, 64), (0.8, 26), (1.5, 6)):
    powers.append({"design": "groups", "d": d, "athletes": n, "alpha": 0.05, "power": power_groups(d, n)})
powers.append({"design": "paired", "d": 0.7, "athletes": 20, "alpha": 0.01, "power": power_paired(0.7, 20, 0.01)})

# Power averaged over a variance that is known with nu degrees of freedom: true variance = nu s² / chi²_nu.
averaged = []
for nu, d, n in ((4, 0.8, 20), (9, 0.8, 20), (30, 0.5, 34)):
    value, _ = integrate.quad(lambda q: power_paired(d * math.sqrt(stats.chi2.ppf(q, nu) / nu), n), 0, 1, epsabs=1e-8, limit=300)
    averaged.append({"freedom": nu, "d": d, "athletes": n, "power": value})


def needed(power, d, wanted=0.8):
    n = 2
    while power(d, n) < wanted:
        n += 1
    return n


write("study-sample-size-power", {
    "source": f"scipy.stats.nct (power of two-sided t tests), scipy.integrate.quad over the chi-squared distribution ({VERSIONS}); Cohen 1988, Statistical Power Analysis for the Behavioral Sciences, 2nd ed., table 2.4.1: d = 0.5, two-sided 0.05, power 0.80: 64 a group; 34 pairs by the same formula",
    "provenance": "recomputed by tests/generators/curve_tests_scipy.py; Cohen's 64 and the 34 from memory, and equal to what SciPy gives",
    "tolerance": 4.5,
    "toleranceReason": "standard deviations of a share counted in the simulated studies: a right program passes all of about 15 comparisons but once in 10,000 seeds",
    "cases": powers,
    "averaged": averaged,
    "needed": [{"design": "paired", "d": 0.5, "athletes": needed(power_paired, 0.5), "published": 34},
               {"design": "groups", "d": 0.5, "athletes": needed(power_groups, 0.5), "published": 64}],
})
