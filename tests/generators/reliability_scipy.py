"""Writes tests/references/study-scipy-reliability.json and study-scipy-bootstrap.json with SciPy and statsmodels, the independent
programs for multiplicity, F-based intervals, standardised differences and the bootstrap.
Run: python3 tests/generators/reliability_scipy.py"""
import json
import math
import pathlib

import numpy as np
import scipy
import statsmodels
from scipy import integrate, optimize, special, stats
from scipy.stats import _resampling
from statsmodels.stats.multitest import multipletests

OUT = pathlib.Path(__file__).resolve().parent.parent / "references"
VERSIONS = f"SciPy {scipy.__version__}, NumPy {np.__version__}, statsmodels {statsmodels.__version__}"


def multiplicity():
    sets = [
        [0.01, 0.02, 0.03, 0.04, 0.05],
        [0.2, 0.001, 0.04, 0.04, 0.5, 0.012],
        [0.9, 0.8, 0.0005],
        [0.03],
        [1.0, 0.0, 0.02, 0.02],
    ]
    names = {"bonferroni": "bonferroni", "holm": "holm", "hochberg": "simes-hochberg", "benjamini-hochberg": "fdr_bh"}
    return [
        {"p": p, **{ours: multipletests(p, method=theirs)[1].tolist() for ours, theirs in names.items()}} for p in sets
    ]


def below(t, nu, delta):
    """P(T < t) of the non-central t by adaptive quadrature over the chi distribution, in pieces about the rise of the integrand: scipy.stats.nct is loose for large delta."""
    chi = stats.chi(nu, scale=1 / math.sqrt(nu))
    rise = delta / t if t != 0 else 1.0
    width = 1 / max(1.0, abs(t))
    ends = sorted({0.0, *(s for s in (rise + k * width for k in (-12, -6, -3, 0, 3, 6, 12)) if 0 < s < chi.isf(1e-16)), float(chi.isf(0.5)), float(chi.isf(1e-16))})
    f = lambda s: special.ndtr(t * s - delta) * chi.pdf(s)
    return sum(integrate.quad(f, a, b, epsabs=1e-14, epsrel=1e-12, limit=500)[0] for a, b in zip(ends[:-1], ends[1:]))


def noncentrality():
    """Ends of the 95 % interval of the noncentrality, by the root of the distribution function itself."""
    cases = []
    for t, nu in [(2.985, 98), (0.4, 7), (-1.7, 11), (5.2, 5), (0.0, 20), (12.0, 30), (10.0, 2), (40.0, 2), (20.0, 5)]:
        of = lambda p: optimize.brentq(lambda d: below(t, nu, d) - p, t - 3 - 1.2 * abs(t), t + 3 + 1.2 * abs(t), xtol=1e-12)
        cases.append({"t": t, "freedom": nu, "lower": of(0.975), "upper": of(0.025)})
    return cases


def corrections():
    return [{"freedom": nu, "j": math.exp(special.gammaln(nu / 2) - special.gammaln((nu - 1) / 2)) / math.sqrt(nu / 2)} for nu in (2, 3, 7, 49, 98, 1001)]


def agreement():
    """Six intraclass correlations of an invented table, intervals after McGraw & Wong (1996), table 7, written apart."""
    table = np.array([[62.0, 64.5, 63.1], [55.2, 58.0, 54.9], [70.3, 70.9, 72.2], [49.8, 50.1, 53.0], [66.6, 69.3, 65.8], [58.4, 57.7, 60.9], [61.0, 65.2, 62.6]])
    n, k = table.shape
    grand, rows, cols = table.mean(), table.mean(1), table.mean(0)
    msr = k * ((rows - grand) ** 2).sum() / (n - 1)
    msc = n * ((cols - grand) ** 2).sum() / (k - 1)
    mse = ((table - rows[:, None] - cols[None] + grand) ** 2).sum() / ((n - 1) * (k - 1))
    msw = ((table - rows[:, None]) ** 2).sum() / (n * (k - 1))
    q = lambda a, b: stats.f.ppf(0.975, a, b)
    one_low, one_high = msr / msw / q(n - 1, n * (k - 1)), msr / msw * q(n * (k - 1), n - 1)
    c_low, c_high = msr / mse / q(n - 1, (n - 1) * (k - 1)), msr / mse * q((n - 1) * (k - 1), n - 1)
    icc_a1 = (msr - mse) / (msr + (k - 1) * mse + k / n * (msc - mse))
    icc_ak = (msr - mse) / (msr + (msc - mse) / n)

    def v(a, b):
        return (a * msc + b * mse) ** 2 / ((a * msc) ** 2 / (k - 1) + (b * mse) ** 2 / ((n - 1) * (k - 1)))

    v1 = v(k * icc_a1 / (n * (1 - icc_a1)), 1 + k * icc_a1 * (n - 1) / (n * (1 - icc_a1)))
    vk = v(icc_ak / (n * (1 - icc_ak)), 1 + icc_ak * (n - 1) / (n * (1 - icc_ak)))
    low, high = q(n - 1, v1), q(v1, n - 1)
    low_k, high_k = q(n - 1, vk), q(vk, n - 1)
    rest = k * msc + (k * n - k - n) * mse
    return {
        "table": table.tolist(),
        "icc11": [(msr - msw) / (msr + (k - 1) * msw), (one_low - 1) / (one_low + k - 1), (one_high - 1) / (one_high + k - 1)],
        "icc1k": [(msr - msw) / msr, 1 - 1 / one_low, 1 - 1 / one_high],
        "icc21": [icc_a1, n * (msr - low * mse) / (low * rest + n * msr), n * (high * msr - mse) / (rest + n * high * msr)],
        "icc2k": [icc_ak, n * (msr - low_k * mse) / (low_k * (msc - mse) + n * msr), n * (high_k * msr - mse) / (msc - mse + n * high_k * msr)],
        "icc31": [(msr - mse) / (msr + (k - 1) * mse), (c_low - 1) / (c_low + k - 1), (c_high - 1) / (c_high + k - 1)],
        "icc3k": [(msr - mse) / msr, 1 - 1 / c_low, 1 - 1 / c_high],
        "semResidual": [math.sqrt(mse), *(math.sqrt((n - 1) * (k - 1) * mse / stats.chi2.ppf(p, (n - 1) * (k - 1))) for p in (0.975, 0.025))],
    }


def bootstrap():
    """Efron & Tibshirani (1993), law school data: correlation of 15 pairs; the resamples are handed over, so that intervals must agree exactly."""
    lsat = np.array([576, 635, 558, 578, 666, 580, 555, 661, 651, 605, 653, 575, 545, 572, 594.0])
    gpa = np.array([3.39, 3.30, 2.81, 3.03, 3.44, 3.07, 3.00, 3.43, 3.36, 3.13, 3.12, 2.74, 2.76, 2.88, 2.96])
    statistic = lambda x, y, axis=-1: (
        ((x - x.mean(axis, keepdims=True)) * (y - y.mean(axis, keepdims=True))).mean(axis) / (x.std(axis) * y.std(axis))
    )
    result = stats.bootstrap((lsat, gpa), statistic, paired=True, n_resamples=499, method="BCa", rng=np.random.default_rng(15), vectorized=True)
    drawn = result.bootstrap_distribution
    value = float(statistic(lsat, gpa))
    without = [float(statistic(np.delete(lsat, i), np.delete(gpa, i))) for i in range(15)]
    low, high = np.percentile(drawn, [2.5, 97.5], method="weibull")
    index = lambda i, axis=-1: statistic(lsat[i], gpa[i], axis)
    alpha_low, alpha_high, acceleration = _resampling._bca_interval((np.arange(15),), index, axis=-1, alpha=0.025, theta_hat_b=drawn, batch=None, xp=np)
    bca = [float(np.percentile(drawn, 100 * a, method="weibull")) for a in (alpha_low, alpha_high)]
    return {
        "lsat": lsat.tolist(),
        "gpa": gpa.tolist(),
        "value": value,
        "without": without,
        "drawn": drawn.tolist(),
        "percentile": [low, high],
        "basic": [2 * value - high, 2 * value - low],
        "bca": bca,
        "acceleration": float(np.ravel(acceleration)[0]),
        "scipyBca": [float(result.confidence_interval.low), float(result.confidence_interval.high)],
        "standardError": float(result.standard_error),
    }


def write(name, record):
    (OUT / f"{name}.json").write_text(json.dumps(record, indent=1) + "\n")


write(
    "study-scipy-reliability",
    {
        "source": f"statsmodels.stats.multitest.multipletests; scipy.stats.nct, f, chi2; scipy.special.gammaln; formulas of McGraw & Wong (1996), Psychol Methods 1:30-46, table 7, as corrected on p. 390 ({VERSIONS})",
        "provenance": "recomputed by tests/generators/reliability_scipy.py; the formulas of McGraw & Wong are from memory",
        "tolerance": 1e-9,
        "toleranceReason": "closed forms in double precision; quantiles of F and chi-square of two libraries agree to about 1e-12 relative, the distribution function of the non-central t by adaptive quadrature to about 1e-12",
        "cases": multiplicity(),
        "noncentrality": noncentrality(),
        "corrections": corrections(),
        "agreement": agreement(),
    },
)
write(
    "study-scipy-bootstrap",
    {
        "source": f"scipy.stats.bootstrap (paired, BCa) on the law school data of Efron & Tibshirani (1993), An Introduction to the Bootstrap, table 3.1 ({VERSIONS})",
        "provenance": "recomputed by tests/generators/reliability_scipy.py; data from memory, their correlation 0.776 and its bootstrap standard error about 0.13 are those of the book",
        "tolerance": 1e-9,
        "toleranceReason": "the same 499 resamples are used by both; quantiles at the place (B + 1) p by numpy's 'weibull', the corrected probabilities by SciPy: rounding only",
        "cases": [bootstrap()],
    },
)
