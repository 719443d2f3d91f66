import type { Recording } from '../capture/recording.ts';
import { straightTrunk, trunkThatBends } from '../messages/trunk.ts';
import type { Trajectories } from '../reconstruction/trajectories.ts';
import { bodyAttitudes } from './attitudes/body-attitudes.ts';
import { barbellMotion } from './barbell.ts';
import { ARM_JOINTS, type BodyMotion, JOINTS, type SegmentMotion } from './body-motion.ts';
import { type BodyPoints, bodyPoints, lengthBetween } from './body-points.ts';
import { type BodyShifts, NO_SHIFTS } from './body-shifts.ts';
import { placeSegments } from './place-segments.ts';
import type { SegmentTable } from './segment-table.ts';
import { meanLengthsFor, sexDifference, tableFor } from './table-for.ts';
import { type TrunkBend, trunkBendOf } from './trunk-shape/bend-trunk.ts';

/**
 * The athlete's segments and the barbell, from (smoothed) trajectories.
 *
 * Every segment is a slender rigid body: mass and centre from the published table the recording names, length measured on
 * the athlete (median over the frames), never from stature. What the landmarks do not determine is placed by a stated rule,
 * told in `placedBy` and in `quality.notes`. Throws 'segment-too-long', 'segment-too-short' for a trunk, thigh or shank of no
 * human length, and 'load-without-place'.
 *
 * `table` replaces the published numbers and `shifts` moves what a rule places (for draws of what neither can know).
 */
export function bodyMotion(
  trajectories: Trajectories,
  recording: Recording,
  table: SegmentTable = tableFor(recording.segments, recording.athlete.sex),
  shifts: BodyShifts = NO_SHIFTS,
): BodyMotion {
  const { athlete } = recording;
  const lengths = meanLengthsFor(athlete.sex);
  const points = bodyPoints(trajectories, recording.file);
  const bend = trunkBendOf(recording, points.known);
  const segments = placeSegments(points, table, athlete.massKg, lengths, shifts, bend);
  const { barbell, notes: barNotes } = barbellMotion(points, recording, lengths, shifts);
  const upperBodyKnown = points.known.has('mid_hip') && points.known.has('mid_shoulder');
  return {
    frameRateHz: trajectories.frameRateHz,
    frames: trajectories.frames,
    startS: trajectories.startS,
    trajectories,
    sex: athlete.sex,
    table: table.name,
    bodyMassKg: athlete.massKg,
    barMassKg: barbell?.massKg ?? 0,
    segments,
    barbell,
    barPosition: recording.load.bar.position,
    joints: jointCentres(points),
    attitudes: bodyAttitudes(points, trajectories),
    trunkBend: upperBodyKnown ? bend : null,
    upperBodyKnown,
    quality: {
      segments: [...segments, ...(barbell ? [barbell] : [])].map(segmentQuality),
      notes: [
        ...tableNotes(recording, table, points),
        ...jointNotes(points, upperBodyKnown, bend),
        ...points.notes,
        ...placingNotes(segments),
        ...barNotes,
      ],
    },
  };
}

function jointCentres(points: BodyPoints): BodyMotion['joints'] {
  const joints: { -readonly [name in keyof BodyMotion['joints']]: Float64Array } = {};
  for (const name of [...JOINTS, ...ARM_JOINTS, 'mid_hip', 'mid_knee', 'mid_ankle', 'mid_shoulder'] as const) {
    const series = points.known.get(name);
    if (series) joints[name] = series;
  }
  return joints;
}

function segmentQuality(segment: SegmentMotion): BodyMotion['quality']['segments'][number] {
  const orNull = (value: number) => (Number.isFinite(value) ? value : null);
  return {
    segment: segment.name,
    massKg: segment.massKg,
    lengthM: orNull(segment.lengthM),
    lengthVariation: orNull(segment.lengthVariation),
    placedBy: segment.placedBy,
  };
}

/** Which table, and what an unstated sex hides. Tables differ most in the thigh, so its share is always said. */
function tableNotes(recording: Recording, table: SegmentTable, points: BodyPoints): readonly string[] {
  const { athlete } = recording;
  const { thigh } = table.segments;
  const notes = [
    `Segment parameters: ${table.source}; one thigh is ${(100 * thigh.massFraction).toFixed(1)} % of body mass (tables differ by up to half in this).`,
  ];
  if (table.name === 'dempster-winter-2009')
    notes.push(
      'This table is one for both sexes; hip joint, wrist, ankle and toe tip stand in for its trochanter, styloid, malleolus and metatarsal head.',
    );
  if (table.name === 'dumas-2007')
    notes.push(
      'Thighs, shanks, feet and trunk have their whole inertia and, in the limbs, a centre beside the line of the joints. Their turn about ' +
        'that line is placed, not measured: thighs by the line of the hips, shanks by the foot, feet as if flat, the trunk by the shoulders.',
    );
  if (athlete.sex !== 'unknown' || table.name === 'dempster-winter-2009') return notes;
  const thighs = sexDifference(table.name, 'thigh');
  const trunks = sexDifference(table.name, 'trunk');
  const trunkM = lengthBetween(points.known, 'mid_hip', 'mid_shoulder')?.lengthM;
  const shift = trunkM
    ? `, which is ${(1000 * Math.abs(trunks.centreFraction) * trunkM).toFixed(0)} mm on this athlete`
    : '';
  notes.push(
    "Sex not stated: the mean of women's and men's numbers is used. Men's against women's: one thigh " +
      `${signed(100 * thighs.massFraction)} % of body mass (${signed(thighs.massFraction * athlete.massKg)} kg), trunk ` +
      `${signed(100 * trunks.massFraction)} % of body mass, its centre ${signed(100 * trunks.centreFraction)} % of its length ` +
      `further up${shift}.`,
  );
  return notes;
}

/** Hip points further apart than this lie over the trochanters, not at the joint centres (about 0.17–0.18 m apart); common practice, no source. */
const WIDEST_HIP_CENTRES_M = 0.25;

function jointNotes(points: BodyPoints, upperBodyKnown: boolean, bend: TrunkBend | null): readonly string[] {
  const notes: string[] = [];
  if (upperBodyKnown) notes.push(bend ? trunkThatBends(bend.share, bend.measured) : straightTrunk());
  else notes.push('Hips or shoulders are missing: nothing above the hips is placed.');
  const hips = lengthBetween(points.known, 'left_hip', 'right_hip');
  if (hips && hips.lengthM > WIDEST_HIP_CENTRES_M)
    notes.push(
      `The hip points are ${hips.lengthM.toFixed(2)} m apart, wider than hip joint centres (about 0.18 m): points over the trochanters. ` +
        'Moments about mid-hip are affected only by their height and fore–aft place.',
    );
  for (const [segment, from, to] of [
    ['trunk', 'mid_hip', 'mid_shoulder'],
    ['left thigh', 'left_hip', 'left_knee'],
    ['right thigh', 'right_hip', 'right_knee'],
    ['left shank', 'left_knee', 'left_ankle'],
    ['right shank', 'right_knee', 'right_ankle'],
  ] as const) {
    const length = lengthBetween(points.known, from, to);
    if (length && length.variation > LARGEST_VARIATION)
      notes.push(
        `The measured length of the ${segment} varies by ${(100 * length.variation).toFixed(0)} % (standard deviation).`,
      );
  }
  return notes;
}

/** Coefficient of variation of a length that is worth a note; common practice, no source. */
const LARGEST_VARIATION = 0.05;

/** The rules used, each with the segments it placed. */
function placingNotes(segments: readonly SegmentMotion[]): readonly string[] {
  const byRule = new Map<string, string[]>();
  for (const { name, placedBy } of segments) {
    if (placedBy) byRule.set(placedBy, [...(byRule.get(placedBy) ?? []), name.replaceAll('_', ' ')]);
  }
  return [...byRule].map(([rule, names]) => `Placed by a rule: ${names.join(', ')} (${rule}).`);
}

function signed(value: number): string {
  return `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(2)}`;
}
