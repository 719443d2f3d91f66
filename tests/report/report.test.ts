import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from '@jest/globals';
import { acceptanceLimits } from '../../src/lift/acceptance.ts';
import { gradeLift } from '../../src/lift/grade.ts';
import { figureFiles, liftFigures } from '../../src/report/lift-figures.ts';
import { reportHtml } from '../../src/report/report.ts';
import { studyReportHtml } from '../../src/report/study-report.ts';
import { unknownMeasures } from '../../src/report/unknowns.ts';
import * as say from '../../src/report/wording.ts';
import { provenanceOf } from '../../src/study/provenance.ts';
import { summaryRow } from '../../src/study/summary.ts';
import { makeRecord, makeRecording, type RecordOptions } from '../study/make-record.ts';

const limits = acceptanceLimits(
  JSON.parse(readFileSync(new URL('../../calibration/acceptance.json', import.meta.url), 'utf8')),
  'acceptance.json',
);
const FILES = ['frames.csv', 'lift.json', 'figures/posture-strip.svg'];

async function report(options: RecordOptions = {}, changes: Partial<ReturnType<typeof makeRecording>> = {}) {
  const record = makeRecord(options);
  const recording = { ...makeRecording(options), ...changes };
  const provenance = provenanceOf({
    toolVersion: '0.1.0',
    recordingId: record.recordingId,
    settings: recording.settings,
    seed: 1,
    inputs: [{ file: '/x/left.json', sha256: 'ab'.repeat(32) }],
    folder: '/x',
  });
  const html = reportHtml({
    record,
    recording,
    graded: gradeLift(record, limits),
    limits,
    rig: { method: 'control points', reprojectionRmsPx: 0.4, pointsUsed: 96, notes: [] },
    provenance,
    figures: await liftFigures(record),
    files: FILES,
    index: '../index.html',
  });
  return { record, recording, html };
}

/** The page between the start and the part for the scientist, without tags. */
const coachText = (html: string) =>
  plain(html.slice(0, html.indexOf(say.scienceHeading())).replace(/<style>[\s\S]*?<\/style>/, ''));
const plain = (html: string) =>
  html
    .replace(/<svg[\s\S]*?<\/svg>/g, (svg) => [...svg.matchAll(/>([^<]+)</g)].map((match) => match[1]).join(' '))
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&#39;', "'")
    .replaceAll('&quot;', '"')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&')
    .replace(/\s+/g, ' ');

describe('the report of a lift', () => {
  let made: Awaited<ReturnType<typeof report>>;
  beforeAll(async () => {
    made = await report({ partialRepetition: 2, withFeet: false });
  });

  test('needs nothing from elsewhere: no address, script, style sheet, font or picture', () => {
    expect(made.html).not.toMatch(/https?:|\/\/[a-z]|<script|<link|<iframe|<img|@import|url\(|\son\w+=/i);
    expect(made.html.length).toBeLessThan(1.5e6);
  });

  test('is a whole document in one language with one main heading and headings in order', () => {
    expect(made.html).toMatch(/^<!doctype html>\n<html lang="en">/);
    const levels = [...made.html.matchAll(/<h([1-6])[ >]/g)].map((match) => Number(match[1]));
    expect(levels.filter((level) => level === 1)).toHaveLength(1);
    levels.slice(1).forEach((level, i) => {
      expect(level - levels[i]).toBeLessThanOrEqual(1);
    });
  });

  test('every picture says what it shows, every table has column heads with a scope and no empty one', () => {
    const pictures = [...made.html.matchAll(/<svg[^>]*>/g)].map(([tag]) => tag);
    expect(pictures.length).toBeGreaterThan(8);
    for (const tag of pictures) expect(tag).toMatch(/role="img" aria-label="[^"]{20,}"/);
    for (const [, head] of made.html.matchAll(/<thead>([\s\S]*?)<\/thead>/g)) {
      for (const [tag, , text] of head.matchAll(/<th([^>]*)>([^<]*)</g)) {
        expect(tag).toContain('scope="col"');
        expect(text).not.toBe('');
      }
    }
  });

  test('says in the first part who lifted what, and that the data are invented', () => {
    const text = coachText(made.html);
    for (const part of ['007', '80 kg', '2026-03-04', say.syntheticMark(), 'heel raised']) expect(text).toContain(part);
  });

  test('real data carry no mark of synthetic data', async () => {
    const { html } = await report({ repetitions: 1 }, { synthetic: false });
    expect(html).not.toContain(say.syntheticMark());
  });

  test('the part for the coach has no jargon and no unknown number', () => {
    expect(coachText(made.html)).not.toMatch(
      /sagittal|residual|covariance|Butterworth|Newton|coefficient|reprojection|NaN|undefined|null/i,
    );
  });

  test('names everything that could not be computed, with its reason', () => {
    const text = coachText(made.html);
    const unknown = unknownMeasures(made.record);
    expect(unknown.length).toBeGreaterThan(0);
    for (const { reason, titles } of unknown) {
      expect(text).toContain(say.plainReason(reason));
      for (const title of titles) expect(text).toContain(title);
    }
    expect(text).toContain('needs left heel');
    const partial = made.record.repetitions[1];
    expect(text).toContain(say.repetitionNotFull(2, 'partial', partial.reason));
    for (const sentence of say.alwaysUnknown()) expect(text).toContain(sentence);
  });

  test('carries every caution', () => {
    const text = coachText(made.html);
    for (const caution of say.cautions()) expect(text).toContain(caution);
    expect(say.cautions().join(' ')).toMatch(/spotters[\s\S]*light-headed[\s\S]*no diagnosis[\s\S]*clinician/);
  });

  test('shows every limit of quality with its value or that there is none', () => {
    const text = coachText(made.html);
    for (const { name, means } of limits) expect(text).toContain(say.qualityWords(name, means));
    expect(text).toContain(say.notJudged());
  });

  test('gives the scientist inputs, settings and links to the files', () => {
    for (const file of FILES) expect(made.html).toContain(`href="${file}"`);
    expect(made.html).toContain('ab'.repeat(32));
    expect(plain(made.html)).toContain('de-leva-1996');
  });

  test('the same record gives the same bytes', async () => {
    expect((await report({ partialRepetition: 2, withFeet: false })).html).toBe(made.html);
  });
});

test('ids and words of a user are text, whatever they contain', async () => {
  const bad = `<img src=x onerror=alert(1)>&"'`;
  const { html } = await report(
    { recordingId: bad, athleteId: bad, repetitions: 1 },
    { condition: { [bad]: bad }, lift: { ...makeRecording().lift, kind: bad } },
  );
  expect(html).not.toMatch(/<img/);
  expect(html).toContain('&lt;img src=x onerror=alert(1)&gt;&amp;&quot;&#39;');
});

test('a recording without repetitions has a report that says so', async () => {
  const { html } = await report({ repetitions: 0 });
  const text = coachText(html);
  expect(text).toContain(say.repetitionsWords(0, 0));
  expect(text).toContain(say.nothingMeasured());
  expect(text).not.toMatch(/NaN|undefined/);
});

test('3D points: says that there are no pictures of cameras', async () => {
  const { html } = await report({ withCameras: false, withBar: false, repetitions: 1 });
  expect(coachText(html)).toContain(say.noPicturesTaken());
});

test('figure files are those that could be drawn', async () => {
  const names = [...figureFiles(await liftFigures(makeRecord({ withCameras: false, repetitions: 1 }))).keys()];
  expect(names).toContain('moment-across-depth.svg');
  expect(names).not.toContain('camera-residuals.svg');
});

describe('the headline', () => {
  const known = (lowest: number, highest: number, mean: number, n: number) =>
    ({ known: true, spread: { mean, sd: Number.NaN, lowest, highest, n } }) as const;
  const unknown = (reason: string) => ({ known: false, reason }) as const;

  test.each([
    [
      'knees first',
      known(0.4, 0.44, 0.42, 3),
      unknown(''),
      /^Knees first; at parallel the hips carry 42 % .*\(40–44 over the 3 full repetitions\)\.$/,
    ],
    ['unknown', known(0.42, 0.42, 0.42, 1), unknown(''), /^At parallel the hips carry 42 % .*\(one repetition\)\.$/],
    [
      'hips first',
      unknown('parallel not reached'),
      known(0.5, 0.6, 0.55, 2),
      /at the bottom the hips carry 55 %.*parallel not reached/,
    ],
    ['together', unknown('needs left_hip'), unknown('needs left_hip'), /unknown: needs left hip\.$/],
    ['hips first', known(1.1, 1.3, 1.2, 3), unknown(''), /hips carry all/],
    ['knees first', known(-0.3, -0.1, -0.2, 3), unknown(''), /knees carry all/],
    ['knees first', known(-0.05, 0.1, 0.02, 3), unknown(''), /\(−5 to 10 over/],
  ] as const)('%s', (start, parallel, bottom, expected) => {
    expect(say.headline(start, parallel, bottom)).toMatch(expected);
  });
});

test('the index of a study links every report, lists what failed and keeps user text as text', () => {
  const record = makeRecord({ repetitions: 1 });
  const recording = makeRecording();
  const html = studyReportHtml({
    id: 'demo',
    title: 'A & B <study>',
    synthetic: true,
    toolVersion: '0.1.0',
    lifts: [{ row: summaryRow(record, 'usable', recording), report: 'recordings/A 01#x/report.html' }],
    failures: [{ recording: 'B02', message: 'b.yaml: <bad>' }],
    files: ['measures.csv'],
  });
  expect(html).toContain('href="recordings/A%2001%23x/report.html"');
  expect(html).toContain('b.yaml: &lt;bad&gt;');
  expect(html).toContain('<h1>A &amp; B &lt;study&gt;</h1>');
  expect(html).toContain(say.syntheticMark());
  for (const caution of say.cautions()) expect(plain(html)).toContain(caution);
});
