import { describe, expect, test } from '@jest/globals';
import { INNER_COLLARS_APART_M, MENS_BAR_KG, RACK_OFFSETS, WOMENS_BAR_KG } from '../../src/body/barbell.ts';
import { type BodyMotion, SEGMENTS } from '../../src/body/body-motion.ts';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { deLevaRow } from '../../src/body/de-leva-1996.ts';
import { lengthLimits } from '../../src/body/length-limits.ts';
import { DataError } from '../../src/errors.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { LENGTHS, lifterPoints, makeRecording, makeTrajectories, type Point, squatPosture } from './made-lifter.ts';

const FRAMES = 41;
const RATE = 100;
const POSTURE = { shankLean: 0.3, thighLean: 0.9, trunkLean: 0.5 };

type Change = (points: Record<string, Point | undefined>, frame: number) => void;

function motionOf(change: Change = () => {}, recording = makeRecording(), moving = false): BodyMotion {
  const at = (frame: number) => {
    const points: Record<string, Point | undefined> = lifterPoints(moving ? squatPosture(frame / RATE) : POSTURE);
    change(points, frame);
    return points;
  };
  const landmarks = Object.keys(lifterPoints(POSTURE)).concat(Object.keys(at(0))) as never[];
  return bodyMotion(makeTrajectories(FRAMES, RATE, at, [...new Set(landmarks)]), recording);
}

const without =
  (...parts: readonly string[]): Change =>
  (points) => {
    for (const name of Object.keys(points)) if (parts.some((part) => name.endsWith(part))) points[name] = undefined;
  };
const segment = (motion: BodyMotion, name: string) => motion.segments.find((each) => each.name === name)!;
const centre = (motion: BodyMotion, name: string, frame = 0) =>
  segment(motion, name).centre.subarray(3 * frame, 3 * frame + 3);
const caught = (act: () => unknown): DataError => {
  try {
    act();
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('nothing was thrown');
};

describe('bodyMotion: measured segments', () => {
  test('all fourteen segments in order; masses sum to body mass times the printed sum', () => {
    const motion = motionOf();
    expect(motion.segments.map((each) => each.name)).toEqual([...SEGMENTS]);
    const massKg = motion.segments.reduce((sum, each) => sum + each.massKg, 0);
    expectClose(massKg, 80, 1e-9, 'men: 100.00 %');
    const women = motionOf(undefined, makeRecording({ athlete: { sex: 'female' } }));
    expectClose(
      women.segments.reduce((sum, each) => sum + each.massKg, 0),
      80 * 0.9999,
      1e-9,
      'women: 99.99 %',
    );
  });

  test("the thigh: mass, centre, axis and inertia from the table and the athlete's own length", () => {
    const motion = motionOf();
    const thigh = segment(motion, 'left_thigh');
    const row = deLevaRow('male', 'Thigh');
    const { left_hip: hip, left_knee: knee } = lifterPoints(POSTURE);
    const lengthM = Math.hypot(LENGTHS.thigh, 0.09);
    expectClose(thigh.lengthM, lengthM, 1e-12, 'length, m');
    expectClose(thigh.massKg, (80 * row.massPct) / 100, 1e-12, 'mass, kg');
    expectClose(
      thigh.transverseInertiaKgM2,
      thigh.massKg * ((row.transversePct / 100) * lengthM) ** 2,
      1e-12,
      'inertia',
    );
    for (let k = 0; k < 3; k++) {
      expectClose(thigh.centre[k], hip[k] + (row.centrePct / 100) * (knee[k] - hip[k]), 1e-12, `centre ${k}`);
      expectClose(thigh.axis[k], (knee[k] - hip[k]) / lengthM, 1e-12, `axis ${k}`);
    }
    expect(thigh.placedBy).toBeNull();
  });

  test("the trunk's centre of men lies 43.10 % of its length below mid-shoulder", () => {
    const motion = motionOf();
    const { left_shoulder: shoulder, left_hip: hip } = lifterPoints(POSTURE);
    const below = Math.hypot(centre(motion, 'trunk')[0] - shoulder[0], centre(motion, 'trunk')[1] - shoulder[1]);
    expectClose(below / Math.hypot(shoulder[0] - hip[0], shoulder[1] - hip[1]), 0.431, 1e-12, 'share');
  });

  test('a length is the median over the frames: one wild frame does not move it, and shows in the variation', () => {
    const motion = motionOf((points, frame) => {
      if (frame === 20) points.left_knee = [2, 0.4, 0];
    });
    expectClose(segment(motion, 'left_thigh').lengthM, Math.hypot(LENGTHS.thigh, 0.09), 1e-12, 'median, m');
    expect(segment(motion, 'left_thigh').lengthVariation).toBeGreaterThan(0.1);
    expect(motion.quality.notes.some((note) => note.includes('left thigh varies'))).toBe(true);
  });

  test('sex not stated: the difference between the tables is told', () => {
    const notes = motionOf(undefined, makeRecording({ athlete: { sex: 'unknown' } })).quality.notes.join('\n');
    expect(notes).toMatch(/Sex not stated/);
    expect(notes).toMatch(/−0\.62 %/);
    expect(notes).toMatch(/26 mm/); // 5.28 % of the 0.5 m trunk
    expect(motionOf().quality.notes.join('\n')).not.toMatch(/Sex not stated/);
  });

  test('hip points over the trochanters are told apart from joint centres', () => {
    const wide = motionOf((points) => {
      points.left_hip = [points.left_hip![0], points.left_hip![1], -0.185];
      points.right_hip = [points.right_hip![0], points.right_hip![1], 0.185];
    });
    expect(wide.quality.notes.join('\n')).toMatch(/0\.37 m apart/);
    expect(motionOf().quality.notes.join('\n')).not.toMatch(/trochanters/);
  });
});

describe('bodyMotion: what is missing', () => {
  test('no heel or toe: the foot acts at the ankle', () => {
    const motion = motionOf(without('heel', 'toe'));
    expect(segment(motion, 'left_foot').placedBy).toMatch(/at the ankle/);
    expectAllClose(centre(motion, 'left_foot'), lifterPoints(POSTURE).left_ankle, 1e-12, 'foot');
    expect(segment(motion, 'left_foot').transverseInertiaKgM2).toBe(0);
    expect(motion.quality.notes.join('\n')).toMatch(/left foot, right foot \(at the ankle/);
  });

  test('no hand: its centre straight on along the forearm, at the ratio of mean lengths', () => {
    const motion = motionOf(without('hand'));
    const { left_elbow: elbow, left_wrist: wrist } = lifterPoints(POSTURE);
    const share = 1 + (deLevaRow('male', 'Hand').lengthMm / deLevaRow('male', 'Forearm').lengthMm) * 0.79;
    for (let k = 0; k < 3; k++)
      expectClose(centre(motion, 'left_hand')[k], elbow[k] + share * (wrist[k] - elbow[k]), 1e-12, `hand ${k}`);
  });

  test('no wrist: forearm and hand act at the elbow; no elbow either: the whole arm at the shoulder', () => {
    const points = lifterPoints(POSTURE);
    const noWrist = motionOf(without('wrist', 'hand'));
    expectAllClose(centre(noWrist, 'right_forearm'), points.right_elbow, 1e-12, 'forearm');
    expectAllClose(centre(noWrist, 'right_hand'), points.right_elbow, 1e-12, 'hand');
    expect(segment(noWrist, 'right_upper_arm').placedBy).toBeNull();
    const noArm = motionOf(without('elbow', 'wrist', 'hand'));
    for (const part of ['right_upper_arm', 'right_forearm', 'right_hand'])
      expectAllClose(centre(noArm, part), points.right_shoulder, 1e-12, part);
  });

  test('no elbow but a wrist: the elbow is taken midway', () => {
    const motion = motionOf(without('elbow'));
    const { left_shoulder: shoulder, left_wrist: wrist } = lifterPoints(POSTURE);
    const share = 0.5 + (0.5 * deLevaRow('male', 'Forearm').centrePct) / 100;
    for (let k = 0; k < 3; k++)
      expectClose(centre(motion, 'left_forearm')[k], shoulder[k] + share * (wrist[k] - shoulder[k]), 1e-12, `${k}`);
  });

  test('the head: ears, then towards the head point, then one ear, then along the trunk', () => {
    const { left_ear: ear, left_shoulder: shoulder } = lifterPoints(POSTURE);
    expectAllClose(centre(motionOf(), 'head'), [ear[0], ear[1], 0], 1e-12, 'ears');
    const distanceM = (0.2092 / 0.5155) * LENGTHS.trunk; // de Leva, men: mid-shoulder to head centre over Trunk 3
    const marked = motionOf((points) => {
      without('ear')(points, 0);
      points.head = [shoulder[0] + 0.12, shoulder[1] + 0.16, 0.01];
    });
    const length = Math.hypot(0.12, 0.16, 0.01);
    expectAllClose(
      centre(marked, 'head'),
      [
        shoulder[0] + (distanceM * 0.12) / length,
        shoulder[1] + (distanceM * 0.16) / length,
        (distanceM * 0.01) / length,
      ],
      5e-5,
      'towards the head point',
    );
    expectAllClose(centre(motionOf(without('left_ear')), 'head'), lifterPoints(POSTURE).right_ear, 1e-12, 'one ear');
    expectAllClose(
      centre(motionOf(without('ear')), 'head'),
      [shoulder[0] + distanceM * Math.sin(0.5), shoulder[1] + distanceM * Math.cos(0.5), 0],
      5e-5,
      'along the trunk',
    );
  });

  test('no shoulders or no hips: the upper body is not known, its mass is kept, its centre is NaN', () => {
    for (const part of ['shoulder', 'hip']) {
      const motion = motionOf(without(part));
      expect(motion.upperBodyKnown).toBe(false);
      expect(segment(motion, 'trunk').placedBy).toMatch(/^not placed/);
      expect(segment(motion, 'trunk').massKg).toBeGreaterThan(30);
      expect(centre(motion, 'trunk')[0]).toBeNaN();
    }
    expect(motionOf().upperBodyKnown).toBe(true);
  });

  test('a gap of the wrist is bridged relative to the elbow, within a millimetre here; a gap of the knee is not', () => {
    const gap: Change = (points, frame) => {
      if (frame >= 10 && frame < 18) {
        points.left_wrist = undefined;
        points.left_hand = undefined;
        points.right_knee = undefined;
      }
    };
    const whole = motionOf(undefined, undefined, true);
    const gapped = motionOf(gap, undefined, true);
    for (let frame = 0; frame < FRAMES; frame++)
      expectAllClose(centre(gapped, 'left_hand', frame), centre(whole, 'left_hand', frame), 1e-3, `frame ${frame}`);
    expect(centre(gapped, 'right_thigh', 12)[0]).toBeNaN();
    expectAllClose(centre(gapped, 'right_thigh', 30), centre(whole, 'right_thigh', 30), 0, 'outside the gap');
    expect(gapped.quality.notes.join('\n')).toMatch(/left wrist: 20 % of the frames bridged/);
  });

  test('a wrist known in less than half of the frames is left out', () => {
    const motion = motionOf((points, frame) => {
      if (frame >= 20) points.left_wrist = undefined;
    });
    expect(segment(motion, 'left_forearm').placedBy).toMatch(/at the elbow/);
    expect(segment(motion, 'right_forearm').placedBy).toBeNull();
  });
});

describe('bodyMotion: lengths no human has', () => {
  const scaled =
    (factor: number): Change =>
    (points) => {
      for (const [name, point] of Object.entries(points))
        if (point) points[name] = [point[0] * factor, point[1] * factor, point[2] * factor];
    };

  test('millimetres given as metres: segment-too-long, with segment, length and limit', () => {
    const error = caught(() => motionOf(scaled(1000)));
    expect(error.code).toBe('segment-too-long');
    expect(error.facts.segment).toBe('trunk');
    expectClose(error.facts.lengthM as number, 500, 1e-9, 'length, m');
    expect(error.facts.limitM).toBe(lengthLimits('trunk').longestM);
    expect(error.message).toContain('made/recording.yaml');
  });

  test('metres given as millimetres: segment-too-short', () => {
    expect(caught(() => motionOf(scaled(0.001))).code).toBe('segment-too-short');
  });

  test('a shank of the wrong length is refused though the trunk is right', () => {
    const error = caught(() =>
      motionOf((points) => {
        points.left_ankle = [0, -0.9, -0.15];
      }),
    );
    expect(error.code).toBe('segment-too-long');
    expect(error.facts.segment).toBe('left shank');
  });

  test('an arm of the wrong length is left out with a note', () => {
    const motion = motionOf((points) => {
      points.left_wrist = [3, 1, 0];
    });
    expect(segment(motion, 'left_forearm').placedBy).toMatch(/at the elbow/);
    expect(motion.quality.notes.join('\n')).toMatch(/left forearm measures/);
  });

  test('the limits hold published adults with room: 5 standard deviations of the ANSUR II thighs and shanks', () => {
    // ANSUR II (2012), trochanter–epicondyle and epicondyle–malleolus lengths, mm: mean ± SD, men and women.
    const published = [
      ['thigh', 409, 28],
      ['thigh', 379, 24],
      ['shank', 419, 25],
      ['shank', 403, 26],
    ] as const;
    for (const [kind, meanMm, sdMm] of published) {
      expect(lengthLimits(kind).shortestM).toBeLessThan((meanMm - 5 * sdMm) / 1000);
      expect(lengthLimits(kind).longestM).toBeGreaterThan((meanMm + 5 * sdMm) / 1000);
    }
  });
});

describe('bodyMotion: Dempster–Winter', () => {
  test('the foot runs from ankle to toe, so a heel is not needed', () => {
    const motion = motionOf(without('heel'), makeRecording({ segments: 'dempster-winter-2009' }));
    const { left_ankle: ankle, left_big_toe: toe } = lifterPoints(POSTURE);
    expectClose(centre(motion, 'left_foot')[0], (ankle[0] + toe[0]) / 2, 1e-12, 'foot x');
    expect(motion.table).toBe('dempster-winter-2009');
    expectClose(segment(motion, 'left_thigh').massKg, 8, 1e-12, 'thigh, kg');
  });
});

describe('bodyMotion: the barbell', () => {
  const bar = (position: 'front rack' | 'high back' | 'low back' | 'hands' | 'overhead' | 'none', totalKg = 100) =>
    makeRecording({ load: { totalKg, bar: { position } } });
  const ends: Change = (points) => {
    points.bar_left_end = [0.3, 1.1, -1.1];
    points.bar_right_end = [0.3, 1.14, 1.1];
  };

  test('nominal bars as published', () => {
    const published = reference<{ bar: string; massKg: number; innerCollarsApartM: number }>('body-barbell').cases;
    expect([MENS_BAR_KG, WOMENS_BAR_KG]).toEqual(published.map((each) => each.massKg));
    expect(published.map((each) => each.innerCollarsApartM)).toEqual([INNER_COLLARS_APART_M, INNER_COLLARS_APART_M]);
  });

  test('no load: no barbell', () => {
    expect(motionOf(ends, bar('none', 0)).barbell).toBeNull();
  });

  test('tracked ends: midway, whole mass, rod and discs', () => {
    const recording = makeRecording({
      load: { totalKg: 100, bar: { position: 'front rack', lengthM: 2.2, massKg: 20 } },
    });
    const { barbell, barMassKg } = motionOf(ends, recording);
    expect(barMassKg).toBe(100);
    expectAllClose(barbell!.centre.subarray(0, 3), [0.3, 1.12, 0], 1e-12, 'centre');
    // By hand: 20 · 2.2² / 12 + 80 · 0.655².
    expectClose(barbell!.transverseInertiaKgM2, 8.0666667 + 34.322, 1e-6, 'inertia, kg m²');
    expect(barbell!.placedBy).toBeNull();
    expect(barbell!.axis[2]).toBeGreaterThan(0.99);
  });

  test('tracked ends that disagree with the stated bar are told', () => {
    const recording = makeRecording({
      load: { totalKg: 100, bar: { position: 'front rack', lengthM: 1.5, massKg: 20 } },
    });
    expect(motionOf(ends, recording).quality.notes.join('\n')).toMatch(/2\.20 m apart/);
  });

  test('racked without ends: the stated offset, in the axes of the leaning trunk', () => {
    const { forwardM, upM } = RACK_OFFSETS['front rack'];
    const shoulder = lifterPoints(POSTURE).left_shoulder;
    const motion = motionOf(undefined, bar('front rack'));
    const [s, c] = [Math.sin(POSTURE.trunkLean), Math.cos(POSTURE.trunkLean)];
    expectAllClose(
      motion.barbell!.centre.subarray(0, 3),
      [shoulder[0] + upM * s + forwardM * c, shoulder[1] + upM * c - forwardM * s, 0],
      1e-12,
      'centre',
    );
    expect(motion.barbell!.transverseInertiaKgM2).toBe(0);
    expect(motion.barbell!.placedBy).toMatch(/front rack/);
    for (const position of ['high back', 'low back'] as const)
      expect(motionOf(undefined, bar(position)).barbell!.centre[0]).toBeLessThan(shoulder[0]);
  });

  test('in the hands: midway between the third knuckles; without hands straight below the shoulders', () => {
    const points = lifterPoints(POSTURE);
    const held = motionOf(undefined, bar('hands')).barbell!;
    expectAllClose(held.centre.subarray(0, 3), [points.left_hand[0], points.left_hand[1], 0], 1e-12, 'hands');
    const hanging = motionOf(without('elbow', 'wrist', 'hand'), bar('hands')).barbell!;
    expectClose(hanging.centre[0], points.left_shoulder[0], 1e-12, 'x below the shoulders');
    expect(hanging.centre[1]).toBeLessThan(points.left_shoulder[1]);
    const overhead = motionOf(without('elbow', 'wrist', 'hand'), bar('overhead')).barbell!;
    expect(overhead.centre[1]).toBeGreaterThan(points.left_shoulder[1]);
  });

  test('a load that nothing places is refused', () => {
    const error = caught(() => motionOf(undefined, bar('none')));
    expect(error.code).toBe('load-without-place');
    expect(error.facts.totalKg).toBe(100);
  });
});
