"""Times cv2.undistortPoints and cv2.triangulatePoints, one thread, for tests/benchmarks/triangulation.ts.

Arguments: file of the two cameras (JSON), file of pixels (float64, u v u v a point), file for the points found (float64,
x y z), rounds. Prints the least processor seconds of a round and the version of OpenCV, as JSON.
"""

import json
import sys
import time

import cv2
import numpy as np

cv2.setNumThreads(1)
cameras_file, pixels_file, points_file, rounds = sys.argv[1:5]
with open(cameras_file, encoding="utf-8") as file:
    cameras = json.load(file)
pixels = np.fromfile(pixels_file).reshape(-1, 2, 2)
views = [np.ascontiguousarray(pixels[:, v]).reshape(-1, 1, 2) for v in range(2)]
matrices = [np.array([[c["fx"], c["skew"], c["cx"]], [0, c["fy"], c["cy"]], [0, 0, 1]]) for c in cameras]
lenses = [np.array(c["distortion"], dtype=float) for c in cameras]
poses = [np.hstack([np.reshape(c["rotation"], (3, 3)), np.reshape(c["translation"], (3, 1))]) for c in cameras]

best = float("inf")
for _ in range(int(rounds)):
    start = time.process_time()
    rays = [cv2.undistortPoints(views[v], matrices[v], lenses[v]).reshape(-1, 2).T for v in range(2)]
    found = cv2.triangulatePoints(poses[0], poses[1], rays[0], rays[1])
    best = min(best, time.process_time() - start)
(found[:3] / found[3]).T.copy().astype(np.float64).tofile(points_file)
print(json.dumps({"seconds": best, "version": cv2.__version__}))
