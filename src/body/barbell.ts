import type { BarPosition, Recording } from '../capture/recording.ts';
import { loadWithoutPlace } from '../messages/body.ts';
import type { SegmentMotion } from './body-motion.ts';
import { type BodyPoints, SIDES } from './body-points.ts';
import { type BodyShifts, NO_SHIFTS, shiftForward } from './body-shifts.ts';
import { notPlaced, pointMass } from './placing.ts';
import { along, directions, measuredLength, type PointSeries } from './point-series.ts';
import type { MeanLengths } from './segment-table.ts';

/** Mass of the bar alone where the recording does not state it: men's and women's bar, IWF Technical and Competition Rules (restated specification). */
export const MENS_BAR_KG = 20;
export const WOMENS_BAR_KG = 15;
/** Distance between the inner collars, the same on both bars (restated specification of IWF bars); discs begin there. */
export const INNER_COLLARS_APART_M = 1.31;

/**
 * Centre of a racked bar from mid-shoulder, metres, in the trunk's sagittal axes: `forwardM` perpendicular to the trunk
 * line, `upM` along it. Common practice, no source; a tracked bar replaces them.
 */
export const RACK_OFFSETS: Readonly<
  Record<'front rack' | 'high back' | 'low back', { forwardM: number; upM: number }>
> = {
  'front rack': { forwardM: 0.09, upM: 0.03 },
  'high back': { forwardM: -0.06, upM: 0.06 },
  'low back': { forwardM: -0.09, upM: 0 },
};

/**
 * The load as one body: bar, discs and collars. Null where nothing is carried.
 *
 * Centre: midway between the tracked bar ends; else at a stated offset from the shoulders or hands. Inertia across the bar,
 * where both ends are tracked: a uniform rod, and the rest of the load as two points at the inner collars (the discs begin
 * there: a lower bound). Spin of the bar about itself is left out: sleeves turn freely.
 */
export function barbellMotion(
  points: BodyPoints,
  recording: Recording,
  lengths: MeanLengths,
  shifts: BodyShifts = NO_SHIFTS,
): { readonly barbell: SegmentMotion | null; readonly notes: readonly string[] } {
  const { load, athlete } = recording;
  if (load.totalKg <= 0) return { barbell: null, notes: [] };
  const left = points.known.get('bar_left_end');
  const right = points.known.get('bar_right_end');
  if (left && right) return trackedBar(left, right, recording);

  const position = load.bar.position;
  if (position === 'none') throw loadWithoutPlace(recording.file, load.totalKg);
  const placed =
    position === 'hands' || position === 'overhead'
      ? atHands(points, lengths, position)
      : onShoulders(points, position);
  if (!placed) {
    const barbell = notPlaced('barbell', load.totalKg, points.frames, 'no bar ends, and nothing to carry it');
    return {
      barbell,
      notes: [
        `The load of ${load.totalKg} kg is not placed: athlete ${athlete.id} has no shoulders or hands in the data.`,
      ],
    };
  }
  const [hips, shoulders] = [points.known.get('mid_hip'), points.known.get('mid_shoulder')];
  if (hips && shoulders) {
    shiftForward(placed.centre, directions(hips, shoulders), shifts.barForwardM, 0, shifts.barUpM);
  }
  return {
    barbell: pointMass('barbell', load.totalKg, placed.centre, placed.rule),
    notes: [`Bar ends are not tracked: the load of ${load.totalKg} kg acts ${placed.rule}.`],
  };
}

function trackedBar(left: PointSeries, right: PointSeries, recording: Recording) {
  const { totalKg, bar } = recording.load;
  const measured = measuredLength(left, right);
  const lengthM = bar.lengthM ?? measured.lengthM;
  const barKg = Math.min(totalKg, bar.massKg ?? (recording.athlete.sex === 'female' ? WOMENS_BAR_KG : MENS_BAR_KG));
  const discsAtM = Math.min(INNER_COLLARS_APART_M, lengthM) / 2;
  const notes: string[] = [];
  if (bar.massKg === null && totalKg > barKg)
    notes.push(
      `The bar's own mass is not stated: ${barKg} kg taken, the other ${(totalKg - barKg).toFixed(1)} kg at the sleeves.`,
    );
  if (bar.lengthM !== null && Math.abs(measured.lengthM / bar.lengthM - 1) > BAR_LENGTH_TOLERANCE)
    notes.push(
      `The tracked bar ends are ${measured.lengthM.toFixed(2)} m apart, the bar is stated as ${bar.lengthM.toFixed(2)} m long: ` +
        'the ends are misplaced, or the scale is wrong.',
    );
  const barbell: SegmentMotion = {
    name: 'barbell',
    massKg: totalKg,
    centre: along(left, right, 0.5),
    axis: directions(left, right),
    transverseInertiaKgM2: (barKg * lengthM ** 2) / 12 + (totalKg - barKg) * discsAtM ** 2,
    lengthM: measured.lengthM,
    lengthVariation: measured.variation,
    placedBy: null,
  };
  return { barbell, notes };
}

/** Relative difference of tracked and stated bar length that is worth a note; common practice, no source. */
const BAR_LENGTH_TOLERANCE = 0.1;

/** Offset from mid-shoulder in the trunk's sagittal axes. For a lean with trunk direction (s, c): along = (s, c), forward = (c, −s). */
function onShoulders(points: BodyPoints, position: 'front rack' | 'high back' | 'low back') {
  const hips = points.known.get('mid_hip');
  const shoulders = points.known.get('mid_shoulder');
  if (!hips || !shoulders) return null;
  const { forwardM, upM } = RACK_OFFSETS[position];
  const centre = new Float64Array(shoulders.length);
  for (let i = 0; i < centre.length; i += 3) {
    const x = shoulders[i] - hips[i];
    const y = shoulders[i + 1] - hips[i + 1];
    const scale = 1 / Math.hypot(x, y);
    centre[i] = shoulders[i] + scale * (upM * x + forwardM * y);
    centre[i + 1] = shoulders[i + 1] + scale * (upM * y - forwardM * x);
    centre[i + 2] = shoulders[i + 2];
  }
  const across = `${Math.abs(forwardM * 100).toFixed(0)} cm ${forwardM >= 0 ? 'in front of' : 'behind'}`;
  const rule = `${across} and ${(upM * 100).toFixed(0)} cm above mid-shoulder, in the trunk's axes (${position})`;
  return { centre, rule };
}

/**
 * Midway between the hands: third knuckles, else the forearm continued by the hand's length, else the wrists. Without hands
 * an arm's length straight below mid-shoulder (overhead: above), arms hanging as in a deadlift.
 */
function atHands(points: BodyPoints, lengths: MeanLengths, position: Extract<BarPosition, 'hands' | 'overhead'>) {
  const grips = SIDES.map((side) => {
    const wrist = points.known.get(`${side}_wrist`);
    const elbow = points.known.get(`${side}_elbow`);
    const knuckle = points.known.get(`${side}_hand`);
    if (knuckle) return { at: knuckle, what: 'third knuckles' };
    if (wrist && elbow)
      return { at: along(elbow, wrist, 1 + lengths.handM / lengths.forearmM), what: 'forearms continued by a hand' };
    return wrist ? { at: wrist, what: 'wrists' } : null;
  });
  const [left, right] = grips;
  if (left && right) {
    const what = left.what === right.what ? left.what : `${left.what} (left) and ${right.what} (right)`;
    return { centre: along(left.at, right.at, 0.5), rule: `midway between the hands (${what})` };
  }
  const shoulders = points.known.get('mid_shoulder');
  if (!shoulders) return null;
  const armM = (lengths.upperArmM + lengths.forearmM + lengths.handM) * (position === 'overhead' ? 1 : -1);
  const centre = Float64Array.from(shoulders, (value, i) => (i % 3 === 1 ? value + armM : value));
  return {
    centre,
    rule: `${Math.abs(armM).toFixed(2)} m straight ${armM < 0 ? 'below' : 'above'} mid-shoulder (${position}, hands not tracked)`,
  };
}
