import type { SegmentMotion, SegmentName } from './body-motion.ts';
import { type BodyPoint, type BodyPoints, SIDES, type Side } from './body-points.ts';
import { type BodyShifts, NO_SHIFTS, shiftForward } from './body-shifts.ts';
import { placeHead } from './place-head.ts';
import { betweenEnds, notPlaced, pointMass, withSolid } from './placing.ts';
import { placingFrame } from './placing-frames.ts';
import { along, type PointSeries } from './point-series.ts';
import type { MeanLengths, SegmentKind, SegmentTable } from './segment-table.ts';
import { bendTrunkInPlace, type TrunkBend } from './trunk-shape/bend-trunk.ts';

/** Everything a segment is placed with. */
interface Placing {
  readonly points: BodyPoints;
  readonly table: SegmentTable;
  readonly bodyMassKg: number;
  readonly lengths: MeanLengths;
  readonly shifts: BodyShifts;
  /** null: one straight trunk. */
  readonly bend: TrunkBend | null;
}

/**
 * All fourteen segments, in the order of SEGMENTS. Where an end point is absent the mass is placed by the rule named in
 * `placedBy`; nothing is left out of the body's mass.
 */
export function placeSegments(
  points: BodyPoints,
  table: SegmentTable,
  bodyMassKg: number,
  lengths: MeanLengths,
  shifts: BodyShifts = NO_SHIFTS,
  bend: TrunkBend | null = null,
): readonly SegmentMotion[] {
  const placing = { points, table, bodyMassKg, lengths, shifts, bend };
  const arms = SIDES.map((side) => placeArm(placing, side));
  const legs = SIDES.map((side) => placeLeg(placing, side));
  const pairs = (limbs: readonly (readonly SegmentMotion[])[]) => [0, 1, 2].flatMap((i) => [limbs[0][i], limbs[1][i]]);
  return [placeHead(points, table, bodyMassKg, lengths), placeTrunk(placing), ...pairs(arms), ...pairs(legs)];
}

function placeTrunk(placing: Placing): SegmentMotion {
  const trunk = measured(placing, 'trunk', 'trunk', 'mid_hip', 'mid_shoulder');
  if (!trunk) return absent(placing, 'trunk', 'trunk', 'no hips or no shoulders');
  const { points, bend, shifts } = placing;
  if (bend) {
    const drawn = { ...bend, share: bend.share + shifts.trunkBendShare };
    bendTrunkInPlace(trunk.centre, trunk.axis, points.known, drawn);
  }
  shiftForward(trunk.centre, trunk.axis, shifts.trunkForwardM, shifts.trunkForwardPerSineM, 0, shifts.trunkUpPerSineM);
  return trunk;
}

/** Upper arm, forearm, hand. An elbow that is not tracked stands midway between shoulder and wrist; else what is missing hangs at the last point that is known. */
function placeArm(placing: Placing, side: Side): readonly SegmentMotion[] {
  const { known } = placing.points;
  const [upperArm, forearm, hand] = [`${side}_upper_arm`, `${side}_forearm`, `${side}_hand`] as const;
  const shoulder = known.get(`${side}_shoulder`);
  const elbow = known.get(`${side}_elbow`);
  const wrist = known.get(`${side}_wrist`);
  if (!shoulder) {
    const why = `no ${side} shoulder`;
    return [
      absent(placing, upperArm, 'upper_arm', why),
      absent(placing, forearm, 'forearm', why),
      absent(placing, hand, 'hand', why),
    ];
  }
  if (!elbow && !wrist) {
    const rule = 'at the shoulder: no elbow and no wrist';
    return [
      atPoint(placing, upperArm, 'upper_arm', shoulder, rule),
      atPoint(placing, forearm, 'forearm', shoulder, rule),
      atPoint(placing, hand, 'hand', shoulder, rule),
    ];
  }
  if (!elbow && wrist) {
    const rule = 'elbow taken midway between shoulder and wrist';
    const { upper_arm, forearm: lower } = placing.table.segments;
    return [
      atPoint(placing, upperArm, 'upper_arm', along(shoulder, wrist, 0.5 * upper_arm.centreFraction), rule),
      atPoint(placing, forearm, 'forearm', along(shoulder, wrist, 0.5 + 0.5 * lower.centreFraction), rule),
      placeHand(placing, side, hand),
    ];
  }
  const upper = measured(placing, upperArm, 'upper_arm', `${side}_shoulder`, `${side}_elbow`)!;
  if (!wrist) {
    const rule = 'at the elbow: no wrist';
    return [upper, atPoint(placing, forearm, 'forearm', elbow!, rule), atPoint(placing, hand, 'hand', elbow!, rule)];
  }
  return [
    upper,
    measured(placing, forearm, 'forearm', `${side}_elbow`, `${side}_wrist`)!,
    placeHand(placing, side, hand),
  ];
}

/** The hand to its third knuckle; else its centre straight on along the forearm, by the ratio of mean lengths; else at the wrist. */
function placeHand(placing: Placing, side: Side, name: SegmentName): SegmentMotion {
  const { points, table, lengths } = placing;
  const found = measured(placing, name, 'hand', `${side}_wrist`, `${side}_hand`);
  if (found) return found;
  const wrist = points.known.get(`${side}_wrist`)!;
  const elbow = points.known.get(`${side}_elbow`);
  if (!elbow) return atPoint(placing, name, 'hand', wrist, 'at the wrist: no elbow to continue from');
  const share = 1 + (lengths.handM / lengths.forearmM) * table.segments.hand.centreFraction;
  return atPoint(placing, name, 'hand', along(elbow, wrist, share), 'straight on along the forearm');
}

/** Thigh, shank, foot. A foot without its end points acts at the ankle. */
function placeLeg(placing: Placing, side: Side): readonly SegmentMotion[] {
  const { points, table, shifts } = placing;
  const [thigh, shank, foot] = [`${side}_thigh`, `${side}_shank`, `${side}_foot`] as const;
  const ankle = points.known.get(`${side}_ankle`);
  const footFrom: BodyPoint = table.segments.foot.from === 'heel' ? `${side}_heel` : `${side}_ankle`;
  const ahead = (segment: SegmentMotion | null, forwardM: number) => {
    // The axis points down: what is in front of the leg lies behind it as seen along the axis.
    if (segment) shiftForward(segment.centre, segment.axis, -forwardM, 0, 0);
    return segment;
  };
  return [
    ahead(measured(placing, thigh, 'thigh', `${side}_hip`, `${side}_knee`), shifts.thighForwardM) ??
      absent(placing, thigh, 'thigh', `no ${side} hip or knee`),
    ahead(measured(placing, shank, 'shank', `${side}_knee`, `${side}_ankle`), shifts.shankForwardM) ??
      absent(placing, shank, 'shank', `no ${side} knee or ankle`),
    measured(placing, foot, 'foot', footFrom, `${side}_big_toe`) ??
      (ankle
        ? atPoint(placing, foot, 'foot', ankle, `at the ankle: no ${footFrom.endsWith('heel') ? 'heel or toe' : 'toe'}`)
        : absent(placing, foot, 'foot', `no ${side} ankle`)),
  ];
}

function measured(
  placing: Placing,
  name: SegmentName,
  kind: SegmentKind,
  from: BodyPoint,
  to: BodyPoint,
): SegmentMotion | null {
  const { points, table, bodyMassKg } = placing;
  const a = points.known.get(from);
  const b = points.known.get(to);
  if (!a || !b) return null;
  const parameters = table.segments[kind];
  const slender = betweenEnds(name, parameters, bodyMassKg, a, b);
  const { solid } = parameters;
  if (!solid) return slender;
  const side: Side = name.startsWith('left_') ? 'left' : 'right';
  const origin = solid.origin === 'ankle' ? points.known.get(`${side}_ankle`) : null;
  const frame = placingFrame(points, kind, side, a, b);
  if (!frame || origin === undefined) return slender;
  return withSolid(slender, parameters, solid, frame, side === 'left' ? -1 : 1, origin);
}

function atPoint(placing: Placing, name: SegmentName, kind: SegmentKind, at: PointSeries, rule: string): SegmentMotion {
  return pointMass(name, placing.table.segments[kind].massFraction * placing.bodyMassKg, at, rule);
}

function absent(placing: Placing, name: SegmentName, kind: SegmentKind, why: string): SegmentMotion {
  return notPlaced(name, placing.table.segments[kind].massFraction * placing.bodyMassKg, placing.points.frames, why);
}
