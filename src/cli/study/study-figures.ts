import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { ColumnTable } from 'arquero';
import sharp from 'sharp';
import { type OutcomeName, outcomeKey } from '../../figures/cohort/names.ts';
import { PX_PER_MM } from '../../figures/cohort/publication.ts';
import { HIP_SHARE_AT_PARALLEL } from '../../figures/cohort/table-rows.ts';
import {
  COHORT_FIGURE_NAMES,
  type CohortFigure,
  type CohortInput,
  cohortFigures,
} from '../../report/cohort-figures.ts';
import { cohortPart, withCohort } from '../../report/cohort-part.ts';
import { checkedComparison } from '../../study/cohort/checked-comparison.ts';
import { csvOf, tableOf } from '../../study/csv.ts';
import { jsonText } from '../../study/json-text.ts';
import { reliabilityTable } from '../../study/reliability-table/reliability-table.ts';
import { knownSomewhere, reliabilityMeasures, reliabilityValues } from '../../study/reliability-table/values.ts';
import { readTable } from '../../study/tidy/read-table.ts';
import { tableSchema } from '../../study/tidy/table-schema.ts';
import { sourceOfTexts, type TableSource } from '../../study/tidy/table-source.ts';
import { theTable, tidyStudy } from '../../study/tidy/tidy-study.ts';
import { folderTables } from '../tidy/folder-tables.ts';
import type { CohortFolder } from './cohort-outputs.ts';
import { readKept } from './kept-lift.ts';
import { INDEX, type WrittenStudy } from './study-tables.ts';

const RELIABILITY = 'reliability.csv';
const CURVES = ['cohort-curve-tests.csv', 'cohort-curves.csv', 'cohort-group-curves.csv'];
const FOLDER = 'figures';
const CAPTIONS = `${FOLDER}/captions.txt`;
const ENDINGS = ['svg', 'png', 'vl.json'] as const;

/** Every figure's file that this makes where it can. */
const DRAWN: readonly string[] = [
  CAPTIONS,
  ...COHORT_FIGURE_NAMES.flatMap((name) => ENDINGS.map((ending) => `${FOLDER}/${name}.${ending}`)),
];

/** Every file that studyFigures can write, beside the index. */
export const FIGURES_FILES: readonly string[] = [RELIABILITY, ...DRAWN];

/** Pixels an inch of the pictures of dots. */
const PNG_DPI = 300;
/** At which librsvg draws one pixel a unit. */
const SVG_DPI = 72;

/**
 * Figures of a whole study and what its page says of them, from the tables that are there; called once tables and index are written. A
 * figure that can no longer be made is removed. Every file is whole or not there, the page comes last; the same tables give the
 * same bytes, those of PNG files on one machine.
 *
 * @param compared whether the tables of the comparison belong to these lifts: `analyse` does without them
 */
export async function studyFigures(
  { study, lifts, out }: WrittenStudy,
  compared: boolean,
  folder: CohortFolder,
): Promise<void> {
  const measures = reliabilityMeasures(checkedComparison(study)?.outcomes);
  const values = lifts.flatMap(({ recording }) =>
    reliabilityValues({ recording, record: readKept(out, recording.id).record }, measures),
  );
  const reliabilityCsv = csvOf(reliabilityTable(knownSomewhere(values)));
  const written = folderTables(out);
  const comparison = compared && written.files.includes('cohort-rows.csv');
  const curves = comparison && CURVES.every((name) => written.files.includes(name));
  const tables = tidyStudy(written, [
    ...(comparison ? ['cohort-effects', 'cohort-means', 'cohort-models', 'cohort-rows'] : []),
    ...(curves ? ['cohort-curve-tests', 'cohort-curves', 'cohort-group-curves'] : []),
  ]);
  const input: CohortInput = {
    comparison: comparison
      ? {
          effects: theTable(tables, 'cohort-effects'),
          levelMeans: theTable(tables, 'cohort-means'),
          models: theTable(tables, 'cohort-models'),
          rows: theTable(tables, 'cohort-rows'),
          setMeans: setMeans(lifts),
          depths: curves
            ? {
                curveTests: theTable(tables, 'cohort-curve-tests'),
                curves: theTable(tables, 'cohort-curves'),
                groupCurves: theTable(tables, 'cohort-group-curves'),
              }
            : null,
        }
      : null,
    weeks: { weeks: rowsOf(written, 'weeks.csv', measures), changes: rowsOf(written, 'week-changes.csv', measures) },
    // Read back, so that the figure shows what the table says, digit by digit.
    reliability: theTable(
      tidyStudy(sourceOfTexts(RELIABILITY, new Map([[RELIABILITY, reliabilityCsv]])), ['reliability']),
      'reliability',
    ),
  };
  const figures = await cohortFigures(input);
  const files = new Map<string, string | Uint8Array>([[RELIABILITY, reliabilityCsv]]);
  for (const figure of figures) for (const [name, content] of await filesOf(figure)) files.set(name, content);
  const captions = figures.filter(({ drawn }) => drawn !== null);
  if (captions.length > 0) files.set(CAPTIONS, captionsText(captions));
  const names = ['weeks.csv', 'week-changes.csv', RELIABILITY];
  const cohort = comparison ? written.files.filter((name) => /^cohort-.*\.csv$/.test(name)) : [];
  const page = withCohort(readFileSync(join(out, INDEX), 'utf8'), cohortPart(input, figures, [...cohort, ...names]));
  if (page !== null) files.set(INDEX, page);
  for (const name of DRAWN) if (!files.has(name)) folder.drop(name);
  folder.put(files);
}

/** A table's rows of these measures: tables of all measures of a large study are too much to hold. */
function rowsOf(written: TableSource, file: string, measures: readonly OutcomeName[]): ColumnTable {
  const wanted = new Set(measures.map(outcomeKey));
  return readTable(tableSchema(file)!, written.pieces(file), (cell) => {
    const [measure, side, at] = ['measure', 'side', 'at'].map((column) => String(cell(column) ?? ''));
    return wanted.has(outcomeKey({ measure, side, at }));
  });
}

async function filesOf({ name, drawn }: CohortFigure): Promise<[string, string | Uint8Array][]> {
  if (drawn === null) return [];
  return [
    [`${FOLDER}/${name}.svg`, inMillimetres(drawn.svg)],
    [`${FOLDER}/${name}.png`, await png(drawn.svg)],
    [`${FOLDER}/${name}.vl.json`, jsonText(drawn.figure)],
  ];
}

/** The size that a figure is printed at stands in its file: programs differ in how long a pixel is. */
const inMillimetres = (svg: string): string =>
  svg.replace(/ (width|height)="([\d.]+)"/g, (whole, side: string, px: string, at: number) =>
    at < svg.indexOf('>') ? ` ${side}="${(Number(px) / PX_PER_MM).toFixed(2)}mm"` : whole,
  );

/** 300 dots an inch at the printed size, on white. */
const png = async (svg: string): Promise<Uint8Array> =>
  sharp(Buffer.from(svg), { density: (SVG_DPI * PNG_DPI) / 96 })
    .flatten({ background: '#ffffff' })
    .withMetadata({ density: PNG_DPI })
    .png({ compressionLevel: 9 })
    .toBuffer();

const captionsText = (figures: readonly CohortFigure[]): string =>
  `${figures.map(({ name, title, caption }) => `${name}\n${title}. ${caption}\n`).join('\n')}`;

/** The intervals of the recordings, as means.csv has them. */
const setMeans = (lifts: WrittenStudy['lifts']): ColumnTable =>
  tableOf(
    ['recording_id', 'measure', 'side', 'at', 'lower', 'upper'],
    lifts.map(({ row }) => ({
      recording_id: row.recordingId,
      ...HIP_SHARE_AT_PARALLEL,
      lower: row.hipShareAtParallel?.lower ?? Number.NaN,
      upper: row.hipShareAtParallel?.upper ?? Number.NaN,
    })),
  );
