"""
Points moved onto constant distances by an independent solver: SciPy's SLSQP on the whitened problem
  minimise sum (x - y)' C^-1 (x - y)  subject to  |x_to - x_from| = length.
Writes tests/references/body-skeleton-scipy.json.

  python3 tests/generators/skeleton_scipy.py
"""
import json
import os

import numpy as np
import scipy
from scipy.optimize import minimize

NAMES = ["left_hip", "right_hip", "left_knee", "right_knee", "left_ankle", "right_ankle", "left_heel", "left_big_toe"]
RODS = [(0, 1), (0, 2), (1, 3), (2, 4), (3, 5), (4, 6), (4, 7), (6, 7)]
POSTURES = {
    "standing": [[0, 0.93, -0.09], [0, 0.93, 0.09], [0.03, 0.5, -0.12], [0.03, 0.5, 0.12], [0, 0.08, -0.15],
                 [0, 0.08, 0.15], [-0.05, 0.03, -0.14], [0.19, 0.02, -0.17]],
    "parallel": [[-0.25, 0.46, -0.09], [-0.25, 0.46, 0.09], [0.17, 0.47, -0.16], [0.17, 0.47, 0.16], [0, 0.08, -0.15],
                 [0, 0.08, 0.15], [-0.05, 0.03, -0.14], [0.19, 0.02, -0.17]],
}


def solve(y, covariance, lengths):
    roots = [np.linalg.cholesky(c) for c in covariance]
    place = lambda w: np.array([y[i] + roots[i] @ w[3 * i:3 * i + 3] for i in range(len(y))])
    constraint = lambda w: np.array([np.linalg.norm(place(w)[b] - place(w)[a]) - l for (a, b), l in zip(RODS, lengths)]) * 1e3
    found = minimize(lambda w: w @ w, np.zeros(3 * len(y)), jac=lambda w: 2 * w, method="SLSQP",
                     constraints={"type": "eq", "fun": constraint}, options={"ftol": 1e-16, "maxiter": 500})
    assert np.abs(constraint(found.x)).max() < 1e-7, found
    return place(found.x), found.fun


rng = np.random.default_rng(20)
cases = []
for posture, true in POSTURES.items():
    for scale in (0.001, 0.003):
        true_points = np.array(true)
        lengths = [float(np.linalg.norm(true_points[b] - true_points[a])) for a, b in RODS]
        covariance = []
        for i in range(len(NAMES)):
            a = rng.normal(size=(3, 3)) * scale * (0.5 + rng.random())
            covariance.append(a @ a.T + (0.3 * scale) ** 2 * np.eye(3))
        y = np.array([p + np.linalg.cholesky(c) @ rng.normal(size=3) for p, c in zip(true_points, covariance)])
        x, cost = solve(y, covariance, lengths)
        cases.append({
            "case": f"{posture}, noise of {1000 * scale:g} mm",
            "points": y.tolist(),
            "covariance": [[c[0, 0], c[0, 1], c[0, 2], c[1, 1], c[1, 2], c[2, 2]] for c in covariance],
            "lengths": lengths,
            "fitted": x.tolist(),
            "cost": float(cost),
            "largestWayM": float(np.abs(x - y).max()),
        })

out = os.path.join(os.path.dirname(__file__), "..", "references", "body-skeleton-scipy.json")
json.dump({
    "source": f"SciPy {scipy.__version__}, scipy.optimize.minimize, method SLSQP, on the whitened problem",
    "provenance": "recomputed by tests/generators/skeleton_scipy.py",
    "tolerance": 0.02,
    "toleranceReason": "share of the largest way a point is moved: the projection stops once the lengths are closed, after "
                       "two to four rounds, each of which leaves about (way / length of a limb) of the distance to the "
                       "nearest place; the shortest limb here, ankle to heel, is 0.07 m, ways are 3 to 16 mm",
    "landmarks": NAMES,
    "rods": RODS,
    "cases": cases,
}, open(out, "w"), indent=1)
