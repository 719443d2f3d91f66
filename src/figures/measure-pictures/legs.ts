import type { Drawings } from './drawing.ts';
import { floor, footFromAbove, fromAbove, fromSide, legFromSide, lifterFromSide } from './lifter.ts';
import {
  ACCENT,
  arc,
  bearing,
  dimension,
  dot,
  EARLIER,
  INK,
  MEASURED,
  minus,
  onBearing,
  plus,
  polyline,
  reference,
  text,
  zero,
} from './marks.ts';
import { BOTTOM, drawnPosture, PARALLEL, STANDING } from './posture.ts';

/** After the first third of the way up. */
const DRIVE = { ...PARALLEL, thigh: 22, shank: 14, lean: 36 };

export const LEGS: Drawings = {
  knee_over_toe: {
    shows:
      'Leg from the side: distance of the knee ahead of the plumb line at the tip of the big toe; ahead is plus, behind minus',
    draw() {
      const lifter = drawnPosture({ ...BOTTOM, shank: 40 });
      const at = fromSide(66, 106, 120);
      const [knee, toe] = [at(lifter.right.knee), at(lifter.right.toe)];
      const y = 34;
      return [
        floor(106),
        legFromSide(lifter.right, at),
        reference([toe[0], 106], [toe[0], y - 12]),
        reference(knee, [knee[0], y]),
        zero([toe[0], y - 18]),
        dimension([toe[0], y], [knee[0], y], { headed: true }),
        dot(knee, 3.2),
        dot(toe, 3.2),
        plus([knee[0] + 11, y]),
        minus([toe[0] - 12, y]),
      ];
    },
  },
  knee_return: {
    shows:
      'Leg from the side at the bottom, pale, and after the first third of the way up: how far the knee moved back; back is plus',
    draw() {
      const [bottom, drive] = [drawnPosture({ ...BOTTOM, shank: 38 }), drawnPosture(DRIVE)];
      const at = fromSide(66, 110, 112);
      const [from, to] = [at(bottom.right.knee), at(drive.right.knee)];
      const y = 28;
      return [
        floor(110),
        `<g opacity="0.4">${legFromSide(bottom.right, at)}</g>`,
        legFromSide(drive.right, at),
        reference([from[0], y - 4], from),
        reference([to[0], y - 4], to),
        dimension([from[0], y], [to[0], y], { headed: true }),
        dot(from, 2.6, INK),
        dot(to, 3),
        zero([from[0] + 10, y]),
        plus([to[0] - 11, y]),
      ];
    },
  },
  knee_track: {
    shows:
      'Foot and knee from above: distance of the knee outward of the line through heel and big toe; outside is plus, inside minus',
    draw() {
      const at = fromAbove(54, 100, 132);
      const lifter = drawnPosture({ ...BOTTOM, toeOut: 16, stanceM: 0.3 });
      const { heel, toe } = lifter.right;
      const tilt = bearing(at(heel), at(toe));
      const foot = onBearing(at(heel), tilt, 56);
      const knee = onBearing(foot, tilt + 90, 30);
      return [
        reference([24, 116], [24, 8]),
        text([24, 116], 'middle', { anchor: 'start' }),
        footFromAbove(lifter.right, at, { width: 2 }),
        reference(onBearing(at(heel), tilt, -12), onBearing(at(heel), tilt, 100)),
        zero(onBearing(at(heel), tilt, 107)),
        dot(at(heel), 2.4, INK),
        dot(at(toe), 2.4, INK),
        dimension(foot, onBearing(foot, tilt + 90, 25), { headed: true }),
        `<circle cx="${knee[0].toFixed(1)}" cy="${knee[1].toFixed(1)}" r="6" fill="none" stroke="${ACCENT}" stroke-width="2.2"/>`,
        text([knee[0] + 2, knee[1] + 18], 'knee'),
        plus([knee[0] + 15, knee[1]]),
        minus(onBearing(foot, tilt - 90, 18)),
        text([at(toe)[0] + 38, 18], 'R'),
      ];
    },
  },
  shank_inclination: {
    shows:
      'Shin from the side: angle from the upright through the ankle to the line from ankle to knee; knee ahead is plus',
    draw() {
      const lifter = drawnPosture({ ...PARALLEL, shank: 33 });
      const at = fromSide(70, 110, 150);
      const [knee, ankle] = [at(lifter.right.knee), at(lifter.right.ankle)];
      return [
        floor(110),
        legFromSide(lifter.right, at),
        reference(ankle, onBearing(ankle, 0, 82)),
        zero(onBearing(ankle, 0, 88)),
        polyline([ankle, knee], MEASURED),
        dot(ankle, 3.2),
        dot(knee, 3.2),
        arc(ankle, 34, 0, bearing(ankle, knee)),
        plus(onBearing(ankle, 14, 43)),
      ];
    },
  },
  trunk_minus_shank: {
    shows:
      'Lifter from the side: angle from a line parallel to the shin, drawn dashed through mid-hip, to the trunk line; trunk leaning more is plus',
    draw() {
      const lifter = drawnPosture({ ...PARALLEL, shank: 20, lean: 44 });
      const at = fromSide(70, 114, 82);
      const [hip, shoulder] = [at(lifter.midHip), at(lifter.midShoulder)];
      const [knee, ankle] = [at(lifter.right.knee), at(lifter.right.ankle)];
      const shin = bearing(ankle, knee);
      return [
        floor(114),
        lifterFromSide(lifter, at, { head: false }),
        polyline([hip, onBearing(hip, shin, 62)], EARLIER),
        zero(onBearing(hip, shin, 68)),
        polyline([ankle, knee], MEASURED),
        polyline([hip, shoulder], MEASURED),
        dot(hip),
        dot(shoulder),
        dot(ankle),
        dot(knee),
        arc(hip, 50, shin, bearing(hip, shoulder)),
        plus(onBearing(hip, shin + 9, 57)),
      ];
    },
  },
  ankle_dorsiflexion: {
    shows:
      'Foot and shin from the side: angle from the shin at the start, dashed, to the shin now, against the foot; shin nearer the foot is plus',
    draw() {
      const [start, now] = [drawnPosture(STANDING), drawnPosture({ ...BOTTOM, shank: 36 })];
      const at = fromSide(64, 108, 160);
      const ankle = at(now.right.ankle);
      const from = bearing(ankle, at(start.right.knee));
      const to = bearing(ankle, at(now.right.knee));
      return [
        floor(108),
        polyline([now.right.heel, now.right.ankle, now.right.toe, now.right.heel].map(at), { width: 2.4 }),
        polyline([ankle, onBearing(ankle, from, 74)], EARLIER),
        zero(onBearing(ankle, from, 82)),
        polyline([ankle, onBearing(ankle, to, 74)], { colour: ACCENT, width: 4 }),
        dot(ankle, 3.4),
        arc(ankle, 56, from, to),
        plus(onBearing(ankle, from + 0.45 * (to - from), 66)),
        text([ankle[0] - 6, ankle[1] - 62], 'start', { anchor: 'end' }),
      ];
    },
  },
};
