import { beforeAll, describe, expect, test } from '@jest/globals';
import { compareCautions } from '../../src/messages/compare.ts';
import { compareFigureFiles, compareFigures, POINTS } from '../../src/report/compare-figures.ts';
import { comparePage } from '../../src/report/compare-page.ts';
import { coachRows, differenceText, formatComparison, headlineOf } from '../../src/report/compare-rows.ts';
import * as say from '../../src/report/compare-wording.ts';
import { compareLifts, type LiftComparison } from '../../src/study/compare/compare-lifts.ts';
import type { ComparedLift } from '../../src/study/compare/compared-lift.ts';
import { madeLift } from '../study/compare/made-lifts.ts';

const plain = (html: string) =>
  html
    .replace(/<style>[\s\S]*?<\/style>/, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&#39;', "'")
    .replaceAll('&quot;', '"')
    .replaceAll('&amp;', '&')
    .replace(/\s+/g, ' ');

async function made(a: ComparedLift, b: ComparedLift) {
  const comparison = compareLifts(a, b);
  const figures = await compareFigures(comparison);
  const html = comparePage({ comparison, figures, files: ['curve-differences.csv'], toolVersion: '0.1.0' });
  return { comparison, figures, html, text: plain(html) };
}

const { recording } = madeLift({}, null);
const flat = (doubts: Parameters<typeof madeLift>[1] = {}) =>
  madeLift({ recordingId: 'mon' }, doubts, null, { condition: { heel: 'flat' } });
const raised = () =>
  madeLift({ recordingId: 'fri' }, {}, null, {
    condition: { heel: 'raised' },
    load: { ...recording.load, totalKg: 90 },
  });

describe('the page of a comparison', () => {
  let page: Awaited<ReturnType<typeof made>>;
  beforeAll(async () => {
    page = await made(flat(), raised());
  });

  test('needs nothing from elsewhere and is one document with headings in order', () => {
    expect(page.html).not.toMatch(/https?:|\/\/[a-z]|<script|<link|<iframe|<img|@import|url\(|\son\w+=/i);
    expect(page.html.length).toBeLessThan(3e6);
    const levels = [...page.html.matchAll(/<h([1-6])[ >]/g)].map((match) => Number(match[1]));
    expect(levels.filter((level) => level === 1)).toHaveLength(1);
    levels.slice(1).forEach((level, i) => {
      expect(level - levels[i]).toBeLessThanOrEqual(1);
    });
  });

  test('begins with the sentence, names both sides, and says what is not alike before any table', () => {
    const at = (part: string) => page.text.indexOf(part);
    expect(at(headlineOf(page.comparison))).toBeGreaterThan(0);
    for (const part of ['A: mon', 'B: fri', 'heel flat', 'heel raised', '80 kg', '90 kg'])
      expect(page.text).toContain(part);
    expect(at(compareCautions.otherLoad(80, 90))).toBeGreaterThan(at(headlineOf(page.comparison)));
    expect(at(compareCautions.otherLoad(80, 90))).toBeLessThan(at(say.tableHeading()));
  });

  test('pictures, then the coach’s table, curves, what cancels, all measures folded, cautions, in that order', () => {
    const order = [
      say.picturesHeading(),
      say.tableHeading(),
      say.curvesHeading(),
      say.cancelHeading(),
      say.allHeading(),
      say.careHeading(),
    ].map((heading) => page.html.indexOf(`<h2>${heading}`));
    expect(order.every((place) => place > 0)).toBe(true);
    expect([...order].sort((a, b) => a - b)).toEqual(order);
    expect(page.html).toMatch(/<details><summary>/);
  });

  test('every picture says what it shows and takes the colours of the page', () => {
    const pictures = [...page.html.matchAll(/<svg[^>]*>/g)].map(([tag]) => tag);
    expect(pictures.length).toBeGreaterThanOrEqual(12);
    for (const tag of pictures) expect(tag).toMatch(/role="img" aria-label="[^"]{20,}"/);
    expect(page.html).not.toMatch(/NaN|undefined|Infinity/);
  });

  test('plain words: none of the trade of statistics or anatomy', () => {
    expect(page.text).not.toMatch(/sagittal|residual|covariance|quantile|bootstrap/i);
  });

  test('the terminal says the sentence and both sides, in no more than a screen', () => {
    const text = formatComparison(page.comparison);
    expect(text.split('\n')[0]).toBe(headlineOf(page.comparison));
    expect(text.split('\n').length).toBeLessThan(30);
  });

  test('figures are files of their own, the same bytes each time', async () => {
    const again = compareFigureFiles(await compareFigures(page.comparison));
    const files = compareFigureFiles(page.figures);
    expect([...files.keys()]).toEqual(
      expect.arrayContaining(['hip-share-descent.svg', 'lean-ascent.svg', 'posture-parallel.svg']),
    );
    for (const [name, svg] of files) {
      expect(again.get(name)).toBe(svg);
      expect(svg).toMatch(/^<svg[^>]*xmlns=/);
      expect(svg).not.toMatch(/NaN|undefined/);
    }
  });
});

describe('the sentence', () => {
  const sides = { a: 'heel flat', b: 'heel raised' };
  test('different, less and more: the smaller end of the interval stands first', () => {
    expect(say.headline('parallel', 'different', { value: -0.12, lower: -0.15, upper: -0.1 }, POINTS, sides)).toContain(
      '12 points less',
    );
    expect(say.headline('parallel', 'different', { value: -0.12, lower: -0.15, upper: -0.1 }, POINTS, sides)).toContain(
      '(10 to 15): different',
    );
    expect(say.headline('bottom', 'different', { value: 0.12, lower: 0.1, upper: 0.15 }, POINTS, sides)).toContain(
      '12 points more',
    );
  });

  test('cannot tell says how large a difference may still be, both ways', () => {
    const text = say.headline('parallel', 'cannot tell', { value: 0.01, lower: -0.03, upper: 0.05 }, POINTS, sides);
    expect(text).toContain('1 point more');
    expect(text).toMatch(/3 less to 5 more: cannot tell/);
  });

  test('what tells the sides apart: repetition, condition, date, else the ids', () => {
    const one = flat();
    const words = (a: ComparedLift, b: ComparedLift) =>
      say.sideWords({ a, b, sameRecording: a.source === b.source } as LiftComparison);
    expect(words({ ...one, repetition: 1 }, { ...one, repetition: 3 })).toEqual({
      a: 'repetition 1',
      b: 'repetition 3',
    });
    expect(words(flat(), raised())).toEqual(sides);
    const later = madeLift({ recordingId: 'fri' }, {}, null, { date: '2026-05-01', condition: { heel: 'flat' } });
    expect(words(flat(), later)).toEqual({ a: '2026-03-04', b: '2026-05-01' });
    const twin = madeLift({ recordingId: 'twin' }, {}, null, { condition: { heel: 'flat' } });
    expect(words(flat(), twin)).toEqual({ a: 'mon', b: 'twin' });
  });
});

test('a lift against itself: no difference to tell, and no digits that mean nothing', async () => {
  const { comparison, text } = await made(flat(), flat());
  expect(headlineOf(comparison)).toMatch(/no difference to tell/);
  for (const { line, row } of coachRows(comparison)) expect(differenceText(row, line.shown)).not.toMatch(/0\.0000/);
  expect(text).toContain(say.verdictWords('cannot tell'));
});

test('without intervals the page is made, judges nothing and says so', async () => {
  const { comparison, text } = await made(flat(null), flat(null));
  expect(text).toContain(compareCautions.nothingJudged());
  expect(text).not.toContain(`: ${say.verdictWords('different')}.`);
  expect(comparison.measures.every(({ verdict }) => verdict === 'unknown')).toBe(true);
});
