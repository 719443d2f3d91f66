import type { Drawings } from './drawing.ts';
import { floor, footFromAbove, fromAbove, fromFront, fromSide, lifterFromFront, sideLetters } from './lifter.ts';
import {
  ACCENT,
  arc,
  arrow,
  bearing,
  dimension,
  dot,
  INK,
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
import { BOTTOM, type DrawnPosture, drawnPosture, type Place, STANDING } from './posture.ts';

export const LEFT_AND_RIGHT: Drawings = {
  hip_shift: {
    shows:
      'Lifter from the front at the bottom: distance of mid-hip to the side of the plumb line at the middle of the ankles; to the lifter’s right is plus',
    draw() {
      const at = fromFront(84, 108, 84);
      const upright = drawnPosture({ ...BOTTOM, thigh: 18, toeOut: 22, stanceM: 0.36 });
      const shifted = fromFront(84 - 13, 108, 84);
      const hip = shifted(upright.midHip);
      const [leftHip, rightHip] = [shifted(upright.left.hip), shifted(upright.right.hip)];
      const leg = (side: 'left' | 'right', top: Point) => [
        top,
        at(upright[side].knee),
        at(upright[side].ankle),
        at(upright[side].toe),
      ];
      return [
        floor(108),
        polyline(leg('left', leftHip), { width: 2, dash: '3.5 2.5' }),
        polyline(leg('right', rightHip), { width: 3 }),
        polyline([leftHip, rightHip], { width: 2.6 }),
        polyline([hip, shifted(upright.midShoulder)], { width: 3 }),
        polyline([upright.left.shoulder, upright.right.shoulder].map(shifted), { width: 2.4 }),
        reference([84, 108], [84, 26]),
        zero([84, 115]),
        dimension([84, hip[1] - 15], [hip[0], hip[1] - 15], { headed: true }),
        dot(hip, 3),
        plus([hip[0] - 11, hip[1] - 15]),
        minus([98, hip[1] - 15]),
        sideLetters([148, 102], [12, 102]),
      ];
    },
  },
  left_minus_right_thigh: {
    shows:
      'Thighs from the side, knees laid over each other, left dashed, right solid: angle from the right thigh to the left; left thigh steeper is plus',
    draw() {
      const knee: Point = [112, 76];
      const [right, left] = [-99, -72];
      return [
        reference([knee[0] + 34, knee[1]], [38, knee[1]]),
        text([knee[0] + 24, knee[1] + 12], 'level'),
        polyline([knee, [98, 114]], { width: 3 }),
        polyline([knee, onBearing(knee, left, 74)], { colour: ACCENT, width: 2.4, dash: '4 3' }),
        polyline([knee, onBearing(knee, right, 74)], { width: 3.4 }),
        dot(knee, 3, INK),
        dot(onBearing(knee, left, 74), 3),
        dot(onBearing(knee, right, 74), 3, INK),
        arc(knee, 58, right, left),
        plus(onBearing(knee, left + 8, 62)),
        text(onBearing(knee, left + 1, 86), 'L', { colour: ACCENT }),
        text([onBearing(knee, right, 86)[0], onBearing(knee, right, 86)[1] + 4], 'R'),
      ];
    },
  },
  left_minus_right_knee_over_toe: {
    shows:
      'Shins from the side, toes laid over each other, left dashed, right solid: how much further the left knee is ahead of its toe; left further is plus',
    draw() {
      const [right, left] = [
        drawnPosture({ ...BOTTOM, shank: 25 }).right,
        drawnPosture({ ...BOTTOM, shank: 45 }).right,
      ];
      const at = fromSide(62, 106, 135);
      const [kneeR, kneeL] = [at(right.knee), at(left.knee)];
      const y = 24;
      return [
        floor(106),
        polyline([right.knee, right.ankle].map(at), { width: 3.4 }),
        polyline([left.knee, left.ankle].map(at), { colour: ACCENT, width: 2.4, dash: '4 3' }),
        polyline([right.heel, right.ankle, right.toe, right.heel].map(at), { width: 2.2 }),
        reference(kneeR, [kneeR[0], y - 4]),
        reference(kneeL, [kneeL[0], y - 4]),
        dimension([kneeR[0], y], [kneeL[0], y], { headed: true }),
        dot(kneeR, 3, INK),
        dot(kneeL, 3),
        zero([kneeR[0] - 9, y]),
        plus([kneeL[0] + 11, y]),
        text([kneeR[0] - 12, kneeR[1] + 4], 'R'),
        text([kneeL[0] + 12, kneeL[1] + 4], 'L', { colour: ACCENT }),
        reference([at(right.toe)[0], 106], [at(right.toe)[0], 84]),
      ];
    },
  },
  hips_tilt: {
    shows:
      'Lifter from the front: angle from the level line to the line from the left to the right hip; right hip higher is plus',
    draw: () => tiltFromFront('hips'),
  },
  shoulders_tilt: {
    shows:
      'Lifter from the front: angle from the level line to the line from the left to the right shoulder; right shoulder higher is plus',
    draw: () => tiltFromFront('shoulders'),
  },
  stance_stagger: {
    shows: 'Feet from above: how far the left ankle is ahead of the right one; left ahead is plus',
    draw() {
      const at = fromAbove(76, 70, 140);
      const right = fromAbove(76, 92, 140);
      const lifter = drawnPosture({ ...STANDING, stanceM: 0.34 });
      const [left, other] = [at(lifter.left.ankle), right(lifter.right.ankle)];
      const x = 130;
      return [
        footFromAbove(lifter.left, at, { dash: '3.5 2.5' }),
        footFromAbove(lifter.right, right, { width: 2 }),
        reference(left, [x, left[1]]),
        reference(other, [x, other[1]]),
        dot(left, 3),
        dot(other, 3, INK),
        dimension([x, other[1]], [x, left[1]], { headed: true }),
        plus([x, left[1] - 10]),
        zero([x, other[1] + 11]),
        sideLetters([28, 30], [112, 46]),
        arrow([146, 40], [146, 12], INK, 1.6),
        text([146, 54], 'front'),
      ];
    },
  },
};

/** The right end of the line drawn raised. */
function tiltFromFront(line: 'hips' | 'shoulders'): string[] {
  const at = fromFront(84, 112, 64);
  const upright = drawnPosture(STANDING);
  const raise = (place: Place, by: number): Place => [place[0], place[1] + by, place[2]];
  const half = line === 'hips' ? 0.03 : 0.05;
  const sideOf = (side: 'left' | 'right') => {
    const by = side === 'right' ? half : -half;
    const known = upright[side];
    return line === 'hips'
      ? { ...known, hip: raise(known.hip, by) }
      : { ...known, shoulder: raise(known.shoulder, by), elbow: raise(known.elbow, by) };
  };
  const lifter: DrawnPosture = { ...upright, left: sideOf('left'), right: sideOf('right') };
  const [left, right] = [lifter.left, lifter.right].map((side) => at(line === 'hips' ? side.hip : side.shoulder));
  const middle: Point = [(left[0] + right[0]) / 2, (left[1] + right[1]) / 2];
  const tilt = bearing(middle, right);
  return [
    floor(112),
    lifterFromFront(lifter, at, { bar: false, arms: false }),
    reference([middle[0] - 62, middle[1]], [middle[0] + 36, middle[1]]),
    polyline([onBearing(middle, tilt, -34), onBearing(middle, tilt, 56)], { colour: ACCENT, width: 1.4 }),
    polyline([left, right], MEASURED),
    dot(left),
    dot(right),
    arc(middle, 50, -90, tilt),
    plus([middle[0] - 60, middle[1] - 10]),
    zero([middle[0] - 68, middle[1]]),
    text([at(lifter.right.toe)[0] - 12, 108], 'R'),
    text([at(lifter.left.toe)[0] + 12, 108], 'L'),
  ];
}
