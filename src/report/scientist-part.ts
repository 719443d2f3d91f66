import type { LiftRecord } from '../lift/lift-record.ts';
import { MEASURES } from '../lift/measures/index.ts';
import { type Shown, shownAs, valueWithInterval } from '../study/shown.ts';
import { dataPart } from './data-part.ts';
import { doubtSection } from './doubt-part.ts';
import { type Content, type Html, html, linkTo } from './html.ts';
import { intervalsPart } from './intervals-part.ts';
import { digitsText } from './numbers.ts';
import { type Column, dataTable, list } from './page.ts';
import { powerPart, segmentTablesPart } from './power-part.ts';
import { qualitySection } from './quality-part.ts';
import type { ReportContent } from './report-input.ts';
import { residualPart } from './residual-part.ts';
import { scienceHeading } from './wording.ts';
import * as say from './wording-science.ts';

/** The scientist's view: quality, doubt, tables to download, then how the numbers came about. */
export function scientistPart(input: ReportContent): Html {
  const { record, recording, provenance, files } = input;
  return html`<ul class="contents on-screen">${say
    .contents(input.uncertainty !== null, input.tables.length > 0)
    .map(([id, words]) => html`<li><a href="#${id}">${words}</a></li>`)}</ul>
${qualitySection(input)}
${doubtSection(input)}
${dataPart(input.tables, files)}
<section id="method"><h2>${scienceHeading()}</h2>
<h3>${say.assumptionsHeading()}</h3>
${list(say.assumptions(record))}
<h3>${say.settingsHeading()}</h3>
${dataTable(
  say.settingColumns().map(left),
  say.settingRows(record, recording, provenance.tool_version, provenance.seed),
  say.settingsHeading(),
)}
${intervalsPart(input)}
${folded(say.repetitionsHeading(), repetitionTable(record))}
${folded(say.allMeasuresHeading(), html`<p class="quiet">${say.allMeasuresNote()}</p>${measureTable(record)}`)}
${folded(say.powerHeading(), powerPart(input))}
${folded(say.segmentsHeading(), segmentTable(record))}
${folded(say.tablesHeading(), segmentTablesPart(input))}
${folded(say.landmarksHeading(), landmarkTable(record))}
${mismatch(record)}
${folded(say.residualHeading(), residualPart(input))}
${stageNotes(input)}
${folded(
  say.inputsHeading(),
  dataTable(
    say.inputColumns().map(left),
    provenance.inputs.map(({ file, sha256 }) => [file, html`<code>${sha256}</code>`]),
    say.inputsHeading(),
  ),
)}
<h3 id="files">${say.filesHeading()}</h3>
<p class="quiet">${say.filesNote()}</p>
${list(files.map((file) => html`<a href="${linkTo(file)}">${file}</a> ${say.fileWords(file)}`))}
</section>`;
}

const left = (title: string): Column => ({ title, numeric: false });
const right = (title: string): Column => ({ title, numeric: true });
const folded = (title: string, content: Content): Html | null =>
  content === null ? null : html`<details data-print><summary>${title}</summary>${content}</details>`;
const cell = (value: number | null, digits = 3) =>
  value === null || !Number.isFinite(value) ? '' : digitsText(value, digits);

function repetitionTable({ repetitions, loads }: LiftRecord): Html {
  const time = (frame: number) => (frame < 0 ? '' : (loads.startS + frame / loads.frameRateHz).toFixed(2));
  return dataTable(
    say.repetitionColumns().map((title, i) => (i < 3 ? left(title) : right(title))),
    repetitions.map((r) => [
      r.number,
      r.order,
      r.completeness,
      time(r.topFrame),
      time(r.bottomFrame),
      cell(r.hipDropM),
      cell(r.bottomThighElevationDeg),
    ]),
    say.repetitionsHeading(),
  );
}

/** One row a measure, side and place; one column a repetition. Rows without any value are left out: their reasons stand above. */
function measureTable(record: LiftRecord): Html {
  const order = new Map(MEASURES.map(({ name }, i) => [name, i]));
  const rows = new Map<string, { label: string[]; values: Map<number, string> }>();
  for (const found of record.measures) {
    const { measure, at, side, unit, repetition, value } = found;
    if (!Number.isFinite(value)) continue;
    const label = [measure, at, side, unit === '1' ? '' : unit];
    const key = JSON.stringify(label);
    const row = rows.get(key) ?? { label, values: new Map() };
    const bare = cell(value, 4);
    row.values.set(repetition, Number.isFinite(found.lower) ? valueWithInterval(found, bareSi(unit)) : bare);
    rows.set(key, row);
  }
  const sorted = [...rows.values()].sort((a, b) => (order.get(a.label[0]) ?? 0) - (order.get(b.label[0]) ?? 0));
  const numbers = record.repetitions.map(({ number }) => number);
  return dataTable(
    [left('measure'), left('at'), left('side'), left('unit'), ...numbers.map((number) => right(String(number)))],
    sorted.map(({ label, values }) => [
      html`<code>${label[0]}</code>`,
      ...label.slice(1),
      ...numbers.map((number) => values.get(number) ?? values.get(0) ?? ''),
    ]),
    say.allMeasuresHeading(),
  );
}

/** SI, the unit standing in its own column. */
const bareSi = (unit: string): Shown => ({ ...shownAs(unit), factor: 1, unit: '' });

function segmentTable({ loads }: LiftRecord): Html {
  return dataTable(
    say.segmentColumns().map((title, i) => (i === 0 || i === 4 ? left(title) : right(title))),
    loads.motion.quality.segments.map(({ segment, massKg, lengthM, lengthVariation, placedBy }) => [
      segment.replaceAll('_', ' '),
      cell(massKg, 4),
      cell(lengthM),
      variationCell(lengthVariation),
      placedBy ?? say.measuredPoints(),
    ]),
    say.segmentsHeading(),
  );
}

/** Per cent; limbs held at constant length show rounding only. */
function variationCell(variation: number | null): string {
  if (variation === null || !Number.isFinite(variation)) return '';
  return 100 * variation < 0.01 ? '< 0.01' : digitsText(100 * variation, 2);
}

function landmarkTable({ loads }: LiftRecord): Html {
  return dataTable(
    say.landmarkColumns().map((title, i) => (i === 0 ? left(title) : right(title))),
    loads.motion.trajectories.quality.perLandmark.map((point) => [
      point.landmark.replaceAll('_', ' '),
      point.seen,
      point.filled,
      point.missing,
      cell(point.reprojectionRmsPx),
      cell(point.sdM === null ? null : 1000 * point.sdM),
      cell(point.cutoffHz),
    ]),
    say.landmarksHeading(),
  );
}

function mismatch({ loads }: LiftRecord): Html | null {
  const found = loads.quality.mismatch;
  if (!found) return null;
  return folded(
    say.mismatchHeading(),
    dataTable(
      [left(say.mismatchColumns()[0]), right(say.mismatchColumns()[1])],
      say
        .mismatchRows(found)
        .map(([name, value, unit]) => [name, value === null ? '' : `${digitsText(value, 4)} ${unit}`.trim()]),
      say.mismatchHeading(),
    ),
  );
}

function stageNotes({ record, rig }: ReportContent): Html | null {
  const { motion, quality: mechanics } = record.loads;
  const notes = [
    ...(rig ? [say.rigNote(rig), ...rig.notes] : []),
    ...motion.trajectories.quality.notes,
    ...motion.quality.notes,
    ...mechanics.notes,
  ];
  return notes.length > 0 ? folded(say.notesHeading(), list([...new Set(notes)])) : null;
}
