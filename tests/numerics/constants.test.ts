import { expect, test } from '@jest/globals';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';

test('standard gravity as defined (3rd CGPM 1901, resolution 2: 980.665 cm/s²)', () => {
  expect(GRAVITY_M_PER_S2 * 100).toBe(980.665);
});
