import { expect, test } from '@jest/globals';
import fc from 'fast-check';
import { DEFAULT_SETTINGS } from '../../src/capture/recording.ts';
import { readRecordingFile } from '../../src/capture/recording-file.ts';
import { DataError } from '../../src/errors.ts';
import { temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const text = `kneeward: 1
recording: A01
date: 2026-03-04
athlete: { id: "A01", sex: female, mass_kg: 63.0, stature_m: 1.68 }
lift: { kind: front squat, set: 1 }
load: { total_kg: 80, bar: { position: front rack, mass_kg: 15 } }
condition: { heel: raised }
landmarks_3d: { file: points.csv, frame_rate_hz: 100, unit: mm, axes: { forward: "-y", up: "+z" } }
force_plates:
  - { file: force.csv, foot: both, frame_rate_hz: 1000, unit: mm }
settings: { smoothing: { cutoff_hz: { legs: 6 } } }
`;

function outcome(written: string): 'read' | 'refused' {
  try {
    readRecordingFile(write(folder, 'recording.yaml', written), DEFAULT_SETTINGS, null);
    return 'read';
  } catch (error) {
    if (!(error instanceof DataError)) throw error;
    expect(error.message).not.toMatch(/undefined|\[object/);
    return 'refused';
  }
}

test('150 recording files with a stretch of text replaced are read, or refused with a reason', () => {
  const seen = new Set<string>();
  const piece = fc.constantFrom(
    '',
    '"',
    '[',
    ']',
    '{',
    '}',
    ',',
    ':',
    ': ',
    '- ',
    '*a',
    '&a ',
    '!!x ',
    '\n',
    '\t',
    '#',
    '? ',
    '| ',
    '.nan',
    '-1',
    '~',
    '<<: ',
    '%',
    '---\n',
  );
  fc.assert(
    fc.property(fc.nat(text.length), fc.nat(12), piece, (at, length, put) => {
      seen.add(outcome(text.slice(0, at) + put + text.slice(at + length)));
    }),
    { numRuns: 150, seed: 12 },
  );
  expect([...seen].sort()).toEqual(['read', 'refused']);
});

test('150 recording files with one value replaced are read, or refused with a reason', () => {
  const contents = JSON.stringify({
    kneeward: 1,
    recording: 'A01',
    athlete: { id: 'A01', mass_kg: 63 },
    lift: { kind: 'squat' },
    load: { total_kg: 80, bar: { position: 'hands' } },
    condition: { heel: 'raised' },
    rig: 'rig.json',
    views: [{ camera: 'left', keypoints: ['left.json'], frame_rate_hz: 60 }],
    settings: { smoothing: { cutoff_hz: 6 } },
  });
  const seen = new Set<string>();
  fc.assert(
    fc.property(fc.jsonValue({ maxDepth: 2 }), fc.nat(24), (value, target) => {
      let count = 0;
      seen.add(outcome(JSON.stringify(JSON.parse(contents), (_, old) => (count++ === target ? value : old)) ?? 'null'));
    }),
    { numRuns: 150, seed: 13 },
  );
  expect([...seen].sort()).toEqual(['read', 'refused']);
});
