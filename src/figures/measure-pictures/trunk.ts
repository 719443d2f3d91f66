import type { Drawings } from './drawing.ts';
import { floor, fromSide, lifterFromSide } from './lifter.ts';
import {
  ACCENT,
  arc,
  arrow,
  bearing,
  dimension,
  dot,
  MEASURED,
  onBearing,
  type Point,
  plus,
  polyline,
  reference,
  text,
  zero,
} from './marks.ts';
import { BOTTOM, drawnPosture, PARALLEL, STANDING } from './posture.ts';

/** First third of the way up. */
const DRIVE = { ...PARALLEL, thigh: 24, shank: 20, lean: 44 };

/** Curve through three places, for a back that is not straight. */
const bentBack = ([ax, ay]: Point, [bx, by]: Point, [cx, cy]: Point, width: number, opacity: number): string =>
  `<path d="M${ax.toFixed(1)} ${ay.toFixed(1)}Q${(2 * bx - (ax + cx) / 2).toFixed(1)} ${(2 * by - (ay + cy) / 2).toFixed(1)} ${cx.toFixed(1)} ${cy.toFixed(1)}" fill="none" stroke="currentColor" stroke-width="${width}" opacity="${opacity}"/>`;

export const TRUNK: Drawings = {
  trunk_lean: {
    shows:
      'Lifter from the side at parallel: angle from the upright through mid-hip to the line from mid-hip to mid-shoulder; forward is plus',
    draw() {
      const at = fromSide(74, 114, 80);
      const lifter = drawnPosture(PARALLEL);
      const [hip, shoulder] = [at(lifter.midHip), at(lifter.midShoulder)];
      const tilt = bearing(hip, shoulder);
      return [
        floor(114),
        lifterFromSide(lifter, at),
        reference(hip, onBearing(hip, 0, 60)),
        zero([hip[0], hip[1] - 66]),
        polyline([hip, shoulder], MEASURED),
        dot(hip),
        dot(shoulder),
        arc(hip, 50, 0, tilt),
        plus(onBearing(hip, 0.45 * tilt, 58)),
      ];
    },
  },
  extra_lean: {
    shows:
      'Lifter from the side: angle from the trunk line of the start, drawn dashed, to the trunk line now; further forward is plus',
    draw() {
      const standing = { ...STANDING, lean: 5 };
      const [now, start] = [drawnPosture(PARALLEL), drawnPosture(standing)];
      const at = fromSide(92, 112, 76);
      const small = fromSide(26, 112, 52);
      const [hip, shoulder] = [at(now.midHip), at(now.midShoulder)];
      const [from, to] = [bearing(small(start.midHip), small(start.midShoulder)), bearing(hip, shoulder)];
      return [
        floor(112),
        lifterFromSide(start, small, { ghost: true }),
        polyline([start.midHip, start.midShoulder].map(small), { colour: ACCENT, width: 2, dash: '3 2' }),
        lifterFromSide(now, at),
        polyline([hip, onBearing(hip, from, 60)], { colour: ACCENT, width: 1.6, dash: '3 2' }),
        zero(onBearing(hip, from, 66)),
        polyline([hip, shoulder], MEASURED),
        arc(hip, 48, from, to),
        plus(onBearing(hip, from + 0.4 * (to - from), 56)),
      ];
    },
  },
  lean_gained_in_drive: {
    shows:
      'Lifter from the side after the first third of the way up, the bottom drawn pale: angle from the trunk line of the bottom to that of the drive; further forward is plus',
    draw() {
      const [bottom, drive] = [drawnPosture(BOTTOM), drawnPosture(DRIVE)];
      const at = fromSide(96, 114, 72);
      const ghost = fromSide(30, 114, 60);
      const hip = at(drive.midHip);
      const [from, to] = [bearing(at(bottom.midHip), at(bottom.midShoulder)), bearing(hip, at(drive.midShoulder))];
      return [
        floor(114),
        lifterFromSide(bottom, ghost, { ghost: true }),
        polyline([bottom.midHip, bottom.midShoulder].map(ghost), { colour: ACCENT, width: 2, dash: '3 2' }),
        lifterFromSide(drive, at, { head: false }),
        polyline([hip, onBearing(hip, from, 54)], { colour: ACCENT, width: 1.6, dash: '3 2' }),
        zero(onBearing(hip, from, 60)),
        polyline([hip, at(drive.midShoulder)], MEASURED),
        arc(hip, 47, from, to),
        plus(onBearing(hip, to + 18, 54)),
        arrow([58, 62], [58, 40], 'currentColor', 1.6),
      ];
    },
  },
  largest_lean_depth: {
    shows:
      'Lifter from the side in the frame in which the trunk leans most: elevation of the thigh above the level line through the knee in that frame; hip above the knee is plus',
    draw() {
      const lifter = drawnPosture({ ...PARALLEL, thigh: 16, shank: 24, lean: 46 });
      const at = fromSide(64, 112, 84);
      const [hip, knee] = [at(lifter.right.hip), at(lifter.right.knee)];
      const top = at(lifter.midShoulder);
      return [
        floor(112),
        lifterFromSide(lifter, at),
        reference(at(lifter.midHip), onBearing(at(lifter.midHip), 0, 50)),
        arc(at(lifter.midHip), 48, 0, bearing(at(lifter.midHip), top), { colour: 'currentColor', width: 1.2 }),
        text([at(lifter.midHip)[0] + 6, 12], 'largest', { anchor: 'middle' }),
        reference([knee[0] + 12, knee[1]], [knee[0] - 58, knee[1]]),
        zero([knee[0] - 64, knee[1]]),
        polyline([hip, knee], MEASURED),
        dot(hip),
        dot(knee),
        arc(knee, 44, -90, bearing(knee, hip)),
        plus([knee[0] - 52, knee[1] - 9]),
      ];
    },
  },
  chord_shortening: {
    shows:
      'Two trunks from the side: straight distance from mid-hip to mid-shoulder at the start and now; the part by which it is shorter is plus',
    draw() {
      const hipA: Point = [40, 104];
      const topA: Point = [46, 22];
      const hipB: Point = [104, 104];
      const topB: Point = [114, 40];
      return [
        bentBack(hipA, [42, 63], topA, 3.4, 0.45),
        dimension([28, 105], [34, 23], { colour: 'currentColor' }),
        text([14, 66], 'start'),
        bentBack(hipB, [92, 70], topB, 3.4, 1),
        polyline([hipB, topB], { colour: ACCENT, width: 2.4 }),
        dot(hipB),
        dot(topB),
        reference(onBearing(hipB, bearing(hipA, topA) + 5, 82), [146, 24]),
        reference(topB, [146, 40]),
        dimension([138, 24], [138, 40], { headed: true }),
        plus([149, 32]),
        reference(hipA, hipB),
      ];
    },
  },
  trunk_rounding: {
    shows:
      'Trunk from the side: at the mid-back point, angle from the line mid-hip to mid-back, carried on, to the line mid-back to neck base, less the same at the start; bent forward is plus',
    draw() {
      const hip: Point = [56, 110];
      const back: Point = [58, 60];
      const neck: Point = [90, 22];
      const tilt = bearing(hip, back);
      return [
        bentBack(hip, [49, 62], neck, 2, 0.45),
        reference(back, onBearing(back, tilt, 50)),
        zero(onBearing(back, tilt, 55)),
        polyline([hip, back, neck], MEASURED),
        dot(hip, 3.2),
        dot(back, 3.2),
        dot(neck, 3.2),
        arc(back, 38, tilt, bearing(back, neck)),
        plus(onBearing(back, 22, 47)),
        text([hip[0] + 8, hip[1]], 'mid-hip', { anchor: 'start' }),
        text([back[0] + 9, back[1] + 8], 'mid-back', { anchor: 'start' }),
        text([neck[0] + 8, neck[1] + 3], 'neck base', { anchor: 'start' }),
      ];
    },
  },
  pelvic_tuck: {
    shows:
      'Pelvis from the side: its front-to-back line at the start, dashed, and at the bottom; front turned up, tucked under, is plus',
    draw() {
      const middle: Point = [74, 64];
      const front = (deg: number, by: number) => onBearing(middle, deg, by);
      return [
        `<ellipse cx="74" cy="64" rx="30" ry="19" fill="none" stroke="currentColor" stroke-width="1.8" transform="rotate(-14 74 64)"/>`,
        polyline([onBearing(middle, 12, 20), onBearing(middle, 18, 56)], { width: 3.4 }),
        polyline(
          [
            [82, 74],
            [118, 92],
          ],
          { width: 3.4 },
        ),
        polyline([front(98, -44), front(98, 44)], { colour: ACCENT, width: 1.6, dash: '3 2' }),
        polyline([front(72, -44), front(72, 44)], { colour: ACCENT, width: 3 }),
        dot(front(72, -44)),
        dot(front(72, 44)),
        arc(middle, 52, 98, 71),
        plus(front(84, 61)),
        zero([front(98, 44)[0] + 8, front(98, 44)[1] + 1]),
        text([36, 108], 'back'),
        text([126, 108], 'front'),
      ];
    },
  },
};
