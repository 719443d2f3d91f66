import { describe, expect, test } from '@jest/globals';
import { PAGE_COLOURS } from '../../src/report/style.ts';
import { contrast } from '../figures/colour.ts';

/** Web Content Accessibility Guidelines 2.1, success criterion 1.4.3: contrast of text, from memory. */
const TEXT = 4.5;

describe.each(['light', 'dark'] as const)('text can be read, %s', (scheme) => {
  const colours = PAGE_COLOURS[scheme];
  test.each([
    ...(['ink', 'quiet', 'accent', 'good', 'usable', 'poor'] as const).flatMap((ink) =>
      (['page', 'card'] as const).map((ground) => [ink, ground] as const),
    ),
    ['ink', 'tint'],
    ['accent', 'tint'],
    ['mark-ink', 'mark'],
    ['band-ink', 'band'],
    ['band-quiet', 'band'],
  ] as const)('%s on %s', (ink, ground) => {
    expect(contrast(colours[ink], colours[ground])).toBeGreaterThanOrEqual(TEXT);
  });
});
