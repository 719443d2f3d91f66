import type { SegmentTableName, Sex } from '../capture/recording.ts';
import { deLevaLengths, deLevaTable } from './de-leva-1996.ts';
import { dempsterWinterTable } from './dempster-winter-2009.ts';
import {
  type MeanLengths,
  SEGMENT_KINDS,
  type SegmentKind,
  type SegmentParameters,
  type SegmentTable,
} from './segment-table.ts';

/**
 * The published table for an athlete. Where the sex is not stated, the mean of women and men in every number; what that
 * hides is told by `sexDifference`. Dempster–Winter has one table for all.
 */
export function tableFor(name: SegmentTableName, sex: Sex): SegmentTable {
  if (name === 'dempster-winter-2009') return dempsterWinterTable();
  return sex === 'unknown' ? meanTable(deLevaTable('female'), deLevaTable('male')) : deLevaTable(sex);
}

/** Mean lengths of de Leva's sample, for the placing rules of either table (Winter's prints none). */
export function meanLengthsFor(sex: Sex): MeanLengths {
  if (sex !== 'unknown') return deLevaLengths(sex);
  const women = deLevaLengths('female');
  const men = deLevaLengths('male');
  const mean = (of: keyof MeanLengths) => (women[of] + men[of]) / 2;
  return {
    trunkM: mean('trunkM'),
    upperArmM: mean('upperArmM'),
    forearmM: mean('forearmM'),
    handM: mean('handM'),
    thighM: mean('thighM'),
    shankM: mean('shankM'),
    footM: mean('footM'),
    shouldersToHeadCentreM: mean('shouldersToHeadCentreM'),
  };
}

/** How far women's and men's numbers lie apart in one segment: men minus women, fractions. Zero where the table is one for all. */
export function sexDifference(
  name: SegmentTableName,
  kind: SegmentKind,
): { readonly massFraction: number; readonly centreFraction: number } {
  const women = tableFor(name, 'female').segments[kind];
  const men = tableFor(name, 'male').segments[kind];
  return {
    massFraction: men.massFraction - women.massFraction,
    centreFraction: men.centreFraction - women.centreFraction,
  };
}

function meanTable(a: SegmentTable, b: SegmentTable): SegmentTable {
  const segments = {} as Record<SegmentKind, SegmentParameters>;
  for (const kind of SEGMENT_KINDS) {
    const one = a.segments[kind];
    const other = b.segments[kind];
    segments[kind] = {
      ...one,
      massFraction: (one.massFraction + other.massFraction) / 2,
      centreFraction: (one.centreFraction + other.centreFraction) / 2,
      transverseRadiusFraction: (one.transverseRadiusFraction + other.transverseRadiusFraction) / 2,
    };
  }
  return { name: a.name, sex: 'unknown', source: `${a.source}, mean of women and men`, segments };
}
