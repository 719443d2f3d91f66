import { describe, expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { deLevaTable } from '../../src/body/de-leva-1996.ts';
import {
  DUMAS_2007,
  DUMAS_FOOT_SHARE,
  DUMAS_TRUNK_M,
  dumasRow,
  dumasTable,
  inertiaShares,
} from '../../src/body/dumas-2007.ts';
import { SEGMENT_KINDS, type SegmentTable, type SolidShares } from '../../src/body/segment-table.ts';
import { otherTables, tableFor } from '../../src/body/table-for.ts';
import { eigenSymmetric } from '../../src/numerics/symmetric-eigen.ts';
import { drawnTable, unchangedBody } from '../../src/uncertainty/chain.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { lifterPoints, makeRecording, makeTrajectories, squatPosture } from './made-lifter.ts';
import { mirrored, posedBody, SOME_POSE } from './posed-body.ts';

type Sex = 'female' | 'male';
interface DumasCase {
  sex: Sex;
  segment: string;
  massFraction: number;
  centre: number[];
  radii: number[];
  products: number[];
}
const printed = reference<DumasCase>('body-dumas-2007');
const restated = printed.restated as DumasCase[];

const wholeBody = (table: SegmentTable) =>
  SEGMENT_KINDS.reduce(
    (sum, kind) => sum + table.segments[kind].massFraction * (kind === 'head' || kind === 'trunk' ? 1 : 2),
    0,
  );
const principal = ([xx, yy, zz, xy, xz, yz]: SolidShares) =>
  [...eigenSymmetric(Float64Array.of(xx, xy, xz, xy, yy, yz, xz, yz, zz), 3).values].sort((a, b) => a - b);

describe('Dumas et al. (2007, 2015)', () => {
  test('every row is held, and no other', () => {
    expect(DUMAS_2007.female.length + DUMAS_2007.male.length).toBe(printed.cases.length);
  });

  // Hands stand as in the second reading, whose length ends at the knuckles as ours does.
  const held = [
    ...printed.cases.filter(({ segment }) => segment !== 'hand'),
    ...restated.filter(({ segment }) => segment === 'hand'),
  ];
  test.each(held)('$sex $segment as read', ({ sex, ...row }) => {
    expect(dumasRow(sex, row.segment)).toEqual(row);
  });

  test.each(['female', 'male'] as const)('%s: masses sum as published', (sex) => {
    const sums = printed.massSum as { female: number; male: number; tolerance: number };
    expectClose(wholeBody(dumasTable(sex)), sums[sex], sums.tolerance, `${sex} sum`);
  });

  test('the second reading agrees within one unit of the last digit, but for two signs of the women’s thigh', () => {
    const differing: string[] = [];
    for (const { sex, ...other } of restated) {
      if (other.segment === 'hand') continue;
      const row = dumasRow(sex, other.segment);
      expectClose(row.massFraction, other.massFraction, 1e-12, `${other.segment} mass`);
      expectAllClose(row.centre, other.centre, 0.0011, `${sex} ${other.segment} centre`);
      expectAllClose(row.radii, other.radii, 0.011, `${sex} ${other.segment} radii`);
      expectAllClose(
        row.products.map(Math.abs),
        other.products.map(Math.abs),
        0.011,
        `${sex} ${other.segment} products`,
      );
      row.products.forEach((product, k) => {
        if (Math.sign(product) !== Math.sign(other.products[k]))
          differing.push(`${sex} ${other.segment} ${['xy', 'xz', 'yz'][k]}`);
      });
    }
    expect(differing).toEqual(['female thigh xy', 'female thigh xz']);
  });

  test('the hand to the fingertips and the hand to the knuckles are one hand: one ratio of lengths in centre and radii', () => {
    for (const sex of ['female', 'male'] as const) {
      const tips = printed.cases.find((row) => row.sex === sex && row.segment === 'hand')!;
      const knuckles = dumasRow(sex, 'hand');
      const ratio = knuckles.centre[1] / tips.centre[1];
      // Radii are printed to 0.01 of 0.24 and 0.56: 4 % and 1 %.
      for (const k of [0, 2]) expectClose(knuckles.radii[k] / tips.radii[k], ratio, 0.05 * ratio, `${sex} radius ${k}`);
      expectClose(ratio, 2.35, 0.01, `${sex} ratio`);
    }
  });

  test.each(printed.cases)('$sex $segment: a body can have this inertia', ({ sex, segment }) => {
    const [a, b, c] = principal(inertiaShares(dumasRow(sex, segment)));
    expect(a).toBeGreaterThan(0);
    expect(a + b).toBeGreaterThanOrEqual(c);
  });
});

describe('the trunk put together from pelvis, abdomen and thorax', () => {
  const torso = printed.torso2007 as unknown as Record<Sex, DumasCase>;
  const lengths = printed.meanLengthsMm as unknown as Record<
    Sex,
    Record<'thorax' | 'abdomen' | 'pelvis' | 'torso', number>
  >;

  test.each(['female', 'male'] as const)('%s: as the undivided torso of 2007 with the pelvis gives', (sex) => {
    const { thorax, abdomen, pelvis, torso: torsoMm } = lengths[sex];
    expectAllClose(
      [DUMAS_TRUNK_M[sex].thorax, DUMAS_TRUNK_M[sex].abdomen, DUMAS_TRUNK_M[sex].pelvis],
      [thorax / 1000, abdomen / 1000, pelvis / 1000],
      1e-12,
      'lengths, m',
    );
    const { massFraction, centreFraction, transverseRadiusFraction } = dumasTable(sex).segments.trunk;
    const hips = dumasRow(sex, 'pelvis');
    const parts = [
      { mass: hips.massFraction, at: pelvis * (1 + hips.centre[1]), radius: hips.radii[2] * pelvis },
      {
        mass: torso[sex].massFraction,
        at: pelvis + torsoMm * (1 + torso[sex].centre[1]),
        radius: torso[sex].radii[2] * torsoMm,
      },
    ];
    const mass = parts[0].mass + parts[1].mass;
    const at = (parts[0].mass * parts[0].at + parts[1].mass * parts[1].at) / mass;
    const inertia = parts.reduce((sum, part) => sum + part.mass * (part.radius ** 2 + (part.at - at) ** 2), 0) / mass;
    expectClose(massFraction, mass, 1e-9, 'mass');
    // The two parts end to end are longer than the straight torso (by 18 and 8 mm), which is how far the two may differ.
    const lengthMm = (pelvis + abdomen + thorax) * (sex === 'male' ? 515.5 / 603.3 : 497.9 / 614.8);
    const bentMm = thorax + abdomen - torsoMm;
    expectClose(centreFraction * lengthMm, at, bentMm, 'centre above mid-hip, mm');
    expectClose(transverseRadiusFraction * lengthMm, Math.sqrt(inertia), bentMm, 'radius, mm');
  });

  test.each(['female', 'male'] as const)("%s: its centre lies within 3 % of the length of de Leva's", (sex) => {
    // Two samples and two ways to find them (stereophotogrammetry with uniform density, gamma scanning): 3 % are 15 mm.
    const [dumas, deLeva] = [dumasTable(sex), deLevaTable(sex)].map((table) => table.segments.trunk);
    expectClose(dumas.centreFraction, deLeva.centreFraction, 0.03, 'centre');
  });

  test('a body can have its inertia; the tensor about Z is the transverse radius', () => {
    for (const sex of ['female', 'male', 'unknown'] as const) {
      const { solid, transverseRadiusFraction } = tableFor('dumas-2007', sex).segments.trunk;
      const [a, b, c] = principal(solid!.inertia);
      expect(a).toBeGreaterThan(0);
      expect(a + b).toBeGreaterThanOrEqual(c);
      if (sex !== 'unknown') expectClose(Math.sqrt(solid!.inertia[2]), transverseRadiusFraction, 1e-12, 'radius');
    }
  });
});

test('the share of the foot that its table counts in is the ratio of its two scales', () => {
  const whole = printed.foot2007 as unknown as Record<Sex, number[]>;
  const ratios = (['female', 'male'] as const).flatMap((sex) =>
    whole[sex].map((r, k) => r / dumasRow(sex, 'foot').radii[k]),
  );
  // Six radii printed to 0.005 of 0.11–0.25, each with its own rounding: 2–5 %, a third of it in their mean.
  expectClose(ratios.reduce((sum, ratio) => sum + ratio, 0) / 6, DUMAS_FOOT_SHARE, 0.01, 'mean ratio');
  for (const ratio of ratios) expectClose(ratio, DUMAS_FOOT_SHARE, 0.05 * DUMAS_FOOT_SHARE, 'ratio');
});

describe('the foot against the other table', () => {
  test.each(['female', 'male'] as const)(
    "%s: its centre along the sole lies within 4 %% of the foot of de Leva's; the radius is men's 1 %%, women's 10 %% smaller",
    (sex) => {
      // de Leva counts from the heel. The ankle stands 0.19 of the foot's length ahead of it: common practice, no source (± 0.02).
      const [dumas, deLeva] = [dumasTable(sex), deLevaTable(sex)].map((table) => table.segments.foot);
      expectClose(0.19 + dumas.centreFraction, deLeva.centreFraction, 0.04, 'centre');
      // Two samples of feet; half a unit of the printed 0.48 and 0.50 is 1 %.
      const ratio = dumas.transverseRadiusFraction / deLeva.transverseRadiusFraction;
      expectClose(ratio, { female: 0.905, male: 0.99 }[sex], 0.01, 'radius');
    },
  );
});

describe('solid segments of a motion', () => {
  const SOLID = ['trunk', 'left_thigh', 'right_thigh', 'left_shank', 'right_shank', 'left_foot', 'right_foot'];
  const recording = makeRecording({ segments: 'dumas-2007' });
  const motion = bodyMotion(
    makeTrajectories(40, 60, (frame) => lifterPoints(squatPosture(frame / 20))),
    recording,
  );

  test('thighs, shanks, feet and trunk are solid, the rest is not; whole mass as the table sums', () => {
    const solid = motion.segments.filter((segment) => segment.solid).map(({ name }) => name);
    expect(solid).toEqual(SOLID);
    expectClose(
      motion.segments.reduce((sum, { massKg }) => sum + massKg, 0),
      80 * 1.002,
      1e-9,
      'mass, kg',
    );
  });

  test('their frame is a rotation wherever the centre is known', () => {
    for (const { centre, solid } of motion.segments) {
      if (!solid) continue;
      for (let f = 0; f < 40; f++) {
        expect(Number.isFinite(centre[3 * f])).toBe(true);
        const r = solid.labFromSegment.subarray(9 * f, 9 * f + 9);
        const determinant =
          r[0] * (r[4] * r[8] - r[5] * r[7]) - r[1] * (r[3] * r[8] - r[5] * r[6]) + r[2] * (r[3] * r[7] - r[4] * r[6]);
        expectClose(determinant, 1, 1e-12, 'determinant');
      }
    }
  });

  test('a hip that is missing for a moment takes its thigh’s frame away, not the other thigh’s', () => {
    const gap = bodyMotion(
      makeTrajectories(40, 60, (frame) => ({
        ...lifterPoints(squatPosture(frame / 20)),
        left_hip: frame === 7 ? undefined : lifterPoints(squatPosture(frame / 20)).left_hip,
      })),
      recording,
    );
    const of = (name: string) => gap.segments.find((segment) => segment.name === name)!;
    expect(of('left_thigh').centre[21]).toBeNaN();
    expect(of('right_thigh').centre[21]).not.toBeNaN();
    expect(of('right_thigh').solid!.labFromSegment[63]).not.toBeNaN();
  });

  test('standing: the centres lie beside the line as published (men: thigh 41, 33, shank 48, 7 thousandths of its length)', () => {
    const at = (name: string) => [...motion.segments.find((segment) => segment.name === name)!.centre.subarray(0, 3)];
    const slender = (from: readonly number[], to: readonly number[], share: number) =>
      from.map((x, i) => x + share * (to[i] - x));
    const { right_hip, right_knee, left_hip, left_knee } = lifterPoints(squatPosture(0));
    const length = Math.hypot(...right_hip.map((x, i) => right_knee[i] - x));
    for (const [name, hip, knee, out] of [
      ['right_thigh', right_hip, right_knee, 1],
      ['left_thigh', left_hip, left_knee, -1],
    ] as const) {
      const line = slender(hip, knee, 0.429);
      const beside = at(name).map((x, i) => (x - line[i]) / length);
      expectClose(Math.hypot(...beside), Math.hypot(0.041, 0.033), 1e-9, `${name}: distance`);
      // The thigh of this lifter leans by 3° and turns out by 12°.
      expectClose(beside[0], -0.041, 0.003, `${name}: forward`);
      expectClose(out * beside[2], 0.033, 0.003, `${name}: outward`);
    }
  });

  test('the foot: its centre counts from the ankle along the sole', () => {
    const foot = motion.segments.find(({ name }) => name === 'right_foot')!;
    const { right_ankle, right_heel, right_big_toe } = lifterPoints(squatPosture(0));
    const length = Math.hypot(...right_heel.map((x, i) => right_big_toe[i] - x));
    expectClose(foot.lengthM, length, 1e-12, 'length, m');
    expectClose(
      Math.hypot(...[0, 1, 2].map((i) => foot.centre[i] - right_ankle[i])),
      length * 0.505 * Math.hypot(0.502, 0.199, 0.034),
      1e-12,
      'distance from the ankle, m',
    );
    expect(foot.centre[0] - right_ankle[0]).toBeGreaterThan(0.04);
    expect(foot.centre[1]).toBeLessThan(right_ankle[1]);
  });

  test('left and right of a mirrored lifter: centres mirrored, tensors with the signs of xz and yz turned', () => {
    const points = posedBody(SOME_POSE);
    const of = (given: typeof points) =>
      bodyMotion(
        makeTrajectories(1, 60, () => given),
        recording,
      ).segments;
    const [one, other] = [of(points), of(mirrored(points))];
    for (const name of ['thigh', 'shank', 'foot']) {
      const left = one.find((segment) => segment.name === `left_${name}`)!;
      const right = other.find((segment) => segment.name === `right_${name}`)!;
      expectAllClose([left.centre[0], left.centre[1], -left.centre[2]], right.centre, 1e-12, `${name} centre`);
      const flips = [1, 1, -1, 1, 1, -1, -1, -1, 1];
      expectAllClose(
        left.solid!.inertiaKgM2.map((x, k) => x * flips[k]),
        right.solid!.inertiaKgM2,
        1e-14,
        `${name} tensor`,
      );
      // The tensor in the axes of the lab, of the one in those of the other.
      const inLab = ({ labFromSegment: r, inertiaKgM2: t }: NonNullable<typeof left.solid>) =>
        Float64Array.from({ length: 9 }, (_, ij) => {
          const [i, j] = [Math.floor(ij / 3), ij % 3];
          let sum = 0;
          for (let a = 0; a < 3; a++) for (let b = 0; b < 3; b++) sum += r[3 * i + a] * t[3 * a + b] * r[3 * j + b];
          return sum;
        });
      expectAllClose(
        inLab(left.solid!).map((x, k) => x * flips[k]),
        inLab(right.solid!),
        1e-14,
        `${name} in the lab`,
      );
    }
  });

  test('draws of mass and centre keep the solid: inertia goes with the mass, offsets stay', () => {
    const body = unchangedBody();
    body.segmentMass.thigh = 0.2;
    body.segmentCentre.thigh = 0.05;
    const table = tableFor('dumas-2007', 'male');
    const drawn = drawnTable(table, body);
    expectClose(wholeBody(drawn), wholeBody(table), 1e-12, 'sum of masses');
    const trajectories = makeTrajectories(2, 60, () => lifterPoints(squatPosture(0.2)));
    const thigh = (of: SegmentTable) =>
      bodyMotion(trajectories, recording, of).segments.find(({ name }) => name === 'left_thigh')!;
    const [before, after] = [thigh(table), thigh(drawn)];
    expectAllClose(
      after.solid!.inertiaKgM2.map((x) => (x / after.massKg) * before.massKg),
      before.solid!.inertiaKgM2,
      1e-14,
      'inertia per mass',
    );
    const moved = [0, 1, 2].map((i) => after.centre[i] - before.centre[i]);
    expectAllClose(
      moved,
      [0, 1, 2].map((i) => 0.05 * after.lengthM * after.axis[i]),
      1e-12,
      'moved along the thigh',
    );
  });
});

test('every table stands for every sex, and the others of a recording are named', () => {
  expect(otherTables('de-leva-1996')).toEqual(['dempster-winter-2009', 'dumas-2007']);
  for (const name of ['de-leva-1996', 'dempster-winter-2009', 'dumas-2007'] as const) {
    for (const sex of ['female', 'male', 'unknown'] as const) {
      const table = tableFor(name, sex);
      expect(table.name).toBe(name);
      for (const kind of SEGMENT_KINDS) expect(table.segments[kind].massFraction).toBeGreaterThan(0);
      expectClose(wholeBody(table), 1, 0.0021, `${name} ${sex}`);
    }
  }
  // The mean of women and men is one in every number, solids too.
  const [mean, women, men] = (['unknown', 'female', 'male'] as const).map(
    (sex) => tableFor('dumas-2007', sex).segments.thigh.solid!,
  );
  expectAllClose(
    mean.inertia,
    women.inertia.map((x, k) => (x + men.inertia[k]) / 2),
    1e-15,
    'inertia',
  );
});
