import type { Finding } from '../lift/findings/findings.ts';
import { SCENE_VIEWS, type ScenePayload } from '../web/scene/payload.ts';
import { type Html, html, Html as RawHtml } from './html.ts';
import { marked } from './previous-marks.ts';
import type { ReportContent } from './report-input.ts';
import { scenePayload, sceneText } from './scene-data.ts';
import * as say from './wording-scene.ts';

/**
 * The moving picture of the lift with its data: markup that `startScene` of src/web brings to life. Until then, and where
 * there is no script, only its heading and a sentence show.
 *
 * @param pale a second lift, drawn pale; null for none
 */
export function sceneSection(
  content: Pick<ReportContent, 'record' | 'recording'> & { readonly findings?: readonly Finding[] },
  pale: ScenePayload | null,
): Html {
  const payload = scenePayload(content.record, content.recording, content.findings ?? []);
  return html`<section class="sc" id="scene" data-sc="scene" aria-labelledby="scene-title">
<h2 id="scene-title">${say.sceneHeading()}</h2>
<noscript><p>${say.sceneWithoutScript()}</p></noscript>
<p class="sc-note" data-sc="note" role="status" hidden></p>
<div class="sc-body" data-sc="body" hidden>
<p class="quiet sc-lead">${say.sceneLead()}</p>
<div class="sc-picture">
${stagePart(payload)}
${timePart()}
${goToPart()}
${keepPart(pale)}
</div>
${chartsPart(pale)}
${morePart(payload)}
<p class="out" data-sc="live" aria-live="polite"></p>
</div>
${dataElement('data', payload)}
${paleData(pale)}
<script type="application/json" data-sc="words">${json(say.sceneWords())}</script>
</section>`;
}

function stagePart({ about }: ScenePayload): Html {
  const views = say.viewWords();
  return html`<div class="sc-stage" data-sc="stage" tabindex="0" role="group" aria-label="${say.stageLabel()}">
<canvas data-sc="solid" aria-hidden="true"></canvas>
<canvas data-sc="marks" role="img" aria-label="${about.lifter}"></canvas>
<div class="sc-over sc-views" role="group" aria-label="${say.viewsLabel()}">${SCENE_VIEWS.map(
    (view) => html`<button type="button" data-view="${view}" aria-pressed="false">${views[view]}</button>`,
  )}</div>
<div class="sc-over sc-zoom"><button type="button" data-sc="nearer" aria-label="${say.nearer()}">${ICON.plus}</button><button type="button" data-sc="farther" aria-label="${say.farther()}">${ICON.minus}</button></div>
</div>`;
}

function timePart(): Html {
  return html`<div class="sc-time">
<input type="range" data-sc="slider" min="0" max="1" step="1" value="0" aria-label="${say.sliderLabel()}">
<div class="sc-strip" data-sc="strip" aria-hidden="true"></div>
<p class="sc-clock" data-sc="clock"></p>
</div>
<div class="sc-row sc-run">
<span class="sc-together"><button type="button" data-sc="back" aria-label="${say.backLabel()}">${ICON.back}</button><button type="button" class="sc-play" data-sc="play">${ICON.play}${ICON.pause}</button><button type="button" data-sc="forward" aria-label="${say.forwardLabel()}">${ICON.forward}</button></span>
<fieldset class="sc-speed"><legend>${say.speedLabel()}</legend>${say
    .speedWords()
    .map(
      ({ speed, shown, spoken }) =>
        html`<label><input type="radio" name="sc-speed" data-speed="${speed}" aria-label="${spoken}"${speed === 0.5 ? new RawHtml(' checked') : null}><span aria-hidden="true">${shown}</span></label>`,
    )}</fieldset>
<label class="sc-choice"><span>${say.partLabel()}</span><select data-sc="part"></select></label>
</div>`;
}

function goToPart(): Html {
  return html`<div class="sc-row sc-goto" role="group" aria-label="${say.momentsLabel()}">
<span class="sc-name" aria-hidden="true">${say.momentsLabel()}</span>${say
    .momentWords()
    .map(
      ({ moment, text, spoken }) =>
        html`<button type="button" data-moment="${moment}" aria-label="${spoken}">${text}</button>`,
    )}
<label class="sc-choice" data-sc="mark-box" hidden><span>${say.markListLabel()}</span><select data-sc="mark-list"><option value="">–</option></select></label>
</div>`;
}

function chartsPart(pale: ScenePayload | null): Html {
  const heading = say.chartHeadings();
  const chart = (series: string, title: string, values: readonly Html[]) =>
    html`<div class="sc-chart" data-series="${series}"><p><span>${title}</span><span class="sc-values">${values}</span></p><div class="sc-plot" data-sc="plot"></div></div>
`;
  const value = (name: string) => html`<b data-value="${name}"></b>`;
  const keyed = (name: string, key: 'hip' | 'knee', words: string) =>
    html`<span class="sc-key">${KEY[key]}${words} ${value(name)}</span> `;
  return html`<div class="sc-charts" data-sc="curves">
${chart('hip_moment knee_moment', heading.effort, [keyed('hip_moment', 'hip', say.chartHip()), keyed('knee_moment', 'knee', say.chartKnee())])}${chart('thigh_elevation', heading.thigh, [value('thigh_elevation')])}${chart('trunk_lean', heading.lean, [value('trunk_lean')])}${chart('com_along_foot', heading.foot, [value('com_along_foot')])}<p class="quiet">${chartsNote(pale)}</p>
</div>`;
}

/** A picture to keep, and how the second lift goes with the first. */
function keepPart(pale: ScenePayload | null): Html {
  const align = say.alignWords();
  return html`<div class="sc-row">
<button type="button" data-sc="save">${say.saveLabel()}</button>
<label class="sc-choice" data-sc="align-box" hidden><span>${say.alignLabel()}${alignName(pale)}</span><select data-sc="align"><option value="depth" selected>${align.depth}</option><option value="time">${align.time}</option><option value="">${align.none}</option></select></label>
<span class="quiet" data-sc="saved" role="status"></span>
</div>`;
}

/** Which lift is drawn pale, beside the name of the choice. */
export const alignName = (pale: ScenePayload | null): Html => marked('align', pale && ` (${pale.about.recording})`);

export const chartsNote = (pale: ScenePayload | null): Html => marked('charts-note', say.chartsNote(pale !== null));

/** Data of the lift that is drawn pale. */
export const paleData = (pale: ScenePayload | null): Html => marked('pale', pale && dataElement('pale-data', pale));

function morePart({ bar, series }: ScenePayload): Html {
  return html`<details class="sc-more"><summary>${say.moreLabel()}</summary>
<div class="sc-checks">${say
    .showWords()
    .map(
      ({ name, text, on }) =>
        html`<label><input type="checkbox" data-show="${name}"${on ? new RawHtml(' checked') : null}> ${text}</label>`,
    )}</div>
<p class="quiet">${say.drawnNote(bar ? bar.tracked : null, Boolean(bar?.discs), series.measured_force_y !== undefined)}</p>
<p class="quiet">${say.keysText()}</p>
</details>`;
}

/** Base64 holds no character that an element could end by. */
function dataElement(name: string, payload: ScenePayload): Html {
  return new RawHtml(`<script type="application/octet-stream;base64" data-sc="${name}">${sceneText(payload)}</script>`);
}

/** JSON inside a script element: no `<` that could end it. */
function json(value: unknown): Html {
  return new RawHtml(JSON.stringify(value).replaceAll('<', '\\u003c'));
}

const icon = (name: string, path: string) =>
  new RawHtml(`<svg class="sc-i-${name}" viewBox="0 0 20 20" width="20" height="20" aria-hidden="true">${path}</svg>`);

const ICON = {
  play: icon('play', '<path d="M6 3.5v13l10.5-6.5z"/>'),
  pause: icon('pause', '<path d="M5 4h3.6v12H5zM11.4 4H15v12h-3.6z"/>'),
  back: icon('back', '<path d="M4 4h2.4v12H4zM16 4v12l-8.4-6z"/>'),
  forward: icon('forward', '<path d="M13.6 4H16v12h-2.4zM4 4v12l8.4-6z"/>'),
  plus: icon('plus', '<path d="M9 4h2v5h5v2h-5v5H9v-5H4V9h5z"/>'),
  minus: icon('minus', '<path d="M4 9h12v2H4z"/>'),
} as const;

/** Samples of the chart's lines, as they are drawn. */
const KEY = {
  hip: new RawHtml(
    '<svg viewBox="0 0 26 8" width="26" height="8" aria-hidden="true"><path class="sc-line" style="stroke:var(--sc-hip)" d="M1 4h24"/></svg>',
  ),
  knee: new RawHtml(
    '<svg viewBox="0 0 26 8" width="26" height="8" aria-hidden="true"><path class="sc-line" style="stroke:var(--sc-knee)" stroke-dasharray="6 4" d="M1 4h24"/></svg>',
  ),
} as const;
