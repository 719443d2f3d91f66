"""Writes tests/references/numerics-scipy-*.json with SciPy, the independent program for splines, rotations, filters,
quantiles and Student t. Run: python3 tests/generators/numerics_scipy.py"""
import json
import pathlib

import numpy as np
import scipy
from scipy import interpolate, linalg, signal, stats
from scipy.spatial.transform import Rotation

OUT = pathlib.Path(__file__).resolve().parent.parent / "references"
RNG = np.random.default_rng(20261)
VERSIONS = f"SciPy {scipy.__version__}, NumPy {np.__version__}"


def write(name, source, tolerance, reason, cases, **more):
    record = {
        "source": f"{source} ({VERSIONS})",
        "provenance": "recomputed by tests/generators/numerics_scipy.py",
        "tolerance": tolerance,
        "toleranceReason": reason,
        **more,
        "cases": cases,
    }
    body = ",\n".join(f"  {json.dumps(k)}: {json.dumps(v)}" for k, v in record.items())
    (OUT / f"numerics-scipy-{name}.json").write_text("{\n" + body + "\n}\n")


def spline():
    cases = []
    for label, t in [
        ("4 points, uneven", np.array([0.0, 0.4, 1.5, 2.0])),
        ("5 points, even", np.arange(5.0)),
        ("12 points, uneven", np.cumsum(RNG.uniform(0.05, 1.0, 12))),
    ]:
        y = np.round(np.sin(t) + 0.3 * RNG.standard_normal(len(t)), 6)
        t = np.round(t, 6)
        at = np.round(np.concatenate([[t[0] - 0.2], np.linspace(t[0], t[-1], 17), [t[-1] + 0.2]]), 6)
        values = interpolate.CubicSpline(t, y, bc_type="not-a-knot")(at)
        cases.append({"case": label, "t": t.tolist(), "y": y.tolist(), "at": at.tolist(), "values": values.tolist()})
    write("spline", "scipy.interpolate.CubicSpline, not-a-knot", 1e-11,
          "absolute, values of order 1: two solutions of the same small well-conditioned system in double precision", cases)


def rotation():
    cases = []
    for label, v in [
        ("general", [0.3, -1.1, 0.7]), ("beyond a right angle", [1.6, 1.2, -1.4]), ("tiny", [1e-9, -2e-9, 3e-9]),
        ("small", [1e-4, 2e-4, -1e-4]), ("near a half turn", (np.array([2.0, -3.0, 6.0]) / 7 * (np.pi - 1e-7)).tolist()),
        ("about x", [2.5, 0.0, 0.0]), ("about y", [0.0, 2.5, 0.0]), ("about z", [0.0, 0.0, -2.5]), ("none", [0.0, 0.0, 0.0]),
    ]:
        cases.append({"case": label, "vector": list(map(float, v)),
                      "matrix": Rotation.from_rotvec(v).as_matrix().ravel().tolist()})
    nearest = []
    for _ in range(4):
        m = np.round(RNG.standard_normal((3, 3)), 6)
        # The nearest proper rotation as the maximiser of trace(R^T M): SciPy's solution of Wahba's problem on the axes.
        r, _ = Rotation.align_vectors(m.T, np.eye(3))
        nearest.append({"m": m.ravel().tolist(), "r": r.as_matrix().ravel().tolist(), "det": float(linalg.det(m))})
    write("rotation", "scipy.spatial.transform.Rotation", 1e-14,
          "absolute, elements up to 1: a few roundings of 1.1e-16 each", cases, nearest=nearest)


def filters():
    cases = []
    for design, rate in [(12.465, 100.0), (6.0, 60.0), (0.5, 100.0), (20.0, 120.0), (45.0, 100.0)]:
        b, a = signal.butter(2, design, fs=rate)
        cases.append({"designHz": design, "rateHz": rate, "b": b.tolist(), "a": a.tolist()})
    # Forward and backward over a long record: the interior does not depend on the padding.
    t = np.arange(400) / 100.0
    x = np.round(np.sin(2 * np.pi * 0.7 * t) + 0.2 * np.sin(2 * np.pi * 9 * t) + 0.05 * RNG.standard_normal(400), 6)
    design = float(100 / np.pi * np.arctan(np.tan(np.pi * 6 / 100) / (np.sqrt(2) - 1) ** 0.25))
    b, a = signal.butter(2, design, fs=100.0)
    y = signal.filtfilt(b, a, x, padtype="odd", padlen=300)
    write("butterworth", "scipy.signal.butter and filtfilt", 1e-12,
          "absolute, coefficients and signal of order 1: rounding of the bilinear transform", cases,
          record={"rateHz": 100.0, "cutoffHz": 6.0, "x": x.tolist(), "y": y.tolist()})


def student():
    ps = [1e-12, 1e-6, 0.0005, 0.025, 0.2, 0.49, 0.5, 0.7, 0.95, 0.975, 0.9995]
    cases = [{"p": p, "freedom": f, "t": float(stats.t.ppf(p, f))} for f in [0.5, 1, 2, 2.5, 3, 7, 29.4, 200, 5000, 999999, 1e7] for p in ps]
    normal = [{"p": p, "z": float(stats.norm.ppf(p))} for p in [1e-300, 1e-20, *ps, 1 - 1e-9]]
    probability = [{"t": t, "freedom": f, "p": float(stats.t.cdf(t, f))} for f in [0.7, 1, 4, 33, 1000] for t in [-30.0, -2.0, -0.1, 0.0, 0.5, 4.0]]
    write("student", "scipy.stats.t and norm", 2e-11,
          "relative. SciPy 1.10's own t quantile (Cephes) is the looser of the two; the tolerance is its stated accuracy class",
          cases, normal=normal, probability=probability)


def statistics():
    cases = []
    for n in (2, 5, 20):
        x = np.round(RNG.standard_normal(n) * 3 + 10, 5)
        y = np.round(0.5 * x + RNG.standard_normal(n), 5)
        ps = [0, 0.025, 0.1, 0.25, 0.5, 0.9, 1]
        cases.append({
            "x": x.tolist(), "y": y.tolist(), "mean": float(x.mean()), "sd": float(x.std(ddof=1)), "median": float(np.median(x)),
            "mad": float(stats.median_abs_deviation(x)), "ps": ps, "quantiles": np.quantile(x, ps, method="linear").tolist(),
            "rms": float(np.sqrt(np.mean(x**2))), "correlation": float(np.corrcoef(x, y)[0, 1]),
        })
    write("statistics", "NumPy mean, std, quantile (method linear = type 7), corrcoef; scipy.stats.median_abs_deviation", 1e-12,
          "absolute, values of order 10: summation rounding", cases)


def eigen():
    cases = []
    for n in (2, 4, 7):
        m = RNG.standard_normal((n, n))
        a = np.round(m + m.T, 8)
        cases.append({"n": n, "a": a.ravel().tolist(), "values": linalg.eigvalsh(a).tolist()})
    write("eigen", "scipy.linalg.eigvalsh (LAPACK)", 1e-13,
          "absolute, eigenvalues of order 1 to 5: backward error of both methods is a few roundings of the norm", cases)


for make in (spline, rotation, filters, student, statistics, eigen):
    make()
