import type { Drawings } from './drawing.ts';
import { floor, fromSide, legFromSide, lifterFromSide } from './lifter.ts';
import {
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
  zero,
} from './marks.ts';
import { BOTTOM, drawnPosture, STANDING } from './posture.ts';

export const DEPTH: Drawings = {
  bottom_thigh_elevation: {
    shows:
      'Leg from the side at the lowest point: angle of the line from knee to hip against the level line through the knee; 90 standing, 0 level, hip below the knee is minus',
    draw() {
      const knee: Point = [112, 66];
      const hip = onBearing(knee, -107, 64);
      return [
        floor(114),
        polyline([knee, [88, 106]], { width: 3.4 }),
        reference([knee[0] + 14, knee[1]], [22, knee[1]]),
        zero([15, knee[1]]),
        reference(knee, [knee[0], 16]),
        text([knee[0], 13], '90'),
        text([hip[0], hip[1] + 15], 'hip'),
        text([knee[0] + 8, knee[1] + 14], 'knee', { anchor: 'start' }),
        polyline([knee, hip], MEASURED),
        dot(knee, 3.2),
        dot(hip, 3.2),
        arc(knee, 74, -90, -107),
        minus([26, 88]),
        arc(knee, 40, -90, -40, { width: 1.4 }),
        plus(onBearing(knee, -58, 50)),
      ];
    },
  },
  hip_drop: {
    shows: 'Lifter from the side standing, pale, and at the bottom: how far mid-hip sinks; down is plus',
    draw() {
      const [standing, bottom] = [drawnPosture(STANDING), drawnPosture(BOTTOM)];
      const [high, low] = [fromSide(36, 114, 58), fromSide(106, 114, 58)];
      const [from, to] = [high(standing.midHip), low(bottom.midHip)];
      const x = 72;
      return [
        floor(114),
        lifterFromSide(standing, high, { ghost: true }),
        lifterFromSide(bottom, low),
        reference(from, [x + 5, from[1]]),
        reference(to, [x - 5, to[1]]),
        dimension([x, from[1]], [x, to[1]], { headed: true }),
        dot(from, 3),
        dot(to, 3),
        zero([x, from[1] - 9]),
        plus([x, to[1] + 10]),
      ];
    },
  },
  hip_crease_above_knee: {
    shows:
      'Thigh from the side at the bottom with its outline: height of the crease of the hip above the top of the knee; crease below, deep enough, is minus',
    draw() {
      const [top, crease]: Point[] = [
        [110, 48],
        [56, 61],
      ];
      return [
        floor(114),
        `<path d="M78 20C70 40 62 52 56 61C74 52 92 46 110 48C122 50 124 62 119 70L100 110" fill="none" stroke="currentColor" stroke-width="2"/>`,
        `<path d="M46 24C34 46 24 70 34 90C52 100 84 92 98 82L80 110" fill="none" stroke="currentColor" stroke-width="2"/>`,
        reference([22, top[1]], [148, top[1]]),
        reference(crease, [148, crease[1]]),
        dot(top, 3.2),
        dot(crease, 3.2),
        dimension([140, top[1]], [140, crease[1]], { headed: true }),
        zero([152, top[1]]),
        minus([140, crease[1] + 9]),
        plus([140, top[1] - 11]),
        text([50, 78], 'crease', { anchor: 'start' }),
        text([100, 38], 'knee top'),
      ];
    },
  },
  knee_flexion_bottom: {
    shows:
      'Leg from the side at the bottom: angle from the thigh, carried on beyond the knee, to the shank; 0 straight, bent is plus',
    draw() {
      const lifter = drawnPosture({ ...BOTTOM, shank: 28, thigh: -8 });
      const at = fromSide(66, 108, 128);
      const [hip, knee, ankle] = [at(lifter.right.hip), at(lifter.right.knee), at(lifter.right.ankle)];
      const straight = bearing(hip, knee);
      return [
        floor(108),
        legFromSide(lifter.right, at),
        reference(knee, onBearing(knee, straight, 52)),
        zero(onBearing(knee, straight, 58)),
        polyline([hip, knee, ankle], MEASURED),
        dot(hip),
        dot(knee, 3.2),
        dot(ankle),
        arc(knee, 32, straight, bearing(knee, ankle) + 360 * (bearing(knee, ankle) < straight ? 1 : 0)),
        plus(onBearing(knee, straight + 52, 42)),
      ];
    },
  },
};
