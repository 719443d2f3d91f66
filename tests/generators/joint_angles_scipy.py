"""Writes tests/references/body-scipy-joint-angles.json: pairs of axes of two parts whose joint angles SciPy's Rotation knows, as
intrinsic sequences Z-X-Y (joint coordinate system) and Y-X-Y (shoulder). Run: python3 tests/generators/joint_angles_scipy.py"""
import json
import pathlib

import numpy as np
import scipy
from scipy.spatial.transform import Rotation

OUT = pathlib.Path(__file__).resolve().parent.parent / "references" / "body-scipy-joint-angles.json"
RNG = np.random.default_rng(1983)


def pair(kind, label, angles):
    proximal = Rotation.random(random_state=RNG)
    distal = proximal * Rotation.from_euler("ZXY" if kind == "joint" else "YXY", angles)
    return {"case": f"{kind}: {label}", "kind": kind, "angles": [float(a) for a in angles],
            "proximal": proximal.as_matrix().ravel().tolist(), "distal": distal.as_matrix().ravel().tolist()}


cases = [pair("joint", f"drawn {i + 1}", [RNG.uniform(-3.1, 3.1), RNG.uniform(-1.3, 1.3), RNG.uniform(-3.1, 3.1)])
         for i in range(20)]
cases += [
    pair("joint", "none", [0.0, 0.0, 0.0]),
    pair("joint", "deep squat, hip", [2.0, -0.6, 0.3]),
    pair("joint", "near a right angle of adduction", [0.4, 1.35, -0.7]),
    pair("joint", "tiny", [1e-8, -2e-8, 3e-8]),
]
# The middle angle is minus the elevation: ISB counts it negative.
cases += [pair("shoulder", f"drawn {i + 1}",
               [RNG.uniform(-3.1, 3.1), -RNG.uniform(0.4, 2.7), RNG.uniform(-3.1, 3.1)]) for i in range(12)]

record = {
    "source": f"scipy.spatial.transform.Rotation.from_euler, intrinsic ZXY and YXY (SciPy {scipy.__version__}, NumPy {np.__version__})",
    "provenance": "recomputed by tests/generators/joint_angles_scipy.py",
    "tolerance": 1e-12,
    "toleranceReason": "rad; matrices are stored to 1e-16, and the worst case divides by cos 1.35 = 0.22 and cos² in asin",
    "layout": "proximal, distal: labFromPart, row-major; angles: radians in the order of the sequence",
    "cases": cases,
}
body = ",\n".join(f" {json.dumps(k)}: {json.dumps(v)}" for k, v in record.items())
OUT.write_text("{\n" + body + "\n}\n")
