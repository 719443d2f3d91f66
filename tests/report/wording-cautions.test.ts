import { describe, expect, test } from '@jest/globals';
import { BAR_POSITIONS } from '../../src/capture/schema.ts';
import { cautionsFor, cautionsForAll } from '../../src/report/wording-cautions.ts';
import { makeRecording } from '../study/make-record.ts';

const with_ = (position: (typeof BAR_POSITIONS)[number], totalKg = 60) =>
  cautionsFor({ load: { totalKg, bar: { position, lengthM: null, massKg: null } } });

describe('cautions', () => {
  test.each(BAR_POSITIONS)('%s: stop first; minors, conditions and qualified people always', (position) => {
    const all = with_(position);
    expect(all[0]).toMatch(/^Stop/);
    expect(all.join(' ')).toMatch(/qualified clinician/);
    expect(all.join(' ')).toMatch(/Under 18/);
    expect(all.join(' ')).toMatch(/pregnancy.*heart|heart.*pregnancy/i);
    expect(all.join(' ')).toMatch(/no diagnosis/);
    expect(new Set(all).size).toBe(all.length);
  });

  test('a front rack: the throat, and how to get out', () => {
    const text = cautionsFor(makeRecording()).join(' ');
    for (const word of [/throat/, /rack the bar/, /elbows stay up/, /go forward/, /step back/, /collars/, /Safeties/]) {
      expect(text).toMatch(word);
    }
    expect(with_('low back').join(' ')).not.toMatch(/throat/);
  });

  test('maximal attempts only where there is a load', () => {
    expect(with_('none', 0).join(' ')).not.toMatch(/Maximal/);
    expect(with_('high back').join(' ')).toMatch(/Maximal/);
    expect(cautionsForAll().length).toBeGreaterThan(4);
  });
});
