import { readFileSync } from 'node:fs';
import { expect, test } from '@jest/globals';
import { protocolDrawing } from '../generators/write-protocol-drawing.ts';

test('calibration/protocol.svg is what its script draws: A4, one unit a millimetre', () => {
  const written = readFileSync(new URL('../../calibration/protocol.svg', import.meta.url), 'utf8');
  expect(written).toBe(protocolDrawing());
  expect(written).toContain('width="210mm" height="297mm" viewBox="0 0 210 297"');
});
