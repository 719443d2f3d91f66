import { expect, test } from '@jest/globals';
import { liftersSection } from '../../src/report/lifters-part.ts';
import type { SummaryRow } from '../../src/study/summary.ts';

const row = (recordingId: string, half: number): SummaryRow => {
  const share = {
    mean: 0.6,
    sd: 0.01,
    count: 3,
    low: 0.58,
    high: 0.62,
    value: 0.6,
    lower: 0.6 - half,
    upper: 0.6 + half,
  };
  return {
    ...{ recordingId, lifter: 'A01', loadKg: 60, condition: 'heel flat', largestLeanDeg: null },
    hipShareAtParallel: share,
  } as unknown as SummaryRow;
};

test('an interval is spoken of only where one is drawn', () => {
  const sure = liftersSection([row('A01-1', 0.03), row('A01-2', 0.03)])!.text;
  expect(sure).toContain('the line: its 95 % interval');
  expect(sure).toContain('a dot with its interval');
  const bare = liftersSection([row('A01-1', Number.NaN), row('A01-2', Number.NaN)])!.text;
  expect(bare).not.toContain('the line: its 95 % interval');
  expect(bare).not.toContain('with its interval');
  expect(bare).toContain('without an interval');
});
