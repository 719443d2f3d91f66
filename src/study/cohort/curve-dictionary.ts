import { number, side, type TableEntry, text, whole } from '../dictionary-columns.ts';

/* The tables of the comparison of whole curves over a study. */

const quantity = text('quantity', 'Name of the quantity, as in curves.csv.');
const by = text('by', 'What the curve is compared by: a predictor of the study file.');
const level = text('level', 'The level compared; empty along a covariate.');
const reference = text('reference', 'The level it is compared with.');
const design = text(
  'design',
  '`paired`: within athletes who have both levels; `groups`: two groups of athletes; `covariate`: along a number of the athlete.',
);
const phase = text('phase', '`descent` or `ascent`.');
const grid = text('grid', 'What depth counts, as in curves.csv.');
const depth = number('depth', 'deg', 'Thigh elevation; 0 = parallel, negative below.');
const scale = text(
  'scale',
  '`difference`: level less reference (covariate: change for one unit of it); `factor`: level divided by reference, 1 = no difference, for ratios, which are averaged by their logarithm.',
);
const unit = text('unit', 'Unit of the estimate and its ends; `1` = dimensionless.');
const per = text('per', 'Of a covariate: its unit; the estimate is for one of it.');
const contrast = [quantity, side, by, level, reference, design];
const inUnit = (column: string, definition: string) => number(column, 'as in unit', definition);
const widened = 'empty where a recording used has no interval';

export const cohortCurves: TableEntry = {
  file: 'cohort-curves.csv',
  row: 'a quantity, contrast, phase and depth: how the mean curves differ there, with a test over the whole curve',
  columns: [
    ...contrast,
    phase,
    grid,
    depth,
    scale,
    unit,
    per,
    whole('n', 'Athletes known at this depth; in pairs those known at both levels.'),
    whole('n_reference', 'Of them those at the reference; empty along a covariate.'),
    whole('n_level', 'Of them those at the level.'),
    whole('missing', 'Athletes who do not reach this depth, are unknown here, or are left out of the test.'),
    inUnit('estimate', 'Mean difference over athletes, each counting once; along a covariate the slope.'),
    inUnit('lower', 'Lower end of the 95 % interval at this depth alone (Student); says nothing of the whole curve.'),
    inUnit('upper', 'Upper end of it.'),
    inUnit('band_lower', 'Lower end of the simultaneous band, which holds the whole true curve 19 times out of 20.'),
    inUnit('band_upper', 'Upper end of it.'),
    inUnit('widened_lower', `Lower end of the interval with errors of measurement that athletes share; ${widened}.`),
    inUnit('widened_upper', 'Upper end of it.'),
    inUnit('widened_band_lower', `Lower end of the band with errors of measurement that athletes share; ${widened}.`),
    inUnit('widened_band_upper', 'Upper end of it.'),
    number('shared_share', '1', 'Part of these shared errors in the variance of the estimate, 0–1.'),
    number('t', '1', 'Estimate (on the logarithm for a factor) by its standard error.'),
    number('df', '1', 'Degrees of freedom of t.'),
    number('critical_t', '1', 'Size of t beyond which the band leaves out no difference.'),
    number(
      'adjusted_p',
      '1',
      'Family-wise p: share of rearrangements of the athletes whose largest |t| over all depths, way down and way up, is at least as large.',
    ),
    number('smallest_p', '1', 'Smallest p that this number of athletes can reach.'),
    text(
      'verdict',
      '`differs` (adjusted_p ≤ 0.05), `cannot tell`, `cannot be significant` (too few athletes, whatever the data) or `not tested`.',
    ),
    text('reason', 'Why it was not tested, cannot be significant, or has no t.'),
  ],
};

export const cohortGroupCurves: TableEntry = {
  file: 'cohort-group-curves.csv',
  row: 'a quantity, level, phase and depth: mean curve over the athletes at that level',
  columns: [
    quantity,
    side,
    by,
    text('level', 'The level; empty for all athletes along a covariate.'),
    text('against', 'The other level of the contrast: pairs are those known at both.'),
    phase,
    grid,
    depth,
    text('unit', 'Unit of the mean and its ends; `1` = dimensionless.'),
    whole('n', 'Athletes in the mean.'),
    whole('recordings', 'Their recordings.'),
    whole('repetitions', 'Full repetitions in these.'),
    whole('missing', 'Athletes with a recording at this level who are not in the mean here.'),
    inUnit('mean', 'Mean over athletes, each counting once; of a ratio the geometric mean.'),
    inUnit(
      'lower',
      'Lower end of the 95 % interval of the mean at this depth alone (Student), by the spread between athletes.',
    ),
    inUnit('upper', 'Upper end of it.'),
    inUnit(
      'band_lower',
      'Lower end of the simultaneous band of the mean: 95 % quantile of the largest |t| over all depths when the signs of whole athletes’ deviations are turned. It holds the spread between athletes: bands that overlap are no proof of sameness within athletes.',
    ),
    inUnit('band_upper', 'Upper end of it.'),
    inUnit(
      'widened_band_lower',
      'Lower end of the band with errors of measurement that athletes share; empty where a recording has no interval.',
    ),
    inUnit('widened_band_upper', 'Upper end of it.'),
    text('reason', 'Why there is no band; empty where there is one.'),
  ],
};

export const cohortCurveTests: TableEntry = {
  file: 'cohort-curve-tests.csv',
  row: 'a quantity and contrast: what was tested over the whole curve, how, and what was found; those that could not be tested too',
  columns: [
    ...contrast,
    text('design_from', '`stated` in the study file, or as the `data` say.'),
    grid,
    scale,
    unit,
    per,
    whole('athletes', 'Athletes in the test.'),
    whole('n_reference', 'Of them those at the reference; empty along a covariate.'),
    whole('n_level', 'Of them those at the level; in pairs the same athletes.'),
    whole('recordings', 'Recordings in the test.'),
    whole('repetitions', 'Full repetitions in them with the curve.'),
    whole('missing', 'Athletes with a recording at these levels, or with no value stated, who are not in the test.'),
    whole('recordings_missing', 'Such recordings that are not in the test. Recordings at other levels do not count.'),
    whole('depths_tested', 'Depths tested, way down and way up.'),
    whole('depths_not_tested', 'Depths that too few athletes reach, or where t is not defined.'),
    whole('rearrangements', 'Rearrangements gone through, the observed one among them.'),
    number('rearrangements_all', '1', 'Different rearrangements that there are.'),
    { column: 'exact', type: 'truth', unit: '', definition: 'true: all were gone through; false: random ones.' },
    whole('seed', 'Seed of the random ones; empty where all were gone through.'),
    number('level_asked', '1', 'Family-wise level: chance that some depth is called different where nothing differs.'),
    number('level_kept', '1', 'Largest level not above it that p can take: few athletes have few rearrangements.'),
    number('smallest_p', '1', 'Smallest p that these athletes can reach, whatever the data.'),
    whole('athletes_needed', 'Athletes (of groups, in each of two equal ones) from which p can reach the level.'),
    number('p', '1', 'Smallest adjusted p over the depths: p of the whole curve.'),
    text('verdict', '`differs`, `cannot tell`, `cannot be significant` or `not tested`.'),
    text('ranges', 'Neighbouring depths that differ, parted by semicolons; each depth differs by itself.'),
    text('notes', 'What to know about the test, parted by semicolons: athletes left out, what else differs.'),
    text('reason', 'Why it was not tested, or cannot be significant.'),
  ],
};

export const COHORT_CURVE_TABLES: readonly TableEntry[] = [cohortCurves, cohortGroupCurves, cohortCurveTests];
