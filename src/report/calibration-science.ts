import type { Calibration } from '../cameras/calibration.ts';
import { cameraCentre } from '../cameras/camera-model.ts';
import type { MeasuredQuality } from '../cameras/rig.ts';
import { numberText } from '../study/shown.ts';
import { columns } from './calibration-columns.ts';
import type { CalibrationPageInput } from './calibration-input.ts';
import * as say from './calibration-wording.ts';
import { type Content, type Html, html, linkTo } from './html.ts';
import { digitsText } from './numbers.ts';
import { dataTable, list } from './page.ts';

type Shown = Pick<CalibrationPageInput, 'calibration' | 'graded' | 'files'>;

/** The second part of the page of a calibration: every number, limits with their sources, links to the raw tables. */
export function calibrationScience({ calibration, graded, files }: Shown): Html {
  const { rig, views } = calibration;
  const { quality } = rig;
  const measured = quality.measured;
  return html`<section><h2>${say.scienceHeading()}</h2>
<p>${say.scienceIntro(quality.method, quality.pointsUsed, quality.reprojectionRmsPx)}</p>
${measured?.volumeM ? html`<p>${say.boxSentence(measured.volumeM)}</p>` : null}
${quality.notes.length > 0 ? html`<h3>${say.notesHeading()}</h3>${list(quality.notes)}` : null}
<h3>${say.lensHeading()}</h3>
${dataTable(columns(say.lensColumns(), [1, 2, 3, 4, 5, 6, 7, 8, 9]), lensRows(calibration), say.lensHeading())}
<h3>${say.limitsHeading()}</h3>
${dataTable(
  columns(say.limitsColumns(), [1, 2, 3]),
  graded.rows.map(({ name, value, unit, limit }) => [
    name,
    value === null ? say.none() : digitsText(value),
    limit.good,
    limit.usable,
    unit,
    limit.means,
    limit.source,
  ]),
  say.limitsHeading(),
)}
${measured?.covariance ? covariancePart(measured.covariance) : null}
<details data-print><summary>${say.viewsTableHeading()}</summary>
${dataTable(
  columns(say.viewsColumns(), [2, 3, 4]),
  views.map((view) => [
    view.image,
    view.camera,
    view.points,
    numberText(view.rmsPx, 3),
    view.tiltDeg === null ? say.none() : numberText(view.tiltDeg, 1),
  ]),
  say.viewsTableHeading(),
)}</details>
${
  files.length === 0
    ? null
    : html`<h3>${say.filesHeading()}</h3>${list(files.map((file) => html`<a href="${linkTo(file)}">${file}</a>`))}`
}</section>`;
}

function lensRows({ rig }: Calibration): Content[][] {
  return rig.cameras.map((camera) => {
    const own = rig.quality.measured?.cameras.find((one) => one.camera === camera.name);
    const sd = (value: number | null | undefined, factor: number) =>
      value === null || value === undefined ? say.held() : digitsText(factor * value, 3);
    return [
      camera.name,
      `${camera.imageWidth} × ${camera.imageHeight}`,
      `${numberText(camera.fx, 2)}, ${numberText(camera.fy, 2)}`,
      sd(own?.focalSdPx, 1),
      `${numberText(camera.cx, 2)}, ${numberText(camera.cy, 2)}`,
      sd(own?.principalPointSdPx, 1),
      (camera.pixelLens ?? camera).distortion.map((term) => numberText(term, 5)).join(' '),
      [...cameraCentre(camera)].map((x) => numberText(x, 4)).join(' '),
      sd(own?.placeSdM, 1000),
      sd(own?.directionSdDeg, 1),
    ];
  });
}

function covariancePart({ parameters, lowerTriangle }: NonNullable<MeasuredQuality['covariance']>): Html {
  return html`<details data-print><summary>${say.covarianceHeading()}</summary>
<p>${say.covarianceNote(parameters.length)}</p>
${dataTable(
  columns(say.covarianceColumns(), [1]),
  parameters.map((name, i) => [name, digitsText(Math.sqrt(lowerTriangle[(i * (i + 3)) / 2]))]),
  say.covarianceHeading(),
)}</details>`;
}
