import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from '@jest/globals';
import { DARK } from '../../src/figures/look.ts';
import { measurePicture, measurePictureFile, PICTURED } from '../../src/figures/measure-pictures/index.ts';
import { MEASURES } from '../../src/lift/measures/index.ts';
import { MEASURE_IMAGES, measureImages } from '../generators/write-measures-doc.ts';
import { contrast } from './colour.ts';

const NAMES = MEASURES.map(({ name }) => name);
const picture = (name: string): string => measurePicture(name) ?? '';

interface Words {
  readonly words: string;
  readonly x: number;
  readonly y: number;
  readonly size: number;
  readonly left: number;
  readonly right: number;
}

/** Mean width of a character in em, sans-serif: as src/figures/render-svg.ts takes it (common practice, no source). */
const CHARACTER_EM = 0.56;

/** Every text of a picture and the place it takes. */
function textsOf(svg: string): Words[] {
  return [...svg.matchAll(/<text ([^>]*)>([^<]*)<\/text>/g)].map(([, attributes, words]) => {
    const value = (name: string) => new RegExp(`(?:^| )${name}="([^"]*)"`).exec(attributes)?.[1];
    const [x, y, size] = ['x', 'y', 'font-size'].map((name) => Number(value(name)));
    const width = words.length * size * CHARACTER_EM;
    const left = { start: x, middle: x - width / 2, end: x - width }[value('text-anchor') ?? 'start'] ?? Number.NaN;
    return { words, x, y, size, left, right: left + width };
  });
}

/** Opening and closing tags in their order, or where they do not fit. */
function unbalanced(svg: string): string {
  const open: string[] = [];
  for (const [, close, name, alone] of svg.matchAll(/<(\/?)([a-z]+)[^>]*?(\/?)>/g)) {
    if (alone) continue;
    if (!close) open.push(name);
    else if (open.pop() !== name) return name;
  }
  return open.join(' ');
}

describe('the set of pictures', () => {
  test('every measure has one, and no picture is left without a measure', () => {
    expect(NAMES.filter((name) => measurePicture(name) === null)).toEqual([]);
    expect(PICTURED.filter((name) => !NAMES.includes(name))).toEqual([]);
  });

  test('names that are none, or that every object has, give null', () => {
    for (const name of ['', 'no_such_measure', 'toString', '__proto__']) {
      expect(measurePicture(name)).toBeNull();
      expect(measurePictureFile(name)).toBeNull();
    }
  });

  test('no two are alike, neither drawn nor said', () => {
    const drawn = NAMES.map((name) => picture(name).replace(/<title>.*<\/title>/, ''));
    const said = NAMES.map((name) => /<title>(.*)<\/title>/.exec(picture(name))?.[1]);
    expect(new Set(drawn).size).toBe(NAMES.length);
    expect(new Set(said).size).toBe(NAMES.length);
  });

  test('docs/images/measures holds exactly these files, as drawn now', () => {
    const images = measureImages();
    expect(readdirSync(MEASURE_IMAGES).sort()).toEqual([...images.keys()].sort());
    for (const [file, text] of images)
      expect([file, readFileSync(join(MEASURE_IMAGES, file), 'utf8')]).toEqual([file, text]);
  });
});

describe.each(NAMES)('%s', (name) => {
  const svg = picture(name);

  test('is a well-formed picture of 160 × 120 with a title, nothing from outside, nothing that clashes in a page', () => {
    expect(svg).toMatch(
      /^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg" viewBox="0 0 160 120"[^>]* role="img"[^>]*><title>[^<]{30,}<\/title>/,
    );
    expect(unbalanced(svg)).toBe('');
    expect(svg).not.toMatch(/\sid=|\sclass=|\sstyle=|href|<style|<script|NaN|undefined|Infinity/);
  });

  test('has the colour of its surroundings and one accent, and uses the accent', () => {
    const colours = [...svg.matchAll(/(?:fill|stroke)="([^"]+)"/g)].map(([, colour]) => colour);
    const accents = colours.filter((colour) => /^var\(--measure-accent,#[0-9a-f]{6}\)$/.test(colour));
    expect(colours.filter((c) => c !== 'none' && c !== 'currentColor' && !accents.includes(c))).toEqual([]);
    expect(accents.length).toBeGreaterThan(0);
    const file = measurePictureFile(name) ?? '';
    expect(file).not.toContain('var(');
    expect(file).toContain(' color="#1d2733"');
  });

  test('writes nothing small, nothing outside the picture, nothing over other words', () => {
    const texts = textsOf(svg);
    for (const { words, size, left, right, y } of texts) {
      expect([words, size >= 9]).toEqual([words, true]);
      expect([words, left >= 0 && right <= 160 && y - 0.7 * size >= 0 && y <= 119]).toEqual([words, true]);
    }
    const clashes = texts.flatMap((a, i) =>
      texts
        .slice(i + 1)
        .filter((b) => a.left < b.right && b.left < a.right && a.y - 0.7 * a.size < b.y && b.y - 0.7 * b.size < a.y)
        .map((b) => [a.words, b.words]),
    );
    expect(clashes).toEqual([]);
  });
});

test('the accent stands out from a white and from the dark ground as a mark must (WCAG 2.1, 1.4.11: 3 to 1)', () => {
  const accent = /var\(--measure-accent,(#[0-9a-f]{6})\)/.exec(picture('trunk_lean'))?.[1] ?? '';
  for (const ground of ['#ffffff', DARK['#ffffff']]) expect(contrast(accent, ground)).toBeGreaterThan(3);
});

describe('which way is plus, against the definition', () => {
  const mark = (name: string, words: string) => {
    const found = textsOf(picture(name)).find((text) => text.words === words);
    if (!found) throw new Error(`${name}: no ${words}`);
    return found;
  };

  // Side views face right, so ahead is to the right; the lifter's right is on the left of a front view.
  test.each([
    ...[
      'pelvis_ahead',
      'knee_over_toe',
      'bar_over_midfoot',
      'bar_ahead_of_shoulders',
      'bar_ahead_of_neck',
      'bar_drift',
    ],
    ...['trunk_lean', 'extra_lean', 'lean_gained_in_drive', 'shank_inclination', 'trunk_minus_shank'],
    ...['ankle_dorsiflexion', 'trunk_rounding', 'left_minus_right_knee_over_toe', 'knee_onset_lead', 'toe_out'],
  ])('%s: to the right of nought', (name) => {
    expect(mark(name, '+').x).toBeGreaterThan(mark(name, '0').x + 4);
  });

  test.each(['lean_back', 'knee_return', 'com_rear_shift', 'hip_shift'])('%s: to the left of nought', (name) => {
    expect(mark(name, '+').x).toBeLessThan(mark(name, '0').x - 4);
  });

  test.each([
    ...['toe_lift', 'heel_lift', 'bar_above_shoulders', 'double_bounce', 'head_tilt', 'upper_arm_elevation'],
    ...['hips_tilt', 'shoulders_tilt', 'bar_tilt', 'bar_turn', 'stance_stagger', 'largest_lean_depth', 'pelvic_tuck'],
    ...['bottom_thigh_elevation', 'hip_crease_above_knee'],
  ])('%s: above nought', (name) => {
    expect(mark(name, '+').y).toBeLessThan(mark(name, '0').y - 4);
  });

  test.each(['hip_drop', 'upper_arm_drop', 'bar_slip', 'sticking_speed_loss'])('%s: below nought', (name) => {
    expect(mark(name, '+').y).toBeGreaterThan(mark(name, '0').y + 4);
  });

  test('where a minus is drawn, it lies on the other side of nought or across from plus', () => {
    for (const name of NAMES) {
      const texts = textsOf(picture(name));
      const [plus, minus] = ['+', '−'].map((words) => texts.find((text) => text.words === words));
      if (plus && minus) expect([name, Math.hypot(plus.x - minus.x, plus.y - minus.y) > 12]).toEqual([name, true]);
    }
  });

  test('the right side of a front view is on the left, of a view from above on the right', () => {
    for (const name of [
      'hips_tilt',
      'shoulders_tilt',
      'bar_tilt',
      'hip_shift',
      'stance_ankle_distance',
      'hand_spacing',
    ])
      expect(mark(name, 'R').x).toBeLessThan(mark(name, 'L').x);
    for (const name of ['bar_turn', 'feet_moved', 'toe_out', 'stance_heel_distance', 'stance_stagger'])
      expect(mark(name, 'R').x).toBeGreaterThan(mark(name, 'L').x);
  });
});
