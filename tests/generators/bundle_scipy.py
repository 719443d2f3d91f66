#!/usr/bin/env python3
"""Bundle adjustment of a problem file (bundle-problem-file.ts says its format) by SciPy's least_squares.

    /usr/bin/python3 bundle_scipy.py PROBLEM

Own camera model in NumPy; derivatives by the complex step (exact to rounding; Squire & Trapp 1998), as a sparse matrix.
SciPy's losses act on single residuals; the loss here acts on the length of (u, v), so each pair is scaled by
sqrt(rho(s) / s), which has the cost rho(s) and the plain loss. Targets kept as 'known' and clocks are not read.
Prints JSON: version, cost, evaluations, seconds (processor time), and per camera rotation vector, translation, fx … k3.
"""
import json
import sys
import time

import numpy as np
import scipy
from scipy.optimize import least_squares
from scipy.sparse import csr_matrix
from scipy.spatial.transform import Rotation


def read(path):
    words = iter(open(path, encoding="ascii").read().split())
    take = lambda n: np.array([float(next(words)) for _ in range(n)])
    count = lambda: int(next(words))
    next(words)
    loss, scale = next(words), float(next(words))
    next(words)
    cameras = []
    for _ in range(count()):
        pose_free = count()
        r, t, lens = take(9), take(3), take(9)
        free = take(9).astype(bool)
        n = int(free.sum())
        prior = (take(n), take(n * n).reshape(n, n)) if count() else None
        pose = np.r_[Rotation.from_matrix(r.reshape(3, 3)).as_rotvec(), t]
        cameras.append({"pose_free": bool(pose_free), "values": np.r_[pose, lens], "free": free, "prior": prior})
    next(words)
    targets = []
    for _ in range(count()):
        kind = next(words)
        if kind == "rigid":
            points = take(3 * count()).reshape(-1, 3)
            r, t = take(9), take(3)
            start = np.r_[Rotation.from_matrix(r.reshape(3, 3)).as_rotvec(), t]
            targets.append({"kind": kind, "points": points, "start": start})
        elif kind == "point":
            targets.append({"kind": kind, "start": take(3)})
        elif kind == "rod":
            targets.append({"kind": kind, "start": take(6), "length": float(next(words)), "sd": float(next(words))})
        else:
            sys.exit(f"target kind {kind} is not read here")
    next(words)
    observations = take(7 * count()).reshape(-1, 7)
    return loss, scale, cameras, targets, observations


def rotate(v, p):
    """Rodrigues; v and p are n x 3, real or complex (no norm of a complex vector: sqrt of the sum of squares)."""
    t2 = (v * v).sum(1)
    small = np.abs(t2) < 1e-24
    t = np.sqrt(np.where(small, 1.0, t2))
    a = np.where(small, 1.0, np.sin(t) / t)[:, None]
    b = np.where(small, 0.5, (1 - np.cos(t)) / t**2)[:, None]
    c = np.cross(v, p)
    return p + a * c + b * np.cross(v, c)


def project(camera, x):
    y = rotate(camera[:, :3], x) + camera[:, 3:6]
    fx, fy, cx, cy, k1, k2, p1, p2, k3 = camera[:, 6:].T
    xn, yn = y[:, 0] / y[:, 2], y[:, 1] / y[:, 2]
    r2 = xn * xn + yn * yn
    g = 1 + r2 * (k1 + r2 * (k2 + r2 * k3))
    xd = xn * g + 2 * p1 * xn * yn + p2 * (r2 + 2 * xn * xn)
    yd = yn * g + p1 * (r2 + 2 * yn * yn) + 2 * p2 * xn * yn
    return np.stack([fx * xd + cx, fy * yd + cy], 1)


def main(path):
    loss, scale, cameras, targets, seen = read(path)
    camera_of, target_of, point_of = seen[:, :3].astype(int).T
    pixel, sd = seen[:, 3:5], seen[:, 5:7]
    n = len(seen)
    # Columns of the 15 numbers of each camera (-1 = held) and first column of each target.
    columns = -np.ones((len(cameras), 15), int)
    start = []
    for c, camera in enumerate(cameras):
        free = np.r_[np.full(6, camera["pose_free"]), camera["free"]]
        columns[c, free] = len(start) + np.arange(free.sum())
        start.extend(camera["values"][free])
    first = np.zeros(len(targets), int)
    for t, target in enumerate(targets):
        first[t] = len(start)
        start.extend(target["start"])
    start = np.array(start)
    rigid = np.array([target["kind"] == "rigid" for target in targets])[target_of]
    local = np.zeros((n, 3))
    for i in np.flatnonzero(rigid):
        local[i] = targets[target_of[i]]["points"][point_of[i]]
    if rigid.any() and not rigid.all():
        sys.exit("boards and free points together are not read here")
    boards = bool(rigid.all())
    own = 6 if boards else 3
    own_columns = first[target_of][:, None] + np.arange(own) + (0 if boards else 3 * point_of[:, None])
    rods = [t for t, target in enumerate(targets) if target["kind"] == "rod"]
    rod_columns = np.array([first[t] + np.arange(6) for t in rods], int).reshape(-1, 6)
    length = np.array([targets[t]["length"] for t in rods])
    length_sd = np.array([targets[t]["sd"] for t in rods])
    priors = []
    for c, camera in enumerate(cameras):
        if camera["prior"]:
            mean, covariance = camera["prior"]
            whiten = np.linalg.inv(np.linalg.cholesky(covariance))
            priors.append((columns[c, 6:][camera["free"]], mean, whiten))
    held = np.array([camera["values"] for camera in cameras])

    def camera_values(p):
        return np.where(columns >= 0, p[np.maximum(columns, 0)], held)

    def pixels(camera, block):
        world = rotate(block[:, :3], local) + block[:, 3:] if boards else block
        return (project(camera, world) - pixel) / sd

    stage = {"loss": loss}

    def robust(r):
        """r scaled so that its squared length is rho(s); complex allowed."""
        if stage["loss"] == "none":
            return r
        s = (r * r).sum(1)
        a = scale * scale
        if stage["loss"] == "huber":
            far = s.real > a
            rho = np.where(far, 2 * scale * np.sqrt(np.where(far, s, 1)) - a, s)
        else:
            rho = a * np.log(1 + s / a)
        return r * np.sqrt(np.where(s.real > 0, rho / np.where(s.real > 0, s, 1), 1))[:, None]

    def rod_rows(x):
        d = x[:, 3:] - x[:, :3]
        return (np.sqrt((d * d).sum(1)) - length) / length_sd

    def residuals(p):
        parts = [robust(pixels(camera_values(p)[camera_of], p[own_columns])).ravel(), rod_rows(p[rod_columns])]
        parts += [whiten @ (p[at] - mean) for at, mean, whiten in priors]
        return np.concatenate(parts)

    def jacobian(p):
        camera, block = camera_values(p)[camera_of].astype(complex), p[own_columns].astype(complex)
        rows, cols, values = [], [], []

        def put(r, c, v):
            keep = c >= 0
            rows.append(r[keep]), cols.append(c[keep]), values.append(v[keep])

        h = 1e-30j
        for k in range(15 + own):
            at = columns[camera_of, k] if k < 15 else own_columns[:, k - 15]
            if (at < 0).all():
                continue
            array, j = (camera, k) if k < 15 else (block, k - 15)
            array[:, j] += h
            slope = robust(pixels(camera, block)).imag / 1e-30
            array[:, j] -= h
            for row in range(2):
                put(2 * np.arange(n) + row, at, slope[:, row])
        x = p[rod_columns].astype(complex)
        for k in range(6 if rods else 0):
            x[:, k] += h
            put(2 * n + np.arange(len(rods)), rod_columns[:, k], rod_rows(x).imag / 1e-30)
            x[:, k] -= h
        base = 2 * n + len(rods)
        for at, mean, whiten in priors:
            i, j = np.indices(whiten.shape)
            put((base + i).ravel(), at[j.ravel()], whiten.ravel())
            base += len(at)
        data = np.concatenate(values), (np.concatenate(rows), np.concatenate(cols))
        out = csr_matrix(data, shape=(base, len(p)))
        return out.toarray() if boards else out

    before = time.process_time()
    # Small boards: exact steps of a dense Jacobian. Many points: the sparse one, iterative inner solver.
    how = {"tr_solver": "exact"} if boards else {"tr_solver": "lsmr", "tr_options": {"atol": 1e-12, "btol": 1e-12, "maxiter": 3000}}

    def solve(x):
        return least_squares(
            residuals, x, jacobian, method="trf", x_scale="jac", ftol=1e-12, xtol=1e-15, gtol=1e-15, max_nfev=300, **how
        )

    evaluations = 0
    x = start
    if loss == "cauchy":
        # From far off this scaled residual runs into poor local minima of Cauchy's loss: Huber's minimum first.
        stage["loss"] = "huber"
        found = solve(x)
        x, evaluations = found.x, found.nfev
        stage["loss"] = "cauchy"
    found = solve(x)
    seconds = time.process_time() - before
    out = {
        "program": f"SciPy {scipy.__version__}",
        "cost": found.cost,
        "start_cost": 0.5 * float((residuals(start) ** 2).sum()),
        "iterations": evaluations + int(found.nfev),
        "seconds": seconds,
        "stopped": found.message,
        "cameras": camera_values(found.x).tolist(),
    }
    print(json.dumps(out))


main(sys.argv[1])
