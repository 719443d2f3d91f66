import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from '@jest/globals';
import { gradeRig, rigLimits } from '../../src/cameras/acceptance.ts';
import { calibrationFigures } from '../../src/report/calibration-figures.ts';
import { calibrationPage } from '../../src/report/calibration-page.ts';
import * as say from '../../src/report/calibration-wording.ts';
import { type CalibrationOptions, makeCalibration } from './make-calibration.ts';

const limits = rigLimits(
  JSON.parse(readFileSync(new URL('../../calibration/acceptance.json', import.meta.url), 'utf8')),
  'acceptance.json',
);
const FILES = ['calibration-points.csv', 'calibration-views.csv'];

async function pageOf(options: CalibrationOptions = {}) {
  const calibration = makeCalibration(options);
  const graded = gradeRig(calibration.rig, limits);
  const figures = await calibrationFigures(calibration);
  const html = calibrationPage({ calibration, graded, figures, toolVersion: '0.1.0', files: FILES });
  return { calibration, graded, html };
}

const plain = (html: string) =>
  html
    .replace(/<style>[\s\S]*?<\/style>/, '')
    .replace(/<svg[\s\S]*?<\/svg>/g, (svg) => [...svg.matchAll(/>([^<]+)</g)].map((match) => match[1]).join(' '))
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&#39;', "'")
    .replaceAll('&amp;', '&')
    .replace(/\s+/g, ' ');
const coachText = (html: string) => plain(html.slice(0, html.indexOf(`<h2>${say.scienceHeading()}`)));

describe('the page of a calibration', () => {
  let made: Awaited<ReturnType<typeof pageOf>>;
  beforeAll(async () => {
    made = await pageOf();
  });

  test('needs nothing from elsewhere and is one document', () => {
    expect(made.html).not.toMatch(/https?:|\/\/[a-z]|<script|<link|<iframe|<img|@import|url\(|\son\w+=/i);
    expect(made.html).toMatch(/^<!doctype html>\n<html lang="en">/);
    const levels = [...made.html.matchAll(/<h([1-6])[ >]/g)].map((match) => Number(match[1]));
    expect(levels.filter((level) => level === 1)).toHaveLength(1);
    levels.slice(1).forEach((level, i) => {
      expect(level - levels[i]).toBeLessThanOrEqual(1);
    });
  });

  test('every picture says what it shows; every table has column heads', () => {
    const pictures = [...made.html.matchAll(/<svg[^>]*>/g)].map(([tag]) => tag);
    // Two plans, coverage and residuals of two cameras, views, scale.
    expect(pictures).toHaveLength(8);
    for (const tag of pictures) expect(tag).toMatch(/role="img" aria-label="[^"]{20,}"/);
    for (const [, head] of made.html.matchAll(/<thead>([\s\S]*?)<\/thead>/g)) {
      for (const [tag, , text] of head.matchAll(/<th([^>]*)>([^<]*)</g)) {
        expect(tag).toContain('scope="col"');
        expect(text).not.toBe('');
      }
    }
  });

  test('begins with the verdict, then what the lengths kept back say', () => {
    const text = coachText(made.html);
    expect(made.graded.grade).toBe('good');
    expect(text).toContain(say.verdict(made.graded));
    expect(text).toContain(say.heldOutSentence(made.calibration.rig.quality.measured!.heldOutLength));
    expect(text).toContain(say.syntheticMark());
    expect(text).toContain(say.nothingToDo());
  });

  test('carries every caution about loaded bars', () => {
    const text = coachText(made.html);
    for (const caution of say.cautions()) expect(text).toContain(caution);
    expect(say.cautions().join(' ')).toMatch(/loaded bar/);
  });

  test('names dropped views with their reason, clocks with sign and interval, notes escaped', () => {
    const text = plain(made.html);
    expect(text).toContain('place 11');
    expect(text).toContain('4 corners found');
    expect(text).toContain('−12.30 ms');
    expect(text).toContain('± 1.2 ms');
    expect(text).toContain('a note <of> the rig');
    expect(made.html).not.toContain('<of>');
  });

  test('has every limit with its number and source, and links the raw tables', () => {
    const text = plain(made.html);
    for (const { name, source } of limits) {
      expect(text).toContain(name);
      expect(text).toContain(source.slice(0, 40));
    }
    for (const file of FILES) expect(made.html).toContain(`href="${file}"`);
  });

  test('no jargon in the part for the coach, no unknown number anywhere', () => {
    expect(coachText(made.html)).not.toMatch(/residual|covariance|reprojection|distortion|parameter|Jacobian|SD\b/i);
    expect(plain(made.html)).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  test('the same calibration gives the same bytes', async () => {
    expect((await pageOf()).html).toBe(made.html);
  });
});

describe('other verdicts', () => {
  test('poor: says what, where the limit is, and what to do first', async () => {
    const { html, graded } = await pageOf({ measured: { vertical: { from: 'eye', halfWidth95Deg: 3 } } });
    const text = coachText(html);
    expect(graded.grade).toBe('poor');
    const row = say.decidingRow(graded.grade, graded.rows)!;
    expect(row.name).toBe('vertical_half_width');
    expect(say.verdict(graded)).toContain('3°');
    expect(say.verdict(graded)).toContain('1°');
    expect(text).toContain(say.firstStep(graded));
    expect(text).toContain(row.limit.remedy);
  });

  test('usable: of several weak lines the one farthest from good decides and is advised first', () => {
    const measured = makeCalibration().rig.quality.measured!;
    const weak = makeCalibration({
      measured: {
        vertical: { from: 'x', halfWidth95Deg: 0.55 },
        heldOutLength: { ...measured.heldOutLength!, share: 0.0095 },
      },
    });
    const graded = gradeRig(weak.rig, limits);
    expect(graded.grade).toBe('usable');
    expect(say.decidingRow('usable', graded.rows)!.name).toBe('held_out_length_share');
    const [first, second] = say.advice(graded);
    expect(first.text).toBe(limits.find(({ name }) => name === 'held_out_length_share')!.remedy);
    expect(second.text).toBe(limits.find(({ name }) => name === 'vertical_half_width')!.remedy);
  });

  test('not known: names what is missing and never an empty number', async () => {
    const { html, graded } = await pageOf({
      measured: { vertical: null, scale: null, heldOutLength: null },
      synthetic: false,
    });
    expect(graded.grade).toBe('unknown');
    expect(say.decidingRow(graded.grade, graded.rows)!.value).toBeNull();
    expect(plain(html)).not.toMatch(/NaN|undefined|null/);
    expect(html).not.toContain(say.syntheticMark());
    expect(coachText(html)).toContain(say.verticalSentence(null));
  });

  test('a rig without any record still has its page', async () => {
    const { html, graded } = await pageOf({ measured: null });
    expect(graded.grade).toBe('unknown');
    expect(plain(html)).not.toMatch(/NaN|undefined|null/);
  });

  test('advice that several lines share is given once, with all of them', () => {
    const measured = makeCalibration().rig.quality.measured!;
    const weak = makeCalibration({
      measured: { cameras: [measured.cameras[0], { ...measured.cameras[1], placeSdM: 0.04, directionSdDeg: 0.2 }] },
    });
    const advice = say.advice(gradeRig(weak.rig, limits));
    expect(advice).toHaveLength(1);
    expect(advice[0].because.split(';')).toHaveLength(2);
  });
});
