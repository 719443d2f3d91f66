import { describe, test } from '@jest/globals';
import { dempsterWinterTable } from '../../src/body/dempster-winter-2009.ts';
import { betweenEnds } from '../../src/body/placing.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

interface LimbCase {
  kind: 'foot' | 'shank' | 'thigh';
  proximal: string;
  distal: string;
  centreM: [number, number];
  inertiaKgM2: number;
}

const example = reference<LimbCase>('body-limb-example') as unknown as {
  tolerance: number;
  bodyMassKg: number;
  pointsM: Record<string, [number, number]>;
  limb: { centreM: [number, number]; inertiaAboutCentreKgM2: number; inertiaAboutHipKgM2: number };
  cases: LimbCase[];
};
const { tolerance, bodyMassKg, pointsM, limb } = example;
const point = (name: string) => Float64Array.of(...pointsM[name], 0);
const segment = ({ kind, proximal, distal }: LimbCase) =>
  betweenEnds(`right_${kind}`, dempsterWinterTable().segments[kind], bodyMassKg, point(proximal), point(distal));

describe('a worked lower limb (Duarte and Watanabe, notebook BodySegmentParameters)', () => {
  test.each(example.cases)('$kind: centre and inertia', (printed) => {
    const found = segment(printed);
    expectClose(found.centre[0], printed.centreM[0], tolerance, 'x, m');
    expectClose(found.centre[1], printed.centreM[1], tolerance, 'y, m');
    expectClose(found.transverseInertiaKgM2, printed.inertiaKgM2, tolerance, 'inertia, kg m²');
  });

  const about = (x: number, y: number) =>
    example.cases
      .map(segment)
      .reduce(
        (sum, { massKg, centre, transverseInertiaKgM2 }) =>
          sum + transverseInertiaKgM2 + massKg * ((centre[0] - x) ** 2 + (centre[1] - y) ** 2),
        0,
      );

  test('the limb: centre of mass, inertia about it and about the hip', () => {
    const parts = example.cases.map(segment);
    const massKg = parts.reduce((sum, part) => sum + part.massKg, 0);
    const centre = [0, 1].map((axis) => parts.reduce((sum, part) => sum + part.massKg * part.centre[axis], 0) / massKg);
    expectClose(centre[0], limb.centreM[0], tolerance, 'x, m');
    expectClose(centre[1], limb.centreM[1], tolerance, 'y, m');
    expectClose(about(centre[0], centre[1]), limb.inertiaAboutCentreKgM2, tolerance, 'about the centre, kg m²');
    expectClose(about(pointsM.hip[0], pointsM.hip[1]), limb.inertiaAboutHipKgM2, tolerance, 'about the hip, kg m²');
  });
});
