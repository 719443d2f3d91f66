import { browserCode } from '../../src/cli/browser-code.ts';
import { scenePayload } from '../../src/report/scene-data.ts';
import { sceneSection } from '../../src/report/scene-part.ts';
import { SCENE_STYLE } from '../../src/report/scene-style.ts';
import { STYLE } from '../../src/report/style.ts';
import { makeRecord, makeRecording, type RecordOptions } from '../study/make-record.ts';

/** A page with the moving picture and a link into it, nothing else. */
export async function scenePage(options: RecordOptions = {}, second: RecordOptions | null = null): Promise<string> {
  const recording = makeRecording(options);
  const pale = second ? scenePayload(makeRecord(second), makeRecording(second)) : null;
  const section = sceneSection({ record: makeRecord(options), recording }, pale);
  return `<!doctype html><html lang="en"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width,initial-scale=1"><title>Scene</title>
<style>${STYLE}${SCENE_STYLE}</style></head><body><main><h1>One lift</h1>
<p><button type="button" id="jump" data-jump-frame="200" data-jump-view="front">there</button>
<span id="plain-jump" tabindex="0" role="link" data-jump-frame="120">and there</span></p>
${section.text}</main><script>${await browserCode()}</script></body></html>`;
}
