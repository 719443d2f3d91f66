import { describe, expect, test } from '@jest/globals';
import { COLOUR, DARK } from '../../src/figures/look.ts';
import { reference } from '../reference.ts';
import { contrast, distanceSeen } from './colour.ts';

interface Vision {
  readonly name: string;
  readonly matrix: readonly (readonly number[])[];
}
const vision = reference<Vision>('figures-colour-vision');
const toldApart = [
  [COLOUR.hip, COLOUR.knee],
  [COLOUR.hip, COLOUR.ankle],
  [COLOUR.knee, COLOUR.ankle],
  [COLOUR.down, COLOUR.up],
  [COLOUR.near, COLOUR.far],
  [COLOUR.mass, COLOUR.foot],
] as const;

test('contrast is that of the guidelines: black on white is 21 to 1', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
});

describe.each(vision.cases)('colours that are told apart stay apart with $name vision', ({ matrix }) => {
  test.each(toldApart)('%s and %s, on white and in the dark', (a, b) => {
    expect(distanceSeen(a, b, matrix)).toBeGreaterThan(vision.tolerance);
    expect(distanceSeen(DARK[a], DARK[b], matrix)).toBeGreaterThan(vision.tolerance);
  });
});

describe('contrast against the card', () => {
  const [text, line] = [Number(vision.textContrast), Number(vision.lineContrast)];
  test.each(['ink', 'quiet'] as const)('%s is fit for text', (name) => {
    expect(contrast(COLOUR[name], '#ffffff')).toBeGreaterThan(text);
    expect(contrast(DARK[COLOUR[name]], DARK['#ffffff'])).toBeGreaterThan(text);
  });
  test.each(['hip', 'knee', 'ankle', 'up', 'far', 'mass', 'foot'] as const)('%s is fit for lines', (name) => {
    expect(contrast(COLOUR[name], '#ffffff')).toBeGreaterThan(line);
    expect(contrast(DARK[COLOUR[name]], DARK['#ffffff'])).toBeGreaterThan(line);
  });
  test.each(['fillBlue', 'fillSand', 'fillGreen', 'fillRose', 'fillGrey'] as const)(
    'text can be read on %s',
    (name) => {
      expect(contrast(COLOUR.ink, COLOUR[name])).toBeGreaterThan(text);
      expect(contrast(DARK[COLOUR.ink], DARK[COLOUR[name]])).toBeGreaterThan(text);
    },
  );
});
