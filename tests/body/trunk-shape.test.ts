import { describe, expect, test } from '@jest/globals';
import type { BodyMotion } from '../../src/body/body-motion.ts';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { deLevaRow } from '../../src/body/de-leva-1996.ts';
import { FLEXION_SHARE_SD, flexionShare, lumbarFlexionRad } from '../../src/body/trunk-shape/lumbar-flexion.ts';
import { combinedShare, MEASURED_SHARE_SD } from '../../src/body/trunk-shape/measured-share.ts';
import { RISE_SHARE, shoulderRise } from '../../src/body/trunk-shape/shoulder-girdle.ts';
import { bentCentreInto, lineTurnRad, spineShape } from '../../src/body/trunk-shape/spine-shape.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { mean, rms } from '../../src/numerics/statistics.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { DEMO_RECORDINGS, liftOf } from '../synthetic/demo.ts';
import { landmarksOf } from '../synthetic/lift.ts';
import { trueMeasures } from '../synthetic/truth.ts';
import { lifterPoints, makeRecording, makeTrajectories, type Point } from './made-lifter.ts';

const RAD = Math.PI / 180;
const SEXES = ['female', 'male', 'unknown'] as const;

describe('lumbar flexion', () => {
  interface Case {
    readonly thoraxDeg: number;
    readonly esolaDeg: number;
    readonly tafazzolDeg: number;
  }
  const table = reference<Case>('body-lumbar-flexion');
  const squat = table.squat as { readonly maleDeg: number; readonly femaleDeg: number };

  test.each(table.cases)(
    'at $thoraxDeg° of the thorax, the mean of two studies',
    ({ thoraxDeg, esolaDeg, tafazzolDeg }) => {
      const published = (esolaDeg + tafazzolDeg) / 2;
      const line = lineTurnRad(spineShape('unknown'), published * RAD) / RAD;
      expectClose(
        lumbarFlexionRad((thoraxDeg - published + line) * RAD) / RAD,
        published,
        table.tolerance,
        'flexion, °',
      );
    },
  );

  test('a lean back extends as a lean forward flexes', () => {
    expect(lumbarFlexionRad(-0.3)).toBe(-lumbarFlexionRad(0.3));
  });

  test('squats use the share that was measured of men and women; other lifts all of it', () => {
    const at45 = lumbarFlexionRad(45 * RAD) / RAD;
    expectClose(flexionShare('front squat', 'male') * at45, squat.maleDeg, table.tolerance, 'men, °');
    expectClose(flexionShare('back squat', 'female') * at45, squat.femaleDeg, table.tolerance, 'women, °');
    expectClose(
      flexionShare('squat', 'unknown') * at45,
      (squat.maleDeg + squat.femaleDeg) / 2,
      table.tolerance,
      'both, °',
    );
    expect(flexionShare('deadlift', 'male')).toBe(1);
  });
});

describe('shape of a bent trunk', () => {
  test.each(SEXES)('straight: the published centre, no shift (%s)', (sex) => {
    const found = { up: 1, forward: 1 };
    bentCentreInto(found, spineShape(sex), 0);
    expectClose(found.up, 0, 1e-15, 'up');
    expectClose(found.forward, 0, 1e-15, 'forward');
  });

  test('pieces are de Leva’s: women rebuild their trunk exactly as printed', () => {
    const { mass, centreUp } = spineShape('female');
    const row = deLevaRow('female', 'Trunk 3');
    const lower = deLevaRow('female', 'Lower trunk').lengthMm;
    const rebuilt = mass.reduce((sum, share, i) => sum + share * centreUp[i], 0);
    // Trunk 3 counts from mid-shoulder: in women its parts rebuild it; 0.1 % of the length is the print's rounding.
    expectClose(rebuilt, 1 - row.centrePct / 100, 0.001, 'centre');
    expectClose(centreUp[0] * row.lengthMm, lower * (1 - 0.492), 1e-9, 'lower piece, mm');
  });

  /** The same trunk made of turned vectors, one by one, in a frame where the pelvis leans by any angle. */
  function byHand(sex: 'female' | 'male', flexion: number, pelvisLean: number) {
    const { mass, centreUp, lumbosacral: a, thoracolumbar: b } = spineShape(sex);
    const turned = ([x, y]: readonly number[], lean: number): [number, number] => [
      x * Math.cos(lean) + y * Math.sin(lean),
      y * Math.cos(lean) - x * Math.sin(lean),
    ];
    const plus = (p: readonly number[], q: readonly number[]): [number, number] => [p[0] + q[0], p[1] + q[1]];
    const from = (p: readonly number[], q: readonly number[]) => [q[0] - p[0], q[1] - p[1]];
    const [one, two, three] = [pelvisLean, pelvisLean + flexion / 2, pelvisLean + flexion];
    const sacral = turned(a, one);
    const lumbar = plus(sacral, turned(from(a, b), two));
    const shoulder = plus(lumbar, turned(from(b, [0, 1]), three));
    const centres = [
      turned([0, centreUp[0]], one),
      plus(sacral, turned(from(a, [0, centreUp[1]]), two)),
      plus(lumbar, turned(from(b, [0, centreUp[2]]), three)),
    ];
    const centre = [0, 1].map((k) => centres.reduce((sum, piece, i) => sum + mass[i] * piece[k], 0));
    return { shoulder, centre, straight: mass.reduce((sum, share, i) => sum + share * centreUp[i], 0) };
  }

  test.each([
    ['female', 20, 10],
    ['female', 50, 35],
    ['male', 35, -5],
    ['male', 60, 60],
  ] as const)('%s, flexed by %d° on a pelvis at %d°: as by turning each piece', (sex, flexionDeg, pelvisDeg) => {
    const found = { up: 0, forward: 0 };
    const shape = spineShape(sex);
    bentCentreInto(found, shape, flexionDeg * RAD);
    const { shoulder, centre, straight } = byHand(sex, flexionDeg * RAD, pelvisDeg * RAD);
    // The measured line and its length carry the shape: hip + length · ((straight + up) along + forward · square to it).
    for (const [k, along, square] of [
      [0, shoulder[0], shoulder[1]],
      [1, shoulder[1], -shoulder[0]],
    ] as const)
      expectClose((straight + found.up) * along + found.forward * square, centre[k], 1e-14, `coordinate ${k}`);
    const lean = Math.atan2(shoulder[0], shoulder[1]) - pelvisDeg * RAD;
    expectClose(lineTurnRad(shape, flexionDeg * RAD), lean, 1e-14, 'turn of the line');
    // A flexed back lies behind its chord.
    expect(found.forward).toBeLessThan(-0.02);
  });

  test('shoulders: 4 % of the line with the arm at a right angle, none with hanging arms', () => {
    expect(shoulderRise(1)).toBe(0);
    expect(shoulderRise(0)).toBe(RISE_SHARE);
  });
});

describe('the trunk of a lifter', () => {
  const POSTURE = { shankLean: 0.3, thighLean: 0.9, trunkLean: 0.7 };
  const LANDMARKS = Object.keys(lifterPoints(POSTURE)) as Landmark[];
  const trunkOf = (motion: BodyMotion) => motion.segments.find(({ name }) => name === 'trunk')!;
  const motionOf = (points: Record<string, Point>, trunk: 'bends' | 'straight', kind = 'deadlift') => {
    const recording = makeRecording({ athlete: { sex: 'male' }, settings: { trunk } });
    const names = Object.keys(points) as Landmark[];
    return bodyMotion(
      makeTrajectories(3, 60, () => points, names),
      { ...recording, lift: { ...recording.lift, kind } },
    );
  };

  test('bent and arms hanging: flexion behind the line, rise of the shoulders down the line, the rest untouched', () => {
    const points = lifterPoints(POSTURE);
    const [bent, straight] = [motionOf(points, 'bends'), motionOf(points, 'straight')];
    const [a, b] = [trunkOf(bent).centre, trunkOf(straight).centre];
    const [s, c] = [Math.sin(0.7), Math.cos(0.7)];
    const up = (a[0] - b[0]) * s + (a[1] - b[1]) * c;
    const forward = (a[0] - b[0]) * c - (a[1] - b[1]) * s;
    const shape = { up: 0, forward: 0 };
    bentCentreInto(shape, spineShape('male'), lumbarFlexionRad(0.7));
    const [shoulder, elbow] = [points.left_shoulder, points.left_elbow];
    const arm = [0, 1, 2].map((k) => elbow[k] - shoulder[k]);
    const rise = 0.04 * (1 + (arm[0] * s + arm[1] * c) / Math.hypot(...arm));
    const row = 1 - deLevaRow('male', 'Trunk 3').centrePct / 100;
    const lengthM = Math.hypot(
      points.left_shoulder[0] - points.left_hip[0],
      points.left_shoulder[1] - points.left_hip[1],
    );
    expectClose(up, lengthM * (shape.up - rise * (row + shape.up)), 1e-14, 'up');
    expectClose(forward, lengthM * (1 - rise) * shape.forward, 1e-14, 'forward');
    expect(forward).toBeLessThan(-0.01);
    for (const [i, segment] of bent.segments.entries())
      if (segment.name !== 'trunk') expect(segment.centre).toEqual(straight.segments[i].centre);
    expect(trunkOf(bent).axis).toEqual(trunkOf(straight).axis);
  });

  test('no elbows: shoulders are not raised; points of no trunk: nothing is placed', () => {
    const {
      left_elbow: _l,
      right_elbow: _r,
      left_wrist: _lw,
      right_wrist: _rw,
      left_hand: _lh,
      right_hand: _rh,
      ...armless
    } = lifterPoints({ ...POSTURE, trunkLean: 0 });
    const [bent, straight] = [motionOf(armless, 'bends'), motionOf(armless, 'straight')];
    expectClose(trunkOf(bent).centre[1], trunkOf(straight).centre[1], 1e-15, 'height');
    const { left_shoulder: _ls, ...noShoulder } = lifterPoints(POSTURE);
    expect(trunkOf(motionOf(noShoulder, 'bends')).centre[0]).toBeNaN();
  });

  test('facing the other way, and mirrored, the trunk bends alike', () => {
    const points = lifterPoints(POSTURE);
    const mirrored = Object.fromEntries(
      LANDMARKS.map((name) => {
        const other = name.startsWith('left') ? name.replace('left', 'right') : name.replace('right', 'left');
        const [x, y, z] = points[other];
        return [name, [x, y, -z] as Point];
      }),
    );
    const [a, b] = [trunkOf(motionOf(points, 'bends')).centre, trunkOf(motionOf(mirrored, 'bends')).centre];
    for (const k of [0, 1]) expectClose(b[k], a[k], 1e-14, `coordinate ${k}`);
  });

  test('noise of the points is not turned into a bias', () => {
    // The shift is smooth in the points: its mean moves by half of its second derivative times the variance. On a trunk of
    // 0.5 m, 10 mm of noise are 0.02 rad; flexion curves by at most 0.7 /rad, its arm is below 40 mm/rad: 6 µm; the rest is the chance of
    // 4000 draws, 10 mm / √4000 = 0.16 mm (one standard deviation).
    const random = seededRandom(8);
    const clean = lifterPoints(POSTURE);
    const noisy = Array.from({ length: 4000 }, () => {
      const points: Record<string, Point> = { ...clean };
      for (const name of LANDMARKS)
        points[name] = clean[name].map((value) => value + 0.01 * random.normal()) as unknown as Point;
      return points;
    });
    const recording = makeRecording({ settings: { trunk: 'bends' } });
    const motion = (at: (frame: number) => Record<string, Point>, frames: number) =>
      trunkOf(bodyMotion(makeTrajectories(frames, 60, at, LANDMARKS), recording)).centre;
    const [exact, drawn] = [motion(() => clean, 1), motion((frame) => noisy[frame], 4000)];
    for (const k of [0, 1]) {
      const found = mean(Float64Array.from({ length: 4000 }, (_, frame) => drawn[3 * frame + k]));
      expectClose(found, exact[k], 3 * 0.00016, `mean of coordinate ${k}`);
    }
  });
});

describe('points of the back', () => {
  /** A lifter whose spine flexes by `share` of the curve; the line leans as asked, the thorax further. */
  function pointsOf(lean: number, share: number): Record<string, Point> {
    const points = lifterPoints({ shankLean: 0.2, thighLean: 0.6, trunkLean: lean });
    const shape = spineShape('male');
    const flexion = share * lumbarFlexionRad(lean);
    const thorax = lean + flexion - lineTurnRad(shape, flexion);
    const [x, y] = [points.left_shoulder[0], points.left_shoulder[1]];
    const neck: Point = [x - 0.05, y + 0.06, 0];
    const back: Point = [neck[0] - 0.22 * Math.sin(thorax - 0.25), neck[1] - 0.22 * Math.cos(thorax - 0.25), 0];
    return { ...points, neck_base: neck, mid_back: back };
  }
  const frames = 60;
  const motionOf = (share: number) =>
    bodyMotion(
      makeTrajectories(frames, 60, (k) => pointsOf(0.05 + 0.8 * Math.sin((Math.PI * k) / (frames - 1)), share)),
      makeRecording({ athlete: { sex: 'male' }, settings: { trunk: 'bends' } }),
    );

  test.each([0, 0.5, 1.2])(
    'a lifter who flexes by %d of the curve is measured so, and weighed against what is published',
    (share) => {
      const { trunkBend } = motionOf(share);
      expect(trunkBend!.measured).toBe(true);
      const weigh = combinedShare(flexionShare('front squat', 'male'), FLEXION_SHARE_SD, share);
      // The thorax's turn is a nearly linear part (0.31–0.33) of the flexion: a share of 1.2 is read to about 2 %.
      expectClose(trunkBend!.share, weigh, 0.02, 'share');
    },
  );

  test('the weights are those of the inverse variances', () => {
    expectClose(combinedShare(1, MEASURED_SHARE_SD, 0), 0.5, 1e-15, 'equal');
    expect(combinedShare(0.75, FLEXION_SHARE_SD, null)).toBe(0.75);
  });
});

describe('a virtual lifter whose trunk bends by laws of its own', () => {
  // Three pieces hinged on the line, other flexion, shoulders drawn forward, own masses: tests/synthetic/posture.ts.
  const everyLifter = DEMO_RECORDINGS.filter(
    ({ build }, i) => DEMO_RECORDINGS.findIndex((other) => other.build.id === build.id) === i,
  );

  test.each(everyLifter)('$id: the centre of mass is nearer the truth than with a straight trunk', (recorded) => {
    const lift = liftOf(recorded, 'outside');
    const times = Array.from({ length: 60 }, (_, k) => 1 + k / 10);
    const postures = times.map((t) => lift.postureAt(t));
    const truth = postures.map((posture) => trueMeasures(posture).centreOfMass[0]);
    const { lifter, equipment } = lift.setup;
    const found = (trunk: 'bends' | 'straight') => {
      const at = (k: number) =>
        Object.fromEntries(landmarksOf(postures[k], equipment)) as unknown as Record<string, Point>;
      const recording = makeRecording({
        athlete: { sex: lifter.build.sex, massKg: lifter.build.massKg },
        load: { totalKg: equipment.loadKg, bar: { position: 'front rack' } },
        settings: { trunk },
      });
      const { segments, barbell } = bodyMotion(makeTrajectories(times.length, 10, at), recording);
      const bodies = [...segments, barbell!];
      const massKg = bodies.reduce((sum, body) => sum + body.massKg, 0);
      return rms(
        truth.map((x, k) => bodies.reduce((sum, body) => sum + body.massKg * body.centre[3 * k], 0) / massKg - x),
      );
    };
    expect(found('bends')).toBeLessThan(0.85 * found('straight'));
  });
});
