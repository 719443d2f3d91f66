import { type Html, html, Html as RawHtml } from './html.ts';
import type { ReportContent } from './report-input.ts';
import * as say from './wording-stills.ts';

/** The user's own pictures beside the figures; where stills were asked for and are not shown, the reason; else nothing. */
export function stillsPart({ stills, recording }: ReportContent): Html | null {
  if (stills === null) return null;
  if (!stills.shown) return html`<p class="quiet">${say.noStills(stills.reason)}</p>`;
  return html`<section class="stills"><h2>${say.stillsHeading()}</h2>
<div class="strip">${stills.stills.map(
    ({ posture, camera, timeS, width, height, jpegBase64 }) =>
      html`<figure class="card"><img alt="${say.stillDescription(recording.athlete.id, posture, camera)}" width="${width}" height="${height}" src="${new RawHtml(`data:image/jpeg;base64,${jpegBase64}`)}"><figcaption>${say.stillCaption(posture, camera, timeS)}</figcaption></figure>`,
  )}</div>
<p class="quiet">${say.personShown()}</p></section>`;
}
