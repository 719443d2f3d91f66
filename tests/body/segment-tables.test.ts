import { describe, expect, test } from '@jest/globals';
import { DE_LEVA_1996, deLevaLengths, deLevaRow, deLevaTable } from '../../src/body/de-leva-1996.ts';
import { DEMPSTER_WINTER_2009, dempsterWinterRow, dempsterWinterTable } from '../../src/body/dempster-winter-2009.ts';
import { SEGMENT_KINDS, type SegmentTable } from '../../src/body/segment-table.ts';
import { meanLengthsFor, sexDifference, tableFor } from '../../src/body/table-for.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

interface DeLevaCase {
  sex: 'female' | 'male';
  segment: string;
  endPoints: string;
  massPct: number;
  lengthMm: number;
  centrePct: number;
  sagittalPct: number;
  transversePct: number;
  longitudinalPct: number;
}
interface WinterCase {
  segment: string;
  endPoints: string;
  massFraction: number;
  centreFraction: number;
  radiusFraction: number | null;
}

const deLeva = reference<DeLevaCase>('body-de-leva-1996');
const winter = reference<WinterCase>('body-dempster-winter-2009');

const wholeBody = (table: SegmentTable) =>
  SEGMENT_KINDS.reduce(
    (sum, kind) => sum + table.segments[kind].massFraction * (kind === 'head' || kind === 'trunk' ? 1 : 2),
    0,
  );

describe('de Leva (1996), Table 4', () => {
  test('every printed row is held, and no other', () => {
    expect(DE_LEVA_1996.female.length + DE_LEVA_1996.male.length).toBe(deLeva.cases.length);
  });

  test.each(deLeva.cases)('$sex $segment as printed', (printed) => {
    const { sex, ...row } = printed;
    expect(deLevaRow(sex, printed.segment)).toEqual(row);
  });

  test.each(['female', 'male'] as const)('%s: limbs by the rows between our own end points', (sex) => {
    // The printed table has other rows for forearm (to the stylion), hand and shank (to a malleolus): 6 mm longer or shorter.
    const { segments } = deLevaTable(sex);
    for (const [kind, segment] of [
      ['upper_arm', 'Upper arm'],
      ['forearm', 'Forearm'],
      ['hand', 'Hand'],
      ['thigh', 'Thigh'],
      ['shank', 'Shank (KJC-AJC)'],
      ['foot', 'Foot'],
    ] as const) {
      const printed = deLeva.cases.find((each) => each.sex === sex && each.segment === segment)!;
      expect(segments[kind].endPoints).toBe(printed.endPoints);
      expectClose(100 * segments[kind].centreFraction, printed.centrePct, 1e-9, `${kind} centre`);
      expectClose(100 * segments[kind].transverseRadiusFraction, printed.transversePct, 1e-9, `${kind} radius`);
    }
  });

  test.each(['female', 'male'] as const)('%s: masses sum to the printed total', (sex) => {
    const sums = deLeva.massSumPct as { female: number; male: number; tolerance: number };
    expectClose(100 * wholeBody(deLevaTable(sex)), sums[sex], sums.tolerance, `${sex} sum, %`);
  });

  const rebuilt = (sex: 'female' | 'male') => {
    let massPct = 0;
    let moment = 0;
    let startMm = 0;
    for (const part of ['Upper trunk', 'Middle trunk', 'Lower trunk']) {
      const { massPct: mass, lengthMm, centrePct } = deLevaRow(sex, part);
      moment += mass * (startMm + (lengthMm * centrePct) / 100);
      massPct += mass;
      startMm += lengthMm;
    }
    return { massPct, centrePct: (100 * moment) / massPct / startMm };
  };
  const parts = deLeva.trunkFromParts as {
    tolerance: number;
    female: { massPct: number; centrePct: number };
    male: { massPct: number; rebuiltCentrePct: number; printedCentrePct: number };
  };

  test('women: upper, middle and lower trunk rebuild the trunk', () => {
    const found = rebuilt('female');
    expectClose(found.massPct, parts.female.massPct, 1e-9, 'mass, %');
    expectClose(found.centrePct, parts.female.centrePct, parts.tolerance, 'centre, %');
  });

  test('men: the trunk rebuilt from its parts misses the printed centre by 0.55 % of its length, as the print does', () => {
    const found = rebuilt('male');
    expectClose(found.massPct, parts.male.massPct, 1e-9, 'mass, %');
    expectClose(found.centrePct, parts.male.rebuiltCentrePct, parts.tolerance, 'centre, %');
    expect(deLevaRow('male', 'Trunk').centrePct).toBe(parts.male.printedCentrePct);
  });

  test('the trunk is turned to run from mid-hip to mid-shoulder', () => {
    expectClose(deLevaTable('male').segments.trunk.centreFraction, 1 - 0.431, 1e-12, 'men');
    expectClose(deLevaTable('female').segments.trunk.centreFraction, 1 - 0.3782, 1e-12, 'women');
  });

  test("Trunk 2 and Trunk 3 put the men's trunk centre at the same height above mid-hip within the printed rounding", () => {
    // One physical point printed against two end points: CERV–MIDH and MIDS–MIDH.
    const above = (segment: string) =>
      (deLevaRow('male', segment).lengthMm * (100 - deLevaRow('male', segment).centrePct)) / 100;
    expectClose(above('Trunk 2'), above('Trunk 3'), 0.1, 'mm above mid-hip');
  });

  test("Head and Head 2 put the head's centre at the same distance from the vertex", () => {
    for (const sex of ['female', 'male'] as const) {
      const below = (segment: string) => (deLevaRow(sex, segment).lengthMm * deLevaRow(sex, segment).centrePct) / 100;
      expectClose(below('Head 2'), below('Head'), 0.1, `${sex}, mm below the vertex`);
    }
    expectClose(deLevaLengths('male').shouldersToHeadCentreM, 0.2092, 1e-4, 'men, mid-shoulder to centre');
  });
});

describe('Winter (2009), Table 4.1', () => {
  test.each(DEMPSTER_WINTER_2009.map((row) => ({ ...row })))('$segment as printed', (row) => {
    const printed = winter.cases.find((each) => each.segment === row.segment);
    expect({ ...row, radiusFraction: Number.isNaN(row.radiusFraction) ? null : row.radiusFraction }).toEqual(printed);
  });

  test('masses sum to 1, and head, arms and trunk to the printed 0.678', () => {
    const table = dempsterWinterTable();
    const { massSum, headArmsTrunk } = winter as unknown as {
      massSum: { value: number; tolerance: number };
      headArmsTrunk: { massFraction: number; tolerance: number };
    };
    expectClose(wholeBody(table), massSum.value, massSum.tolerance, 'whole body');
    const { head, trunk, upper_arm, forearm, hand } = table.segments;
    const sum =
      head.massFraction + trunk.massFraction + 2 * (upper_arm.massFraction + forearm.massFraction + hand.massFraction);
    expectClose(sum, headArmsTrunk.massFraction, headArmsTrunk.tolerance, 'head, arms, trunk');
  });

  test("the trunk's radius, blank in print, gives back the printed radius of trunk with head and neck", () => {
    const whole = dempsterWinterRow('Trunk head neck');
    const head = dempsterWinterRow('Head neck').massFraction;
    const trunk = dempsterWinterTable().segments.trunk;
    // Place of a point head that gives the printed common centre, then the parallel-axis theorem upwards.
    const headAt = (whole.massFraction * whole.centreFraction - trunk.massFraction * trunk.centreFraction) / head;
    const inertia =
      trunk.massFraction * (trunk.transverseRadiusFraction ** 2 + (trunk.centreFraction - whole.centreFraction) ** 2) +
      head * (headAt - whole.centreFraction) ** 2;
    expectClose(Math.sqrt(inertia / whole.massFraction), whole.radiusFraction, 1e-12, 'radius of trunk, head, neck');
    // A uniform rod has 0.289; de Leva prints 0.358 (men) and 0.361 (women) for the same segment.
    expect(trunk.transverseRadiusFraction).toBeGreaterThan(1 / Math.sqrt(12));
    expect(trunk.transverseRadiusFraction).toBeLessThan(deLevaTable('male').segments.trunk.transverseRadiusFraction);
  });
});

describe('tableFor', () => {
  test('sex not stated: the mean of women and men in every number', () => {
    const [mean, women, men] = (['unknown', 'female', 'male'] as const).map((sex) => tableFor('de-leva-1996', sex));
    for (const kind of SEGMENT_KINDS) {
      for (const field of ['massFraction', 'centreFraction', 'transverseRadiusFraction'] as const) {
        const expected = (women.segments[kind][field] + men.segments[kind][field]) / 2;
        expectClose(mean.segments[kind][field], expected, 1e-15, `${kind} ${field}`);
      }
    }
    expectClose(meanLengthsFor('unknown').thighM, (0.3685 + 0.4222) / 2, 1e-12, 'thigh length, m');
  });

  test('the difference between men and women is told as printed: thigh 14.16 − 14.78 %', () => {
    expectClose(100 * sexDifference('de-leva-1996', 'thigh').massFraction, -0.62, 1e-9, 'thigh mass, %');
    expect(sexDifference('dempster-winter-2009', 'thigh')).toEqual({ massFraction: 0, centreFraction: 0 });
  });

  test("the two tables' thighs differ by about 29–32 % of de Leva's (10.0 against 14.16 and 14.78 %)", () => {
    const ratio = (sex: 'female' | 'male') =>
      tableFor('dempster-winter-2009', sex).segments.thigh.massFraction /
      tableFor('de-leva-1996', sex).segments.thigh.massFraction;
    expectClose(ratio('male'), 0.1 / 0.1416, 1e-12, 'men');
    expectClose(ratio('female'), 0.1 / 0.1478, 1e-12, 'women');
  });
});
