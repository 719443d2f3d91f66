import type { AcceptanceLimit } from '../lift/acceptance.ts';
import { type Content, type Html, html } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import { digitsText } from './numbers.ts';
import { dataTable, figure, list } from './page.ts';
import type { ReportInput } from './report-input.ts';
import * as say from './wording.ts';

/** How good the recording is: every limit with its value, then the picture of how well the views agree. */
export function qualitySection({ record, graded, limits, figures }: ReportInput): Html {
  const [what, here, good, usable, verdict] = say.qualityColumns();
  const rows = limits.map((limit): Content[] => {
    const reason = graded.reasons.find((found) => found.limit === limit.name);
    const text = (value: number) => qualityText(limit, value);
    return [
      say.qualityWords(limit.name, limit.means),
      reason ? text(reason.value) : say.notJudged(),
      say.limitWords(limit.direction, text(limit.good)),
      say.limitWords(limit.direction, text(limit.usable)),
      reason ? html`<strong class="${reason.grade}">${say.gradeWords(reason.grade)}</strong>` : '',
    ];
  });
  const notes = record.quality.notes;
  return html`<section id="quality"><h2>${say.qualityHeading()}</h2>
<p>${say.qualityNote(graded.grade)}</p>
${dataTable(
  [
    { title: what, numeric: false },
    { title: here, numeric: true },
    { title: good, numeric: true },
    { title: usable, numeric: true },
    { title: verdict, numeric: false },
  ],
  rows,
  say.qualityHeading(),
)}
${notes.length > 0 ? html`<h3>${say.notesHeading()}</h3>${list(notes.map(say.plainReason))}` : null}
${
  figures.cameraResiduals
    ? html`<div class="single">${figure(inlineSvg(figures.cameraResiduals, say.cameraCaption()), say.cameraCaption())}</div>`
    : html`<p class="quiet">${say.figureMissing(say.cameraFigureName(), say.noPicturesTaken())}</p>`
}</section>`;
}

/** A value of a limit with its unit: shares in per cent, points in millimetres, counts bare. */
function qualityText({ name, unit }: AcceptanceLimit, value: number): string {
  if (name === 'missing_share') return `${shortText(100 * value)} %`;
  if (unit === 'm') return `${shortText(1000 * value)} mm`;
  return unit === '1' ? shortText(value) : `${shortText(value)} ${unit}`;
}

/** Two digits are enough to hold against a limit; what is next to nothing says so. */
function shortText(value: number): string {
  if (value !== 0 && Math.abs(value) < 0.01) return '< 0.01';
  return digitsText(value, Math.abs(value) >= 100 ? 3 : 2);
}
