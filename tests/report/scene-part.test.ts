import { describe, expect, test } from '@jest/globals';
import { browserCode, scriptSafe } from '../../src/cli/browser-code.ts';
import { scenePayload } from '../../src/report/scene-data.ts';
import { sceneSection } from '../../src/report/scene-part.ts';
import { SCENE_STYLE } from '../../src/report/scene-style.ts';
import * as say from '../../src/report/wording-scene.ts';
import { THEME_ROLES } from '../../src/web/scene/theme-roles.ts';
import { makeRecord, makeRecording } from '../study/make-record.ts';

const record = makeRecord();
const recording = makeRecording();
const alone = sceneSection({ record, recording }, null).text;

/** Whatever a reader may see or hear of the section. */
const wording = [
  JSON.stringify(say.sceneWords()),
  say.sceneLead(),
  say.drawnNote(true, true, true),
  say.keysText(),
].join(' ');

describe('the section of the moving picture', () => {
  test('every control has a name', () => {
    for (const [, attributes, inside] of alone.matchAll(/<button([^>]*)>([\s\S]*?)<\/button>/g)) {
      const words = inside.replace(/<svg[\s\S]*?<\/svg>/g, '').trim();
      // The play button gets its name from the browser, which knows whether it plays.
      if (attributes.includes('data-sc="play"')) continue;
      expect(words !== '' || /aria-label="[^"]+"/.test(attributes)).toBe(true);
    }
    expect(alone).toMatch(/<input type="range"[^>]*aria-label="[^"]+"/);
    expect(alone).toMatch(/<canvas data-sc="marks" role="img"/);
    expect(alone.match(/data-speed="/g)).toHaveLength(4);
    expect(alone.match(/data-view="/g)).toHaveLength(4);
  });

  test('needs nothing from elsewhere and ends none of its elements early', () => {
    expect(alone).not.toMatch(/https?:|<link|<img|url\(|@import/);
    expect(SCENE_STYLE).not.toMatch(/https?:|url\(|@import|</);
    const scripts = [...alone.matchAll(/<script type="([^"]+)" data-sc="(\w[\w-]*)">([^<]*)<\/script>/g)];
    expect(scripts.map(([, type, name]) => [type, name])).toEqual([
      ['application/octet-stream;base64', 'data'],
      ['application/json', 'words'],
    ]);
    expect(scripts[0][3]).toMatch(/^[A-Za-z0-9+/]+=*$/);
    expect(JSON.parse(scripts[1][3])).toEqual(say.sceneWords());
  });

  test('a second lift brings its data and its name', () => {
    const pale = scenePayload(makeRecord({ recordingId: 'B07<2>' }), makeRecording());
    const two = sceneSection({ record, recording }, pale).text;
    expect(two).toContain('data-sc="pale-data"');
    expect(two).toContain('B07&lt;2&gt;');
    expect(alone).not.toContain('pale-data');
  });

  test('coach’s words only', () => {
    expect(wording).not.toMatch(/sagittal|residual|covariance|net joint moment|extensor|kinematic/i);
  });

  test('the style names a colour for every role that the scene reads', () => {
    for (const role of THEME_ROLES) expect(SCENE_STYLE).toContain(`--sc-${role}:`);
  });
});

describe('the code of the page', () => {
  test('is one script for es2020 that ends no element, made once', async () => {
    const code = await browserCode();
    expect(await browserCode()).toBe(code);
    expect(code).not.toMatch(/<\/script|<!--/i);
    expect(code.length).toBeLessThan(900_000);
    // The only addresses in it are names of XML vocabularies, which nobody fetches.
    const addresses = new Set([...code.matchAll(/https?:\/\/[^"'`\s)]+/g)].map(([address]) => new URL(address).host));
    expect([...addresses].filter((host) => host !== 'www.w3.org')).toEqual([]);
  });

  test('what would end a script or open a comment in it is written otherwise', () => {
    expect(scriptSafe('a="</script>";b="</SCRIPT";c="<!--"')).toBe('a="<\\/script>";b="<\\/script";c="<\\!--"');
  });
});
