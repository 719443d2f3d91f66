"""Writes tests/references/numerics-scipy-non-central-student.json with SciPy, the independent program for quantiles of the
non-central t and for the normal probability. Run: python3 tests/generators/non_central_student_scipy.py"""
import json
import math
import pathlib

import numpy as np
import scipy
from scipy import integrate, optimize, special, stats

OUT = pathlib.Path(__file__).resolve().parent.parent / "references" / "numerics-scipy-non-central-student.json"


def probability(t, nu, delta):
    """By adaptive quadrature over the chi distribution: another way than scipy.stats.nct, which is loose for large delta."""
    chi = stats.chi(nu, scale=1 / math.sqrt(nu))
    low, high = chi.ppf(1e-15), chi.isf(1e-15)
    value, _ = integrate.quad(lambda s: special.ndtr(t * s - delta) * chi.pdf(s), low, high, epsabs=1e-13, epsrel=1e-12, limit=500)
    return value


cases = []
for nu, delta in [(1, 2.77), (2, 3.39), (4, 4.38), (7.5, 5.54), (16, 8.08), (29, 10.7), (120, 21.6), (999, 62.0), (2, 10.0), (5, 50.0)]:
    for p in (0.025, 0.5, 0.975):
        start = float(stats.nct.ppf(p, nu, delta))
        root = optimize.brentq(lambda t: probability(t, nu, delta) - p, 0.3 * start, 3 * start, xtol=1e-12)
        assert abs(root - start) < 1e-4 * start, (nu, delta, p, root, start)
        cases.append({"p": p, "freedom": nu, "noncentrality": delta, "t": root})
record = {
    "source": f"scipy.integrate.quad and scipy.optimize.brentq on the definition, start from scipy.stats.nct; scipy.special.ndtr (SciPy {scipy.__version__}, NumPy {np.__version__})",
    "provenance": "recomputed by tests/generators/non_central_student_scipy.py",
    "tolerance": 1e-8,
    "toleranceReason": "relative; the adaptive quadrature is asked for 1e-12 and cut at 1e-15 of the tails, the root for 1e-12: for one degree of freedom a change of 1e-12 in probability moves the upper quantile by some 1e-10 of itself",
    "normal": [{"x": x, "p": float(special.ndtr(x))} for x in (-20.0, -8.0, -6.1, -5.9, -3.0, -1.0, 0.0, 0.3, 1.96, 5.0, 6.5)],
    "cases": cases,
}
OUT.write_text("{\n" + ",\n".join(f"  {json.dumps(k)}: {json.dumps(v)}" for k, v in record.items()) + "\n}\n")
