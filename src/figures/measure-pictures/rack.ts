import type { Drawings } from './drawing.ts';
import { floor, fromFront, fromSide, lifterFromFront, lifterFromSide, sideLetters } from './lifter.ts';
import {
  ACCENT,
  arc,
  bearing,
  circle,
  dimension,
  dot,
  INK,
  MEASURED,
  minus,
  onBearing,
  type Point,
  plus,
  polyline,
  quotient,
  reference,
  text,
  zero,
} from './marks.ts';
import { BOTTOM, drawnPosture, type JointAngles, STANDING } from './posture.ts';

/** The front rack, close: shoulders, arms and bar. */

/** Trunk and arms large: the floor lies below the picture. */
const closeSide = (angles: Partial<JointAngles>, x: number, scale = 165) => {
  const posture = drawnPosture({ ...STANDING, ...angles });
  const [, top] = posture.midShoulder;
  return { posture, at: fromSide(x - scale * posture.midShoulder[0], 62 + scale * top, scale) };
};

function widths(upper: 'elbow' | 'wrist'): string[] {
  const at = fromFront(62, 176, 92);
  const lifter = drawnPosture({ ...STANDING, upperArm: -30 });
  const [left, right] = [at(lifter.left[upper]), at(lifter.right[upper])];
  const [shoulderL, shoulderR] = [at(lifter.left.shoulder), at(lifter.right.shoulder)];
  const [y, low] = upper === 'elbow' ? [92, 104] : [22, 104];
  return [
    lifterFromFront(lifter, at, { head: false }),
    reference(shoulderL, [shoulderL[0], low]),
    reference(shoulderR, [shoulderR[0], low]),
    dimension([shoulderL[0], low], [shoulderR[0], low], { colour: INK }),
    reference(left, [left[0], y]),
    reference(right, [right[0], y]),
    dimension([left[0], y], [right[0], y]),
    dot(shoulderL, 2.8, INK),
    dot(shoulderR, 2.8, INK),
    dot(left, 3.2),
    dot(right, 3.2),
    quotient(142, 62, upper === 'elbow' ? 27 : 32, 25),
    sideLetters([110, 18], [14, 18]),
  ];
}

/** The bar against a point of the shoulder girdle. */
function barAgainst(what: 'ahead of shoulders' | 'above shoulders' | 'ahead of neck'): string[] {
  // The bar a little further out than it lies, so that the distance is seen.
  const shoulder: Point = [68, 72];
  const bar: Point = [shoulder[0] + 26, shoulder[1] - 17];
  const neck: Point = [shoulder[0] - 8, shoulder[1] - 20];
  const body = [
    polyline([onBearing(neck, 205, 90), neck], { width: 3.6 }),
    polyline([neck, onBearing(neck, 16, 20)], { width: 2.6 }),
    circle(onBearing(neck, 20, 36), 16, { width: 1.8 }),
    circle(shoulder, 6, { width: 1.6 }),
    circle(bar, 9, { colour: ACCENT, width: 2.4 }),
    dot(bar, 1.6),
  ];
  if (what === 'above shoulders') {
    const x = 124;
    return [
      ...body,
      dot(shoulder, 3.2),
      reference(shoulder, [x + 6, shoulder[1]]),
      reference(bar, [x + 6, bar[1]]),
      dimension([x, shoulder[1]], [x, bar[1]], { headed: true }),
      plus([x, bar[1] - 11]),
      zero([x + 12, shoulder[1]]),
      minus([x, shoulder[1] + 12]),
      text([shoulder[0] - 22, shoulder[1] - 2], 'shoulder', { anchor: 'end' }),
    ];
  }
  const from = what === 'ahead of neck' ? neck : shoulder;
  const y = shoulder[1] + 22;
  return [
    ...body,
    dot(from, 3.2),
    reference(from, [from[0], y + 5]),
    reference(bar, [bar[0], y + 6]),
    dimension([from[0], y], [bar[0], y], { headed: true }),
    plus([bar[0] + 11, y]),
    zero([from[0], y + 13]),
    minus([from[0] - (what === 'ahead of neck' ? 28 : 40), y]),
    what === 'ahead of neck'
      ? text([neck[0] - 8, neck[1] + 4], 'neck base', { anchor: 'end' })
      : text([shoulder[0] - 22, shoulder[1] - 2], 'shoulder', { anchor: 'end' }),
  ];
}

export const RACK: Drawings = {
  upper_arm_elevation: {
    shows:
      'Front rack from the side: angle from the level line through the shoulder to the line from shoulder to elbow; elbow above the shoulder is plus, below minus',
    draw() {
      const { posture, at } = closeSide({ lean: 8, upperArm: 26 }, 56);
      const [shoulder, elbow] = [at(posture.right.shoulder), at(posture.right.elbow)];
      return [
        lifterFromSide(posture, at, { head: false }),
        reference(shoulder, [shoulder[0] + 84, shoulder[1]]),
        zero([shoulder[0] + 92, shoulder[1]]),
        polyline([shoulder, elbow], MEASURED),
        dot(shoulder, 3.2),
        dot(elbow, 3.2),
        arc(shoulder, 60, 90, bearing(shoulder, elbow)),
        plus(onBearing(shoulder, 74, 71)),
        minus(onBearing(shoulder, 106, 64)),
        text([elbow[0] - 2, elbow[1] - 9], 'elbow'),
      ];
    },
  },
  upper_arm_drop: {
    shows:
      'Front rack from the side: angle from the upper arm of the start, dashed, down to the upper arm now; elbows dropped is plus',
    draw() {
      const { posture, at } = closeSide({ lean: 10, upperArm: -24 }, 56);
      const [shoulder, elbow] = [at(posture.right.shoulder), at(posture.right.elbow)];
      const start = 78;
      const now = bearing(shoulder, elbow);
      return [
        lifterFromSide(posture, at, { head: false }),
        polyline([shoulder, onBearing(shoulder, start, 50)], { colour: ACCENT, width: 2, dash: '3.5 2.5' }),
        zero(onBearing(shoulder, start, 68)),
        text([shoulder[0] + 54, shoulder[1] - 24], 'start', { anchor: 'start' }),
        polyline([shoulder, elbow], MEASURED),
        dot(shoulder, 3.2),
        dot(elbow, 3.2),
        arc(shoulder, 60, start, now),
        plus(onBearing(shoulder, 100, 70)),
      ];
    },
  },
  elbow_width: {
    shows: 'Lifter from the front: distance between the elbows over the distance between the shoulder points',
    draw: () => widths('elbow'),
  },
  hand_spacing: {
    shows: 'Lifter from the front: distance between the wrists over the distance between the shoulder points',
    draw: () => widths('wrist'),
  },
  elbow_thigh_clearance: {
    shows:
      'Lifter from the side at the bottom: shortest distance of the elbow from the line from hip to knee; never minus, 0 where they touch',
    draw() {
      const lifter = drawnPosture({ ...BOTTOM, upperArm: -52, thigh: -8, lean: 26 });
      const at = fromSide(62, 112, 100);
      const [hip, knee, elbow] = [at(lifter.right.hip), at(lifter.right.knee), at(lifter.right.elbow)];
      const [dx, dy] = [knee[0] - hip[0], knee[1] - hip[1]];
      const share = ((elbow[0] - hip[0]) * dx + (elbow[1] - hip[1]) * dy) / (dx * dx + dy * dy);
      const foot: Point = [hip[0] + Math.min(1, share) * dx, hip[1] + Math.min(1, share) * dy];
      return [
        floor(112),
        lifterFromSide(lifter, at, { head: false }),
        polyline([hip, knee], MEASURED),
        dot(hip),
        dot(knee),
        dimension(foot, elbow),
        dot(elbow, 3.2),
        plus([(foot[0] + elbow[0]) / 2 + 13, (foot[1] + elbow[1]) / 2]),
        text([elbow[0] + 8, elbow[1] + 2], 'elbow', { anchor: 'start' }),
      ];
    },
  },
  bar_ahead_of_shoulders: {
    shows: 'Shoulders and bar from the side: distance of the bar ahead of mid-shoulder; ahead is plus',
    draw: () => barAgainst('ahead of shoulders'),
  },
  bar_above_shoulders: {
    shows: 'Shoulders and bar from the side: height of the bar above mid-shoulder; above is plus',
    draw: () => barAgainst('above shoulders'),
  },
  bar_ahead_of_neck: {
    shows: 'Neck base and bar from the side: distance of the bar ahead of the neck base; ahead is plus',
    draw: () => barAgainst('ahead of neck'),
  },
  bar_slip: {
    shows:
      'Trunk and bar from the side: how far the bar has moved down along the trunk line since the start, drawn pale; toward the hips is plus',
    draw() {
      const hip: Point = [48, 110];
      const tilt = 26;
      const shoulder = onBearing(hip, tilt, 86);
      const beside = (along: number): Point => onBearing(onBearing(hip, tilt, along), tilt + 90, 18);
      const far = (along: number): Point => onBearing(onBearing(hip, tilt, along), tilt + 90, 42);
      return [
        polyline([hip, shoulder], { width: 3.6 }),
        dot(hip, 3, INK),
        dot(shoulder, 3, INK),
        circle(beside(88), 8, { width: 2, opacity: 0.5 }),
        circle(beside(62), 8, { width: 2.4, colour: ACCENT }),
        reference(beside(88), far(88)),
        reference(beside(62), far(62)),
        dimension(far(88), far(62), { headed: true }),
        zero([far(88)[0] + 10, far(88)[1] - 4]),
        plus([far(62)[0] - 4, far(62)[1] + 12]),
        text([shoulder[0] - 10, shoulder[1] + 4], 'mid-shoulder', { anchor: 'end' }),
        text([hip[0] - 10, hip[1]], 'mid-hip', { anchor: 'end', size: 9 }),
      ];
    },
  },
  wrist_extension: {
    shows:
      'Forearm and hand from the side: angle from the forearm, carried on beyond the wrist, to the hand; 0 straight, never minus: which way it is bent is not told',
    draw() {
      const [elbow, wrist]: Point[] = [
        [126, 84],
        [78, 52],
      ];
      const straight = bearing(elbow, wrist);
      const hand = straight - 44;
      const palm = onBearing(onBearing(wrist, hand, 30), hand + 90, 13);
      return [
        polyline([elbow, wrist], MEASURED),
        polyline([wrist, onBearing(wrist, hand, 36)], MEASURED),
        reference(wrist, onBearing(wrist, straight, 58)),
        zero(onBearing(wrist, straight, 65)),
        circle(palm, 9, { width: 2 }),
        dot(palm, 1.4, INK),
        dot(elbow, 3.4),
        dot(wrist, 3.4),
        dot(onBearing(wrist, hand, 36), 3.4),
        arc(wrist, 48, straight, hand),
        plus(onBearing(wrist, straight - 24, 57)),
        text([elbow[0], elbow[1] + 16], 'elbow'),
        text([wrist[0] + 10, wrist[1] - 6], 'wrist', { anchor: 'start' }),
        text([onBearing(wrist, hand, 36)[0], onBearing(wrist, hand, 36)[1] + 16], 'hand'),
      ];
    },
  },
};
