"""All four decompositions of three homographies by OpenCV's decomposeHomographyMat (Malis & Vargas 2007), an
implementation of another author in another form: writes tests/references/cameras-homography-decomposition.json.
Run: python3 tests/generators/homography_opencv.py"""
import json
import pathlib

import cv2
import numpy as np

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
SETTINGS = [
    ([0.1, -0.7, 0.05], [0.9, 0.1, 0.4], [0.2, -0.3, 0.93], 2.5),
    ([-0.05, 0.3, 0.2], [-0.5, 0.2, 0.1], [-0.5, 0.1, 0.86], 4.0),
    ([0.4, 0.2, -0.6], [0.3, -0.6, 0.2], [0.1, 0.8, 0.6], 1.5),
]
cases = []
for vector, t, n, distance in SETTINGS:
    n = np.array(n) / np.linalg.norm(n)
    h = cv2.Rodrigues(np.array(vector))[0] + np.outer(t, n) / distance
    h /= np.linalg.svd(h)[1][1]
    _, rotations, translations, normals = cv2.decomposeHomographyMat(h, np.eye(3))
    cases.append(
        {
            "rotationVector": vector,
            "translation": t,
            "normal": n.tolist(),
            "distance": distance,
            "homography": h.ravel().tolist(),
            "solutions": [
                {
                    "rotation": r.ravel().tolist(),
                    "translationOverDistance": s.ravel().tolist(),
                    "normal": m.ravel().tolist(),
                }
                for r, s, m in zip(rotations, translations, normals)
            ],
        }
    )
out = {
    "source": f"OpenCV {cv2.__version__}, decomposeHomographyMat (closed form of Malis & Vargas 2007, INRIA RR-6303)",
    "provenance": "recomputed by tests/generators/homography_opencv.py",
    "tolerance": 1e-9,
    "toleranceReason": "both solve the same equations in double precision; the homographies are far from a double root",
    "cases": cases,
}
(ROOT / "tests" / "references" / "cameras-homography-decomposition.json").write_text(json.dumps(out, indent=1) + "\n")
