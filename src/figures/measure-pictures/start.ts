import type { Drawings } from './drawing.ts';
import { barFromSide, floor, fromSide, lifterFromSide } from './lifter.ts';
import {
  ACCENT,
  arc,
  bearing,
  dimension,
  dot,
  MEASURED,
  minus,
  onBearing,
  type Point,
  plus,
  polyline,
  reference,
  text,
  tick,
  zero,
} from './marks.ts';
import { drawnPosture, PARALLEL, STANDING } from './posture.ts';

export const START: Drawings = {
  pelvis_ahead: {
    shows:
      'Lifter from the side, standing: distance of mid-hip ahead of the plumb line through mid-shoulder; hips ahead is plus',
    draw() {
      const lifter = drawnPosture({ ...STANDING, lean: -16, shank: 10, thigh: 88 });
      const at = fromSide(70, 150, 74);
      const [hip, shoulder] = [at(lifter.midHip), at(lifter.midShoulder)];
      const y = hip[1] + 14;
      return [
        lifterFromSide(lifter, at, { bar: false, arms: false }),
        reference(shoulder, [shoulder[0], y + 12]),
        zero([shoulder[0], y + 18]),
        reference(hip, [hip[0], y + 3]),
        dimension([shoulder[0], y], [hip[0], y], { headed: true }),
        dot(hip),
        dot(shoulder),
        plus([hip[0] + 12, y]),
        minus([shoulder[0] - 14, y]),
      ];
    },
  },
  lean_back: {
    shows:
      'Lifter from the side, standing: angle from the upright through mid-hip to the trunk line; leaning back is plus, forward minus',
    draw() {
      const lifter = drawnPosture({ ...STANDING, lean: -13, shank: 8, thigh: 90 });
      const at = fromSide(80, 150, 74);
      const [hip, shoulder] = [at(lifter.midHip), at(lifter.midShoulder)];
      const tilt = bearing(hip, shoulder);
      return [
        lifterFromSide(lifter, at, { bar: false, arms: false }),
        reference(hip, onBearing(hip, 0, 60)),
        polyline([hip, shoulder], MEASURED),
        dot(hip),
        dot(shoulder),
        arc(hip, 32, 0, tilt),
        plus(onBearing(hip, tilt - 20, 34)),
        minus(onBearing(hip, 44, 30)),
        zero(onBearing(hip, 0, 66)),
      ];
    },
  },
  head_tilt: {
    shows:
      'Head from the side: angle from the level line through mid-ear to the line from mid-ear to mid-eye; face up is plus',
    draw() {
      const centre: Point = [66, 60];
      const ear: Point = [60, 64];
      const eye: Point = [97, 46];
      return [
        `<circle cx="${centre[0]}" cy="${centre[1]}" r="36" fill="none" stroke="currentColor" stroke-width="1.8"/>`,
        polyline(
          [
            [100, 53],
            [111, 58],
            [102, 64],
          ],
          { width: 1.8 },
        ),
        polyline(
          [
            [50, 93],
            [44, 114],
          ],
          { width: 3.4 },
        ),
        reference(ear, [140, ear[1]]),
        zero([147, ear[1]]),
        polyline([ear, onBearing(ear, bearing(ear, eye), 78)], { colour: ACCENT, width: 1.4 }),
        polyline([ear, eye], MEASURED),
        dot(ear, 3.4),
        dot(eye, 3.4),
        arc(ear, 68, 90, bearing(ear, eye)),
        plus([139, 46]),
        text([ear[0] - 4, ear[1] + 14], 'ear'),
        text([eye[0] - 14, eye[1] - 1], 'eye'),
      ];
    },
  },
  bar_over_midfoot: {
    shows:
      'Lifter from the side: distance of the bar from the plumb line at the middle of the foot, halfway from heel to big toe; toward the toes is plus',
    draw() {
      const lifter = drawnPosture({ ...PARALLEL, lean: 40 });
      const at = fromSide(72, 92, 74);
      const [heel, toe] = [at(lifter.right.heel), at(lifter.right.toe)];
      const [bar, middle] = [at(lifter.bar), (heel[0] + toe[0]) / 2];
      const y = 104;
      return [
        floor(92),
        lifterFromSide(lifter, at, { arms: false }),
        barFromSide(lifter.bar, at, ACCENT),
        reference([middle, y + 5], [middle, 8]),
        polyline(
          [
            [bar[0], bar[1] + 6],
            [bar[0], y + 5],
          ],
          { colour: ACCENT, width: 1.4, dash: '3 2' },
        ),
        dimension([middle, y], [bar[0], y], { headed: true }),
        plus([bar[0] + 11, y]),
        minus([middle - 24, y]),
        zero([middle - 8, y]),
        tick([middle, 92], 8),
        text([middle, 118], 'mid-foot'),
      ];
    },
  },
};
