import { beforeAll, describe, expect, test } from '@jest/globals';
import { figureFiles, liftFigures } from '../../src/report/lift-figures.ts';
import { studyReportHtml } from '../../src/report/study-report.ts';
import { unknownMeasures } from '../../src/report/unknowns.ts';
import * as say from '../../src/report/wording.ts';
import { loadsHeading } from '../../src/report/wording-across-loads.ts';
import * as athlete from '../../src/report/wording-athlete.ts';
import { cautionsFor, cautionsForAll } from '../../src/report/wording-cautions.ts';
import * as doubt from '../../src/report/wording-doubt.ts';
import * as first from '../../src/report/wording-first.ts';
import { VIEWS, viewTitle } from '../../src/report/wording-page.ts';
import { studyColumns } from '../../src/report/wording-science.ts';
import { comparisonsTable } from '../../src/study/comparisons.ts';
import { setMeansOf } from '../../src/study/set-means.ts';
import { summaryRow } from '../../src/study/summary.ts';
import { makeFinding, makeRule } from '../lift/findings/make-findings.ts';
import { makeRecord, makeRecording, type RecordOptions } from '../study/make-record.ts';
import { makeUncertainty } from '../study/make-uncertainty.ts';
import { FILES, limits, makeReport as report } from './make-report.ts';

/** A view of the page, without tags. */
const viewText = (html: string, name: (typeof VIEWS)[number]) =>
  plain(html.slice(html.indexOf(`<article class="view" id="${name}"`)).split('</article>\n<article class="view"')[0]);
/** The band above the views and the coach's view. */
const coachText = (html: string) =>
  `${plain(html.slice(html.indexOf('<body>'), html.indexOf('<main>')))} ${viewText(html, 'coach')}`;
const scienceText = (html: string) => viewText(html, 'science');
const plain = (html: string) =>
  html
    .replace(/<script[\s\S]*?<\/script>/g, '')
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

  test('needs nothing from elsewhere: no address, style sheet, font or picture; scripts are data', () => {
    const packed = /<script type="application\/octet-stream[^"]*"[^>]*>[\w+/=]*<\/script>/g;
    const bare = made.html
      .replace(packed, '')
      .replace(/ xmlns="[^"]*"/g, '')
      .replace(/<script type="application\/json"[^>]*>[^<]*<\/script>/g, '');
    expect(bare.match(/https?:|\/\/[a-z]|<script|<link|<iframe|<img|@import|url\(|\son\w+=/i)).toBeNull();
    expect(made.html.length).toBeLessThan(1.5e6);
  });

  test('three views, each with its title and a link to it', () => {
    for (const name of VIEWS) {
      expect(made.html).toContain(`<a href="#${name}">`);
      expect(viewText(made.html, name)).toContain(viewTitle(name));
    }
  });

  test('every link inside the page has its place, every place one name', () => {
    const ids = [...made.html.matchAll(/\sid="([^"]*)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    const links = [...made.html.matchAll(/href="#([^"]*)"/g)].map(([, id]) => id);
    expect(links.filter((id) => !ids.includes(id))).toEqual([]);
    expect(links.length).toBeGreaterThan(6);
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
    for (const tag of pictures) expect(tag).toMatch(/role="img" aria-label="[^"]{20,}"|aria-hidden="true"|width="160"/);
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
    expect(plain(html).includes(say.syntheticMark())).toBe(false);
  });

  test('the part for the coach has no jargon and no unknown number', () => {
    const jargon =
      /.{40}(sagittal|residual|covariance|Butterworth|Newton|coefficient|reprojection|undefined|\bnull\b|\bnan\b).{20}/i;
    expect(coachText(made.html).match(jargon)).toBeNull();
    expect(viewText(made.html, 'athlete').match(jargon)).toBeNull();
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
  });

  test('carries every caution', () => {
    const text = coachText(made.html);
    for (const caution of cautionsFor(made.recording)) {
      expect(text).toContain(caution);
      expect(viewText(made.html, 'athlete')).toContain(caution);
    }
  });

  test('shows every limit of quality with its value or that there is none', () => {
    const text = scienceText(made.html);
    for (const { name, means } of limits) expect(text).toContain(say.qualityWords(name, means));
    expect(text).toContain(say.notJudged());
  });

  test('gives the scientist inputs, settings and links to the files', () => {
    for (const file of FILES) expect(made.html).toContain(`href="${file}"`);
    expect(made.html).toContain('ab'.repeat(32));
    expect(plain(made.html)).toContain('de-leva-1996');
  });

  test('the same record gives the same bytes', async () => {
    const { html } = await report({ partialRepetition: 2, withFeet: false });
    expect(html === made.html).toBe(true);
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
  expect(scienceText(html)).toContain(say.noPicturesTaken());
});

test('figure files are those that could be drawn', async () => {
  const names = [...figureFiles(await liftFigures(makeRecord({ withCameras: false, repetitions: 1 }))).keys()];
  expect(names).toContain('moment-across-depth.svg');
  expect(names).not.toContain('camera-residuals.svg');
});

describe('how sure the numbers are', () => {
  let html: string;
  let text: string;
  beforeAll(async () => {
    const doubts = { keypoints: 0.08, segments: 0.04, noise: 0.001, unknownInDraws: ['hip_drop'] };
    ({ html } = await report({ repetitions: 2 }, {}, doubts));
    text = `${coachText(html)} ${scienceText(html)}`;
  });

  test('the first screen says it, and what is not counted', () => {
    expect(text).toMatch(/the hips carry \d+ % of the hip \+ knee effort, sure within ± \d+ points \(\d+ to \d+ %\)/);
    expect(text).toContain(doubt.notCountedBriefly(['calibration', 'vertical']));
    expect(text).toContain(doubt.notCounted(['calibration', 'vertical']));
  });

  test('what would narrow the hips’ part most, with what would be left: shares 0.8 and 0.2 but for a little noise', () => {
    const half = Number(/sure within ± ([\d.]+) points/.exec(text)![1]);
    expect(text).toContain('Most of that doubt (80 %)');
    const left = [...text.matchAll(/Without it: ± ([\d.]+) points/g)].map((match) => Number(match[1]));
    expect(left).toHaveLength(2);
    // √0.2 and √0.8 of the half width; the half width in the text is rounded to whole points.
    [Math.sqrt(0.2), Math.sqrt(0.8)].forEach((part, i) => {
      expect(Math.abs(left[i] - part * half)).toBeLessThan(0.55);
    });
  });

  test('a known number without an interval says why', () => {
    expect(text).toContain(doubt.noInterval());
    expect(text).toContain(doubt.plainDoubtReason('known in 20 of 40 draws only'));
  });

  test('the scientist finds mode, seed, definition, reasons and the link to the causes', () => {
    expect(plain(html)).toContain(doubt.modeWords('linear', 0, 40, 7));
    for (const sentence of doubt.intervalDefinition('linear')) expect(plain(html)).toContain(sentence);
    expect(plain(html)).toContain('the rig holds no covariance');
    expect(html).toContain('<a href="causes.csv">');
  });

  test('joint draws are said to be joint draws', async () => {
    const drawn = plain((await report({ repetitions: 1 }, {}, { draws: 100 })).html);
    expect(drawn).toContain(doubt.modeWords('draws', 100, 40, 7));
    for (const sentence of doubt.intervalDefinition('draws')) expect(drawn).toContain(sentence);
  });

  test('switched off: said once, and nothing left of intervals', async () => {
    const bare = plain((await report({ repetitions: 1 }, {}, null)).html.replace(/<style>[\s\S]*?<\/style>/, ''));
    expect(bare.match(/.{30}intervals were switched off/g)).toHaveLength(1);
    expect(bare.match(/.{40}(sure within|interval unknown|NaN|undefined).{20}/)).toBeNull();
    expect(bare.includes(doubt.doubtHeading())).toBe(false);
  });
});

describe('the headline', () => {
  const known = (lower: number, upper: number, mean: number, n = 3) =>
    ({
      known: true,
      estimate: { mean, value: mean, sd: Number.NaN, lowest: mean, highest: mean, n, lower, upper },
    }) as const;
  const bare = (mean: number) => known(Number.NaN, Number.NaN, mean);
  const unknown = (reason: string) => ({ known: false, reason }) as const;

  test.each([
    [
      'knees first',
      known(0.38, 0.46, 0.42),
      unknown(''),
      /^Knees first; at parallel the hips carry 42 % .*, sure within ± 4 points \(38 to 46 %\)\.$/,
    ],
    ['unknown', bare(0.42), unknown(''), /^At parallel the hips carry 42 % of the hip \+ knee effort\.$/],
    [
      'hips first',
      unknown('parallel not reached'),
      known(0.5, 0.6, 0.55),
      /at the bottom the hips carry 55 %.*± 5 points.*parallel not reached/,
    ],
    ['together', unknown('needs left_hip'), unknown('needs left_hip'), /unknown: needs left hip\.$/],
    ['hips first', known(1.1, 1.3, 1.2), unknown(''), /hips carry all.*120 %, sure within ± 10 points/],
    ['knees first', known(-0.3, -0.1, -0.2), unknown(''), /knees carry all.*−20 %.*\(−30 to −10 %\)/],
    ['knees first', known(-0.05, 0.1, 0.02), unknown(''), /\(−5 to 10 %\)/],
  ] as const)('%s', (start, parallel, bottom, expected) => {
    expect(say.headline(start, parallel, bottom)).toMatch(expected);
  });

  test('the note says how repetitions differ', () => {
    const { estimate } = known(0.38, 0.46, 0.42);
    expect(say.headlineNote(true, '', { ...estimate, lowest: 0.4, highest: 0.44 })).toMatch(
      /3 full repetitions.*40–44 %/,
    );
    expect(say.headlineNote(true, '', { ...estimate, lowest: -0.05, highest: 0.1 })).toMatch(/from −5 to 10 %/);
    expect(say.headlineNote(true, '', estimate)).toMatch(/the same in all 3/);
    expect(say.headlineNote(true, '', { ...estimate, n: 1 })).toMatch(/One full repetition/);
  });
});

test('on paper nothing shut is lost, and the cautions stand behind the first screen', async () => {
  const made = await report({ repetitions: 1 });
  const shut = made.html.match(/<details[^>]*>/g)!;
  // The keys of the moving picture and the first lines of the tables are for the screen.
  expect(shut.filter((fold) => !/ data-print| class="sc-more"/.test(fold)).length).toBe(
    made.html.match(/<pre class="preview"/g)!.length,
  );
  const paper = made.html.indexOf('<section class="on-paper">');
  expect(paper).toBeGreaterThan(made.html.indexOf('class="cards"'));
  expect(paper).toBeLessThan(made.html.indexOf('<section id="findings">'));
  expect(plain(made.html.slice(paper, made.html.indexOf('</section>', paper)))).toContain(
    cautionsFor(makeRecording())[0],
  );
});

test('where something is shown that needs no change, neither view says that nothing stands out', async () => {
  const finding = makeFinding({ rule: makeRule({ cue: '' }) });
  const { html } = await report({ repetitions: 1 }, {}, {}, { findings: [finding], chains: [] });
  expect(coachText(html)).toContain(first.nothingToTry(true, true));
  expect(viewText(html, 'athlete')).toContain(athlete.nothingToTry(true));
  const rule = makeRule();
  const onlyOnce = [makeFinding({ rule, probability: 0.5 }), makeFinding({ rule, repetition: 1 })];
  const { html: without } = await report({ repetitions: 1 }, {}, {}, { findings: onlyOnce, chains: [] });
  expect(coachText(without)).toContain(first.nothingToTry(true, false));
  expect(viewText(without, 'athlete')).toContain(athlete.nothingToTry(false));
});

test('the index of a study links every report, lists what failed and keeps user text as text', () => {
  const record = makeRecord({ repetitions: 1 });
  const recording = makeRecording();
  const html = studyReportHtml({
    id: 'demo',
    title: 'A & B <study>',
    synthetic: true,
    toolVersion: '0.1.0',
    lifts: [{ row: summaryRow(record, 'usable', recording), recording, report: 'recordings/A 01#x/report.html' }],
    failures: [{ recording: 'B02', message: 'b.yaml: <bad>' }],
    files: ['measures.csv'],
  });
  expect(html).toContain('href="recordings/A%2001%23x/report.html"');
  expect(html).toContain('b.yaml: &lt;bad&gt;');
  expect(html).toContain('<h1>A &amp; B &lt;study&gt;</h1>');
  expect(html).toContain(say.syntheticMark());
  for (const caution of cautionsForAll()) expect(plain(html)).toContain(caution);
});

describe('the index compares recordings of one lifter', () => {
  const compared = (id: string, options: RecordOptions = {}) => {
    const record = makeRecord({ recordingId: id, ...options });
    const recording = makeRecording({ recordingId: id });
    return { record, recording, means: setMeansOf(makeUncertainty(record)) };
  };
  const all = ['a', 'b', 'c', 'd'].map((id) => compared(id, { repetitions: 1 }));
  const page = (lifts: readonly ReturnType<typeof compared>[]) =>
    studyReportHtml({
      id: 'demo',
      title: 'Demo',
      synthetic: true,
      toolVersion: '0.1.0',
      lifts: lifts.map(({ record, recording, means }) => ({
        row: summaryRow(record, 'good', recording, means),
        recording,
        report: `recordings/${record.recordingId}/report.html`,
      })),
      failures: [],
      comparisons: comparisonsTable(lifts),
      files: [],
    });

  test('difference, interval, verdict in words, part of the doubt that cancelled', () => {
    const text = plain(page(all.slice(0, 2)));
    expect(text).toContain(doubt.comparisonHeading());
    expect(text).toContain(doubt.againstWords('b', 'a'));
    expect(text).toMatch(/cannot tell yet \+?[−\d.]+ points \([−\d.]+ to [−\d.]+\) doubt cancelled: \d+ %/);
    expect(text).not.toMatch(/NaN|undefined|null/);
  });

  test('on a phone the cells of a row stand under each other, each with its title', () => {
    const text = page(all.slice(0, 2));
    for (const title of [...studyColumns(), ...doubt.comparisonColumns()].slice(1))
      if (title !== doubt.comparisonColumns()[0]) expect(text).toContain(` data-label="${title}"`);
    expect(text.match(/class="scroll small stacked"/g)).toHaveLength(2);
  });

  test('says what else differs, and where nothing states which came first', () => {
    const [a, b] = all;
    const changed = (one: typeof a, changes: Partial<typeof a.recording>) => ({
      ...one,
      recording: { ...one.recording, ...changes },
    });
    const { load, lift } = a.recording;
    const set = (number: number) => ({ ...lift, set: number });
    const [a2, b2] = [
      changed(a, { load: { ...load, totalKg: 80 }, condition: { heel: 'flat' }, lift: set(2) }),
      changed(b, { load: { ...load, totalKg: 60.5 }, condition: { heel: 'raised' }, lift: set(1) }),
    ];
    const text = plain(page([a2, b2]));
    // Set 2 is the later one although its name comes first.
    expect(text).toContain(doubt.againstWords('a', 'b'));
    expect(text).toContain('load: 80 kg against 60.5 kg; condition: heel flat against heel raised');
    expect(text).not.toContain(doubt.orderNotStated());
    const alike = plain(page([changed(a, { lift: set(1) }), changed(b, { lift: set(1) })]));
    expect(alike).toContain(doubt.orderNotStated());
    expect(alike).not.toContain('load:');
    const dated = plain(page([changed(a, { date: '2026-03-01' }), b]));
    expect(dated).toContain(doubt.nothingElse());
  });

  test('one recording: nothing to compare, no heading', () => {
    expect(page(all.slice(0, 1))).not.toContain(doubt.comparisonHeading());
  });

  test('without intervals each part that takes them says so', () => {
    const [a, b] = all.slice(0, 2).map((one) => ({ ...one, means: [] }));
    const heavier = { ...b, recording: { ...b.recording, load: { ...b.recording.load, totalKg: 100 } } };
    const text = plain(page([a, heavier]));
    for (const heading of [doubt.comparisonHeading(), loadsHeading()])
      expect(text).toContain(`${heading} ${doubt.withoutIntervals()}`);
    const alike = plain(page([a, b]));
    expect(alike).toContain(doubt.withoutIntervals());
    expect(alike).not.toContain(loadsHeading());
  });

  test('many recordings: each against the one before and the first', () => {
    const text = page(all);
    expect(text.match(/scope="row">. against ./g)).toHaveLength(1 + 2 + 2);
  });
});
