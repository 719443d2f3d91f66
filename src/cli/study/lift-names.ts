import { FIGURE_FILES } from '../../report/lift-figures.ts';
import { LIFT_C3D } from '../c3d-output.ts';
import { REPORT } from './places.ts';
import { APPENDED_RECORDS, APPENDED_TABLES } from './study-tables.ts';

/** Every file that the folder of a recording can hold as its result. */
export const LIFT_FILES: readonly string[] = [
  ...[...APPENDED_TABLES, 'athletes.csv', ...APPENDED_RECORDS, 'lift.json', LIFT_C3D, REPORT],
  ...FIGURE_FILES.map((name) => `figures/${name}`),
];
