import { numberText } from '../study/shown.ts';
import { columns } from './calibration-columns.ts';
import type { CalibrationPageInput } from './calibration-input.ts';
import { calibrationScience } from './calibration-science.ts';
import * as say from './calibration-wording.ts';
import { type Content, type Html, html } from './html.ts';
import { inlineSvg } from './inline-svg.ts';
import { digitsText } from './numbers.ts';
import { dataTable, figure, list, page } from './page.ts';

/**
 * The report of a calibration as one HTML file that needs nothing else. First whether the cameras are good enough and what
 * to do, in plain words with pictures; then every number. The same input gives the same bytes.
 */
export function calibrationPage(input: CalibrationPageInput): string {
  return page(
    title(input),
    html`${firstScreen(input)}
${adviceSection(input)}
${placesSection(input)}
${acceptanceSection(input)}
${camerasSection(input)}
${coverageSection(input)}
${residualSection(input)}
${viewsSection(input)}
${uprightSection(input)}
${clockSection(input)}
${cautionsSection()}
${calibrationScience(input)}
<footer class="quiet">${say.madeBy(input.toolVersion)}</footer>`,
  );
}

function title({ calibration }: CalibrationPageInput): string {
  return say.calibrationTitle(calibration.rig.cameras.map(({ name }) => name));
}

function firstScreen(input: CalibrationPageInput): Html {
  const { calibration, graded } = input;
  const { rig } = calibration;
  return html`<header>
${rig.synthetic ? html`<p class="synthetic"><strong>${say.syntheticMark()}</strong> – ${say.syntheticSentence()}</p>` : null}
<h1>${title(input)}</h1>
<p class="facts"><span>${say.gradeLabel()}</span><span class="badge ${graded.grade}">${say.gradeText(graded.grade)}</span></p>
<p class="headline">${say.verdict(graded)}</p>
${say.firstStep(graded) === '' ? null : html`<p><strong>${say.firstStep(graded)}</strong></p>`}
<p>${say.heldOutSentence(rig.quality.measured?.heldOutLength ?? null)}</p>
</header>`;
}

function adviceSection({ graded }: CalibrationPageInput): Html {
  const advice = say.advice(graded);
  return html`<section><h2>${say.adviceHeading()}</h2>
${
  advice.length === 0
    ? html`<p>${say.nothingToDo()}</p>`
    : list(advice.map(({ text, because }) => html`${text}<span class="hint">${because}</span>`))
}</section>`;
}

function placesSection({ figures }: CalibrationPageInput): Html {
  return html`<section><h2>${say.placesHeading()}</h2>
<div class="figures">${picture(figures.fromAbove, say.placesCaption('above'))}
${picture(figures.fromSide, say.placesCaption('side'))}</div></section>`;
}

function picture(svg: string | null | undefined, caption: string): Html {
  if (!svg) return html`<p class="quiet">${say.figureMissing()}</p>`;
  return figure(inlineSvg(svg, caption), caption);
}

function acceptanceSection({ graded }: CalibrationPageInput): Html {
  const rows = graded.rows.map((row): Content[] => [
    html`${say.rowName(row)}${row.camera === null ? null : html`<span class="hint">${say.cameraOf(row.camera)}</span>`}${
      row.why === null ? null : html`<span class="hint">${row.why}</span>`
    }`,
    html`<strong class="${row.grade}">${say.gradeText(row.grade)}</strong>`,
    row.value === null ? say.none() : say.valueText(row.value, row.unit),
    say.limitText(row, 'good'),
    say.limitText(row, 'usable'),
  ]);
  return html`<section><h2>${say.acceptanceHeading()}</h2>
<p>${say.acceptanceNote()}</p>
${dataTable(columns(say.acceptanceColumns(), [2, 3, 4]), rows, say.acceptanceHeading())}</section>`;
}

function camerasSection({ calibration }: CalibrationPageInput): Html | null {
  const measured = calibration.rig.quality.measured;
  if (measured === undefined) return null;
  const rows = measured.cameras.map((one): Content[] => [
    one.camera,
    one.views,
    one.points,
    `${numberText(one.reprojectionRmsPx, 2)} px`,
    `${numberText(100 * one.coverage, 0)} %`,
    one.tiltRangeDeg === null ? say.none() : `${numberText(one.tiltRangeDeg, 0)}°`,
    one.placeSdM === null ? say.held() : `± ${digitsText(1000 * one.placeSdM, 2)} mm`,
    one.directionSdDeg === null ? say.held() : `± ${digitsText(one.directionSdDeg, 2)}°`,
  ]);
  return html`<section><h2>${say.camerasHeading()}</h2>
${dataTable(columns(say.camerasColumns(), [1, 2, 3, 4, 5, 6, 7]), rows, say.camerasHeading())}</section>`;
}

function coverageSection({ calibration, figures }: CalibrationPageInput): Html {
  return html`<section><h2>${say.coverageHeading()}</h2>
<div class="figures">${calibration.rig.cameras.map(({ name }) =>
    picture(figures.coverage.get(name), say.coverageCaption(name)),
  )}</div></section>`;
}

function residualSection({ calibration, figures }: CalibrationPageInput): Html {
  return html`<section><h2>${say.residualHeading()}</h2>
<div class="figures">${calibration.rig.cameras.map(({ name }) =>
    picture(figures.residuals.get(name), say.residualCaption(name, figures.residualFactor)),
  )}</div></section>`;
}

function viewsSection({ calibration, figures }: CalibrationPageInput): Html {
  const { dropped } = calibration;
  return html`<section><h2>${say.viewsHeading()}</h2>
<div class="single">${picture(figures.views, say.viewsCaption())}</div>
<h3>${say.droppedHeading()}</h3>
${
  dropped.length === 0
    ? html`<p>${say.nothingDropped()}</p>`
    : dataTable(
        columns(say.droppedColumns(), []),
        dropped.map(({ image, camera, reason }) => [image, camera, reason]),
        say.droppedHeading(),
      )
}</section>`;
}

function uprightSection({ calibration, figures }: CalibrationPageInput): Html {
  const measured = calibration.rig.quality.measured;
  return html`<section><h2>${say.verticalHeading()}</h2>
<p>${say.verticalSentence(measured?.vertical ?? null)}</p>
<h2>${say.scaleHeading()}</h2>
<p>${say.scaleSentence(measured?.scale ?? null)}</p>
${figures.scale === null ? null : html`<div class="single">${picture(figures.scale, say.scaleCaption())}</div>`}</section>`;
}

function clockSection({ calibration }: CalibrationPageInput): Html | null {
  const cameras = calibration.rig.quality.measured?.cameras ?? [];
  const rows = cameras.flatMap(({ camera, clock }): Content[][] =>
    clock === null
      ? []
      : [
          [
            camera,
            `${numberText(1000 * clock.offsetS, 2)} ms`,
            `± ${digitsText(1000 * clock.halfWidth95S, 2)} ms`,
            clock.drift === null ? say.none() : `${numberText(1e6 * clock.drift, 1)} µs/s`,
          ],
        ],
  );
  if (rows.length === 0) return null;
  return html`<section><h2>${say.clockHeading()}</h2>
<p class="quiet">${say.clockNote()}</p>
${dataTable(columns(say.clockColumns(), [1, 2, 3]), rows, say.clockHeading())}</section>`;
}

function cautionsSection(): Html {
  return html`<section><h2>${say.cautionsHeading()}</h2><div class="care">${list(say.cautions())}</div></section>`;
}
