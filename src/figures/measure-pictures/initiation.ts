import type { Drawings } from './drawing.ts';
import { floor, fromSide, legFromSide } from './lifter.ts';
import { ACCENT, arrow, box, dimension, dot, INK, onBearing, plus, polyline, reference, text, zero } from './marks.ts';
import { axes, curve, type Frame, onFrame } from './plots.ts';
import { drawnPosture, STANDING } from './posture.ts';

/** The first 15 % of the drop, a little exaggerated. */
const BEGUN = { ...STANDING, shank: 14, thigh: 62, lean: 14 };

export const INITIATION: Drawings = {
  knee_share_of_start: {
    shows:
      'Lifter from the side at the start, pale, and after the first 15 % of the drop: how far the knees went forward and the hips went back; 0 only hips, 1 only knees',
    draw() {
      const [start, begun] = [drawnPosture(STANDING), drawnPosture(BEGUN)];
      const at = fromSide(58, 112, 92);
      const [kneeFrom, kneeTo] = [at(start.right.knee), at(begun.right.knee)];
      const [hipFrom, hipTo] = [at(start.midHip), at(begun.midHip)];
      const [left, right] = [98, 148];
      const share = (kneeTo[0] - kneeFrom[0]) / (kneeTo[0] - kneeFrom[0] + hipFrom[0] - hipTo[0]);
      const split = left + share * (right - left);
      return [
        floor(112, 6, 90),
        `<g opacity="0.4">${legFromSide(start.right, at)}</g>`,
        legFromSide(begun.right, at),
        polyline([at(begun.midHip), onBearing(at(begun.midHip), 24, 40)], { width: 3.6 }),
        reference(kneeFrom, [kneeFrom[0], kneeTo[1] + 22]),
        arrow([kneeFrom[0], kneeTo[1] + 14], [kneeTo[0] + 8, kneeTo[1] + 14]),
        reference(hipFrom, [hipFrom[0], hipTo[1] - 18]),
        arrow([hipFrom[0], hipTo[1] - 12], [hipTo[0] - 6, hipTo[1] - 12], INK),
        dot(kneeTo),
        dot(hipTo, 2.6, INK),
        box([left, 59], split - left, 7, { colour: 'none', fill: ACCENT }),
        box([split, 59], right - split, 7, { colour: 'none', fill: INK }),
        text([left, 48], 'knees', { anchor: 'start', colour: ACCENT }),
        text([right, 80], 'hips', { anchor: 'end' }),
        text([(left + right) / 2, 98], '0 hips only'),
        text([(left + right) / 2, 110], '1 knees only'),
      ];
    },
  },
  knee_onset_lead: {
    shows:
      'Forward movement of the knees and backward movement of the hips against time: from the onset of the knees to the onset of the hips; knees first is plus',
    draw() {
      const frame: Frame = { left: 16, right: 146, zero: 92, unit: 62 };
      const begins = (onset: number) => (u: number) => (u <= onset ? 0 : Math.min(0.95, 3.2 * (u - onset) ** 1.4));
      const at = onFrame(frame);
      const [knees, hips] = [at(0.28, 0), at(0.56, 0)];
      return [
        axes(frame, 'movement'),
        curve(frame, begins(0.56), { width: 2, dash: '3.5 2.5' }),
        curve(frame, begins(0.28), { width: 2.6, colour: ACCENT }),
        dot(knees, 3),
        dot(hips, 3, INK),
        text([78, 40], 'knees', { colour: ACCENT }),
        text([140, 62], 'hips'),
        dimension([knees[0], 102], [hips[0], 102], { headed: true }),
        plus([hips[0] + 10, 102]),
        zero([knees[0] - 10, 102]),
      ];
    },
  },
};
