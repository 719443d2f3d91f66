import { describe, expect, test } from '@jest/globals';
import { csvOf } from '../../src/study/csv.ts';
import { findingSentence, findingShown, thresholdText } from '../../src/study/finding-words.ts';
import { chainRows, FINDING_COLUMNS, findingsTable } from '../../src/study/findings-table.ts';
import { makeFinding, makeRule } from '../lift/findings/make-findings.ts';
import { readCsv, recordsOf } from './read-csv.ts';

const ids = { recordingId: 'A01', athleteId: '007' };

describe('findings.csv', () => {
  test('one row a finding, in the order they came, with its frames and its probability', () => {
    const rule = makeRule({ basis: { kind: 'contested', text: 'Some say so.' }, caution: 'Slowly.' });
    const rows = recordsOf(
      csvOf(
        findingsTable(ids, [
          makeFinding({ rule }),
          makeFinding({ rule, repetition: 2, frameFirst: 7, frameLast: 9, probability: 0.8 }),
          makeFinding({
            value: Number.NaN,
            lower: Number.NaN,
            upper: Number.NaN,
            probability: Number.NaN,
            reason: 'missing',
          }),
        ]),
      ),
    );
    expect(rows[0]).toMatchObject({
      recording_id: 'A01',
      athlete_id: '007',
      repetition: '0',
      finding: 'leans',
      value: '45',
      threshold: '40',
      basis: 'contested',
      threshold_source: 'Some say so.',
      probability: '0.99',
      word: 'shown',
      frame_first: '',
      sentence: 'Leans by 45°, more than 40°.',
      caution: 'Slowly.',
    });
    expect(rows[1]).toMatchObject({ repetition: '2', word: 'suggested', frame_first: '7', frame_last: '9' });
    expect(rows[2]).toMatchObject({ value: '', probability: '', word: 'unknown', reason: 'missing', sentence: '' });
    expect(rows[2].threshold_source).toBe('common practice, no source');
  });

  test('without findings, the header only', () => {
    expect(readCsv(csvOf(findingsTable(ids, [])))).toEqual([[...FINDING_COLUMNS]]);
  });

  test('chains are named by their rules', () => {
    const links = [makeFinding(), makeFinding({ rule: makeRule({ name: 'drops' }) })];
    expect(chainRows([{ name: 'two', links, sentence: 'Both.' }])).toEqual([
      { chain: 'two', findings: ['leans', 'drops'], sentence: 'Both.' },
    ]);
  });
});

describe('numbers in words', () => {
  test.each([
    ['heel_lift', 'm', 0.012, '1.2 cm'],
    ['lean_back', 'deg', 8, '8°'],
    ['head_tilt', 'deg', -15, '−15°'],
    ['velocity_loss', '1', 0.3, '30 %'],
    ['stance_per_shoulder_width', '1', 1.25, '1.25 ×'],
    ['descent_velocity_peak', 'm_per_s', 1.2, '1.2 m/s'],
  ])('threshold of %s', (measure, unit, threshold, text) => {
    expect(thresholdText(makeRule({ measure, threshold }), unit)).toBe(text);
  });

  test('the side is told, and a share is per cent', () => {
    const rule = makeRule({ measure: 'com_along_foot', sentence: 'The {side} one at {value}.' });
    const finding = makeFinding({ rule, side: 'left', value: 0.31, lower: 0.27, upper: 0.35, unit: '1' });
    expect(findingSentence(finding)).toBe('The left one at 31 %.');
    expect(findingShown('elbow_width', '1').unit).toBe('×');
  });
});
