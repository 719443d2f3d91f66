/**
 * Writes the made study of tests/study/cohort/made-study.ts as cohort-rows.csv, for tests/generators/cohort_lme4.R:
 *   npx tsx tests/generators/cohort-rows.ts > cohort-rows.csv
 */
import { cohortComparison } from '../../src/study/cohort/cohort-comparison.ts';
import { csvOf } from '../../src/study/csv.ts';
import { studyForR } from '../study/cohort/made-study.ts';

const { study, recordings } = studyForR();
process.stdout.write(csvOf(cohortComparison(study, recordings)!.rows));
