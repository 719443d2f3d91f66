import { SEGMENT_TABLES, type SegmentTableName, type Sex } from '../capture/recording.ts';
import { deLevaLengths, deLevaTable } from './de-leva-1996.ts';
import { dempsterWinterTable } from './dempster-winter-2009.ts';
import { dumasTable } from './dumas-2007.ts';
import {
  type MeanLengths,
  SEGMENT_KINDS,
  type SegmentKind,
  type SegmentParameters,
  type SegmentTable,
  type SolidParameters,
  type SolidShares,
} from './segment-table.ts';

/**
 * The published table for an athlete. Where the sex is not stated, the mean of women and men in every number; what that
 * hides is told by `sexDifference`. Dempster–Winter has one table for all.
 */
export function tableFor(name: SegmentTableName, sex: Sex): SegmentTable {
  if (name === 'dempster-winter-2009') return dempsterWinterTable();
  const table = name === 'dumas-2007' ? dumasTable : deLevaTable;
  return sex === 'unknown' ? meanTable(table('female'), table('male')) : table(sex);
}

/** The tables a recording does not use: what they would give belongs beside what it uses. */
export function otherTables(used: SegmentTableName): readonly SegmentTableName[] {
  return SEGMENT_TABLES.filter((name) => name !== used);
}

/** Mean lengths of de Leva's sample, for the placing rules of every table (Winter's prints none). */
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
      ...(one.solid && other.solid ? { solid: meanSolid(one.solid, other.solid) } : {}),
    };
  }
  return { name: a.name, sex: 'unknown', source: `${a.source}, mean of women and men`, segments };
}

function meanSolid(one: SolidParameters, other: SolidParameters): SolidParameters {
  return {
    ...one,
    forward: (one.forward + other.forward) / 2,
    up: (one.up + other.up) / 2,
    right: (one.right + other.right) / 2,
    inertia: one.inertia.map((share, k) => (share + other.inertia[k]) / 2) as unknown as SolidShares,
  };
}
