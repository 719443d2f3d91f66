"""
Writes tests/references/cameras-aruco-boards.json: what OpenCV's own generator (Debian python3-opencv 4.6.0, cv2.aruco)
draws, one pixel a field of a marker, so that every bit and the place of every marker is stated.
    /usr/bin/python3 tests/generators/cameras_aruco_boards.py
"""
import json
import os

import cv2
import numpy as np

assert cv2.__version__ == "4.6.0", cv2.__version__
FIELDS = 4  # marker of 6 fields of one pixel in a square of 8 pixels: gap of 1 pixel


def board(across, down, first):
    """Rows of a board of DICT_4X4_50, '1' = white, one character a field; squares of 8, markers of 6 fields."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    made = cv2.aruco.CharucoBoard_create(across, down, 8.0, 6.0, dictionary)
    if first != 0:
        made.setIds(np.arange(first, first + across * down // 2, dtype=np.int32).reshape(-1, 1))
    # Drawn large and sampled in the middle of each field, clear of any smoothing of edges.
    size = 10
    image = made.draw((across * 8 * size, down * 8 * size), None, 0, 1)
    fields = image[size // 2 :: size, size // 2 :: size]
    assert fields.shape == (down * 8, across * 8)
    return ["".join("1" if x > 127 else "0" for x in row) for row in fields]


def marker(name, marker_id):
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, name))
    side = dictionary.markerSize + 2
    image = cv2.aruco.drawMarker(dictionary, marker_id, side)
    return ["".join("1" if x > 127 else "0" for x in row) for row in image]


cases = [
    {"across": 5, "down": 7, "first": 0, "rows": board(5, 7, 0)},
    {"across": 5, "down": 7, "first": 17, "rows": board(5, 7, 17)},
    {"across": 7, "down": 5, "first": 0, "rows": board(7, 5, 0)},
    {"across": 5, "down": 6, "first": 0, "rows": board(5, 6, 0)},
    {"across": 6, "down": 4, "first": 0, "rows": board(6, 4, 0)},
]
markers = [
    {"dictionary": name, "id": marker_id, "rows": marker(name, marker_id)}
    for name in ["DICT_4X4_50", "DICT_4X4_1000", "DICT_5X5_100", "DICT_6X6_250", "DICT_7X7_1000"]
    for marker_id in [0, 1, 7, 23, 49]
]
out = os.path.join(os.path.dirname(__file__), "..", "references", "cameras-aruco-boards.json")
with open(out, "w", encoding="utf-8") as file:
    json.dump(
        {
            "source": "OpenCV 4.6.0, module aruco (Debian python3-opencv 4.6.0+dfsg), CharucoBoard_create(...).draw and drawMarker; "
            "dictionaries after Garrido-Jurado, Munoz-Salinas, Madrid-Cuevas & Marin-Jimenez 2014, Pattern Recognition 47:2280",
            "provenance": "recomputed by tests/generators/cameras_aruco_boards.py; '1' = white, rows from the top, squares of 8 and markers of 6 fields",
            "tolerance": 0,
            "toleranceReason": "black or white: nothing is rounded",
            "cases": cases,
            "markers": markers,
        },
        file,
        indent=1,
    )
    file.write("\n")
