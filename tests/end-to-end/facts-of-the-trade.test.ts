import { describe, expect, test } from '@jest/globals';
import type { BarPosition } from '../../src/capture/recording.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { expectClose } from '../expect-close.ts';
import { type Analysed, analysedData, measured, timeOf } from '../synthetic/analysed.ts';
import { type Course, courseOf } from '../synthetic/course.ts';
import { DEMO_RECORDINGS, demoFilming, equipmentOf, KNEE_LED } from '../synthetic/demo.ts';
import type { Filming } from '../synthetic/film.ts';
import { recordingOf } from '../synthetic/in-memory.ts';
import { type VirtualLift, virtualLift } from '../synthetic/lift.ts';
import { type Build, lifterOf, type World } from '../synthetic/lifter.ts';
import type { Setup, Style } from '../synthetic/posture.ts';
import { backBarLift, balancedLean, footPointOf, leanHeldLift } from '../synthetic/solved-lifters.ts';

/**
 * What coaches know, found again by the analyser on lifters whose posture nobody scripted: leg angles are habits, the rest is
 * solved from balance (tests/synthetic/posture.ts, solved-lifters.ts). Films carry the noise of a detector, trunks bend and
 * segments are not the analyser's. All invented.
 *
 * Each fact is a question to readings of the analysis with a margin of several interval half-widths (about 1 degree of lean,
 * 0.02 of the foot), and is also asked of a lifter for whom it must not hold.
 */
const deg = Math.PI / 180;
const PLANNED = courseOf(
  { repetitions: 1, descentS: 1.8, pauseS: 0.3, ascentS: 1.8, leadInS: 0.9, restS: 0, leadOutS: 0.9, sticking: 0.2 },
  1,
);
/** To the deepest posture, where lifters who led with hips or knees meet. */
const COURSE: Course = { ...PLANNED, repetitions: PLANNED.repetitions.map((plan) => ({ ...plan, depth: 1 })) };
const FILMING: Filming = { ...demoFilming(DEMO_RECORDINGS[0]), discsHide: false };

function build(id: string, limbs: Pick<Build, 'femurPerTibia' | 'trunkPerFemur'>, ankleDeg: number): Build {
  return {
    id,
    sex: 'male',
    massKg: 78,
    statureM: 1.76,
    ...limbs,
    footPerStature: 0.152,
    hipWidthPerStature: 0.099,
    shoulderWidthPerStature: 0.21,
    dorsiflexionLimitRad: ankleDeg * deg,
    seed: 7,
  };
}

const MIDDLING = { femurPerTibia: 1, trunkPerFemur: 1.22 };
const EVEN: Style = {
  ...KNEE_LED,
  name: 'even',
  shankShape: 0.3,
  shankLeadS: 0,
  wantedShankRad: 34 * deg,
  deepestThighRad: -24 * deg,
  standingFootPoint: 0.45,
  deepFootPoint: 0.45,
};

function setup(body: Build, style: Style = EVEN, heel: 'flat' | 'raised' = 'flat', world: World = 'outside'): Setup {
  return { lifter: lifterOf(body, world), style, equipment: equipmentOf(body.sex, 80, heel) };
}

const solved = (...of: Parameters<typeof setup>): VirtualLift => virtualLift(setup(...of), COURSE);

function analysis(lift: VirtualLift, bar: BarPosition = 'front rack', filming = FILMING): Analysed {
  const { data, rig } = recordingOf(lift, filming, { decimals: 2 });
  const { load } = data.recording;
  const recording = { ...data.recording, load: { ...load, bar: { ...load.bar, position: bar } } };
  return analysedData(lift, filming, { ...data, recording }, rig);
}

const read = (run: Analysed, measure: string, at: string): number => {
  const value = measured(run, measure, at, 1);
  if (Number.isNaN(value)) throw new Error(`${measure} at ${at} is unknown`);
  return value;
};
const lean = (run: Analysed, at: string) => read(run, 'trunk_lean', at);

describe('long thighs, short trunk (common practice, no source)', () => {
  const long = analysis(solved(build('long thighs', { femurPerTibia: 1.06, trunkPerFemur: 1.1 }, 36)));
  const short = analysis(solved(build('short thighs', { femurPerTibia: 0.92, trunkPerFemur: 1.36 }, 36)));

  /** Within 20 degrees of parallel, and at the bottom at least 4 degrees less. */
  const largestAroundParallel = (run: Analysed): boolean =>
    Math.abs(read(run, 'largest_lean_depth', 'largest')) < 20 && lean(run, 'largest') - lean(run, 'bottom') > 4;
  const leansMore = (a: Analysed, b: Analysed): boolean =>
    (['largest', 'parallel'] as const).every((at) => lean(a, at) - lean(b, at) > 6);

  test('the lean is largest around parallel and less at the bottom', () => {
    expect(largestAroundParallel(long)).toBe(true);
  });

  test('they lean more than a lifter of the same stature with short thighs and a long trunk', () => {
    expect(leansMore(long, short)).toBe(true);
  });

  test('not so: the same lifter who stops above parallel leans most at the bottom; short thighs do not lean more', () => {
    const high = analysis(solved(long.lift.setup.lifter.build, { ...EVEN, deepestThighRad: 22 * deg }));
    expect(largestAroundParallel(high)).toBe(false);
    expect(leansMore(short, long)).toBe(false);
  });
});

/**
 * Direction: Monteiro et al. (2022), Human Movement 23(2):97–103, trunk inclination barefoot > 25 mm > 50 mm wedge; Sato et al.
 * (2012), J Strength Cond Res 26(1):28–33. Not every study finds it (Lee et al. 2019, J Strength Cond Res): it should hang on
 * whether the ankle is what stops the shin, and here it does. Hip share: Lu et al. (2022), Bioengineering 9(7):301, men.
 */
describe('a raised heel', () => {
  const wanting: Style = { ...EVEN, wantedShankRad: 38 * deg };
  const pair = (ankleDeg: number) =>
    (['flat', 'raised'] as const).map((heel) => analysis(solved(build('ankles', MIDDLING, ankleDeg), wanting, heel)));
  const [flat, raised] = pair(26);

  const moreUpright = (a: Analysed, b: Analysed): boolean =>
    (['parallel', 'bottom'] as const).every((at) => lean(b, at) - lean(a, at) > 4);
  const lessHip = (a: Analysed, b: Analysed): boolean =>
    (['hip_share', 'hip_share_gravity'] as const).every(
      (share) => read(b, share, 'parallel') - read(a, share, 'parallel') > 0.05,
    );

  test('lets a lifter with stiff ankles sit more upright, with a smaller hip share', () => {
    expect(moreUpright(raised, flat)).toBe(true);
    expect(lessHip(raised, flat)).toBe(true);
  });

  test('not so: for ankles that bend as far as the lifter wants it changes little; nor does a flat shoe do it', () => {
    const [free, freeRaised] = pair(50);
    expect(moreUpright(freeRaised, free)).toBe(false);
    expect(lessHip(freeRaised, free)).toBe(false);
    expect(moreUpright(flat, raised)).toBe(false);
    expect(lessHip(flat, raised)).toBe(false);
  });
});

/**
 * Both hold the trunk as a lifter does who starts evenly and stays in balance; only hips or knees go first. Nobody says where
 * the weight is to stand.
 */
describe('hips first, knees first (common practice, no source)', () => {
  const body = build('middling', MIDDLING, 40);
  const habit = balancedLean(setup(body));
  const led = (name: string, shankShape: number, shankLeadS: number) =>
    leanHeldLift(setup(body, { ...EVEN, name, shankShape, shankLeadS }), COURSE, habit);
  const [hipsFirst, kneesFirst] = [led('hips first', -0.3, -0.06), led('knees first', 0.7, 0.06)];
  const [hips, knees] = [hipsFirst, kneesFirst].map((lift) => analysis(lift));

  const toTheRear = (a: Analysed, b: Analysed): boolean =>
    read(a, 'com_rear_shift', 'largest') > 0.1 &&
    read(a, 'com_rear_shift', 'largest') - read(b, 'com_rear_shift', 'largest') > 0.1;

  test('a start from the hips brings the mass to the rear, a start from the knees does not', () => {
    expect(toTheRear(hips, knees)).toBe(true);
    expect(read(hips, 'knee_share_of_start', 'descent')).toBeLessThan(
      read(knees, 'knee_share_of_start', 'descent') - 0.2,
    );
  });

  test('both end in the same posture: what differs is who goes first', () => {
    expectClose(lean(hips, 'bottom'), lean(knees, 'bottom'), 1, 'lean at the bottom');
    expectClose(
      read(hips, 'com_along_foot', 'bottom'),
      read(knees, 'com_along_foot', 'bottom'),
      0.02,
      'mass at the bottom',
    );
  });

  test('neither falls: the mass stays over the foot, and what is found is what is true', () => {
    for (const run of [hips, knees]) {
      const points = Array.from({ length: run.loads.frames }, (_, k) =>
        footPointOf(run.lift.postureAt(timeOf(run, k))),
      );
      expect(Math.min(...points)).toBeGreaterThan(0.05);
      expect(Math.max(...points)).toBeLessThan(0.95);
      // Other segments than the analyser's and a bending trunk: 0.05 of a foot is 13 mm.
      expectClose(read(run, 'com_rear_shift', 'largest'), points[0] - Math.min(...points), 0.05, 'shift to the rear');
    }
  });

  test('not so: asked the other way round', () => {
    expect(toTheRear(knees, hips)).toBe(false);
  });
});

/** Direction: Diggin et al. (2011), ISBS, and Yavuz et al. (2015), J Sports Sci 33:1058: trunk lean back > front. */
describe('the bar in front or on the upper back', () => {
  const lifter = setup(build('middling', MIDDLING, 40));
  const front = analysis(virtualLift(lifter, COURSE));
  const back = analysis(backBarLift(lifter, COURSE), 'high back');
  const moreUpright = (a: Analysed, b: Analysed): boolean =>
    (['parallel', 'bottom', 'largest'] as const).every((at) => lean(b, at) - lean(a, at) > 5);

  test('the same lifter with the same legs over the same part of the foot is more upright with the bar in front', () => {
    expect(moreUpright(front, back)).toBe(true);
    expectClose(read(front, 'com_along_foot', 'parallel'), read(back, 'com_along_foot', 'parallel'), 0.06, 'foot');
    expectClose(read(front, 'shank_inclination', 'parallel'), read(back, 'shank_inclination', 'parallel'), 1, 'shin');
  });

  test('not so: asked the other way round', () => {
    expect(moreUpright(back, front)).toBe(false);
  });
});

/**
 * Closed form. Cut at the hips and at the knees, W the weight above the hips, w that of the thighs: the hip must hold
 * W (x − x_hip), the knee W (x_knee − x) + w (x_knee − x_thigh), x the place of what is above. The sum has no x: with level
 * thighs and the same load it is the same however the lifter leans. Feet straight and as wide as the hips, so that the whole
 * thigh is seen from the side; the analyser's own assumptions and an exact film, so that the two can be held to each other.
 */
describe('at equal depth and load: what the knee loses the hip gains', () => {
  const body = build('middling', MIDDLING, 40);
  const exact: Filming = {
    ...FILMING,
    noise: null,
    views: FILMING.views.map((view) => ({ ...view, offsetS: 0, readoutS: 0, bias: {} })),
  };
  const inside = (shankDeg: number, loadKg = 80): Analysed => {
    const lifter = lifterOf(body, 'inside');
    const style = { ...EVEN, wantedShankRad: shankDeg * deg, toeOutRad: 0, ankleDistanceM: lifter.lengths.hipWidth };
    return analysis(
      virtualLift({ lifter, style, equipment: equipmentOf('male', loadKg, 'flat') }, COURSE),
      'front rack',
      exact,
    );
  };
  const [upright, leaning] = [inside(39), inside(25)];

  /** Gravity part of both moments where the thighs are level on the way down, between frames, N·m. */
  function atParallel(run: Analysed): { hip: number; knee: number } {
    const at = (quantity: string): number =>
      run.record.curves.find(
        (point) =>
          point.quantity === quantity &&
          point.side === 'both' &&
          point.phase === 'descent' &&
          point.grid === 'thigh_elevation_deg' &&
          point.depth === 0,
      )?.value ?? Number.NaN;
    return { hip: at('hip_moment_gravity'), knee: at('knee_moment_gravity') };
  }

  function closedForm({ lift: { setup: s } }: Analysed): number {
    const { lengths, massKg: m, segments } = s.lifter;
    const aboveKg = m.trunk + m.head + 2 * (m.upperArm + m.forearm + m.hand) + s.equipment.loadKg;
    return GRAVITY_M_PER_S2 * lengths.femur * (aboveKg + 2 * m.thigh * (1 - segments.thigh.centrePct / 100));
  }

  /** More than 40 N·m go over to the hip, and they are those of the knee within 0.5 %. */
  const gains = (a: Analysed, b: Analysed): boolean => {
    const [x, y] = [atParallel(a), atParallel(b)];
    const gained = y.hip - x.hip;
    return gained > 40 && Math.abs(gained - (x.knee - y.knee)) < 0.005 * gained;
  };

  test('hip and knee together are the closed form', () => {
    for (const run of [upright, leaning]) {
      const { hip, knee } = atParallel(run);
      // What smoothing and reading between two frames leave; either moment alone differs by 117 N·m between the two lifters.
      expectClose(hip + knee, closedForm(run), 0.0005 * closedForm(run), 'hip and knee');
    }
  });

  test('the hip of the leaning lifter gains what the knee loses', () => {
    expect(gains(upright, leaning)).toBe(true);
  });

  test('not so: with another load, or asked the other way round', () => {
    expect(gains(upright, inside(25, 90))).toBe(false);
    expect(gains(leaning, upright)).toBe(false);
  });
});
