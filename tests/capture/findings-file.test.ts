import { readFileSync } from 'node:fs';
import { expect, test } from '@jest/globals';
import { readFindingsFile } from '../../src/capture/findings-file.ts';
import { findingsJsonSchema } from '../../src/capture/findings-schema.ts';
import { InputLedger } from '../../src/capture/input-file.ts';
import { loadRecording } from '../../src/capture/load-recording.ts';
import { loadStudy } from '../../src/capture/load-study.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const RULES = 'kneeward: 1\nfindings: ours\nswitch_off: [a, b]\nrules:\n  c:\n    threshold: 3\n  d: { cue: "Try." }\n';
const HEIGHTS = { shoulder: 1.4, hip: 0.92, knee: 0.5, ankle: 0.1 };
const POINTS = [
  'frame,landmark,x,y,z',
  ...(['left', 'right'] as const).flatMap((side) =>
    Object.entries(HEIGHTS).map(([name, y]) => `0,${side}_${name},0,${y},${side === 'left' ? -0.1 : 0.1}`),
  ),
].join('\n');
const recording = (id: string, more = '') => `kneeward: 1
recording: ${id}
athlete: { id: A, mass_kg: 70 }
lift: { kind: squat }
load: { total_kg: 0 }
landmarks_3d: { file: points.csv, frame_rate_hz: 60, unit: m, axes: { forward: "+x", up: "+y" } }
${more}`;

test('rules by name, what is switched off, and the line of each', () => {
  const file = readFindingsFile(write(folder, 'rules.yaml', RULES), null);
  expect(file).toMatchObject({ id: 'ours', switchedOff: ['a', 'b'] });
  expect([...file.rules]).toEqual([
    ['c', { threshold: 3 }],
    ['d', { cue: 'Try.' }],
  ]);
  expect([file.lineOf('c'), file.lineOf('c', 'threshold'), file.lineOf('d'), file.lineOfSwitch(1)]).toEqual([
    5, 6, 7, 3,
  ]);
});

test('its digest is kept among the inputs', () => {
  const ledger = new InputLedger(folder);
  readFindingsFile(write(folder, 'rules.yaml', RULES), ledger);
  expect(ledger.list().map(({ file }) => file)).toEqual(['rules.yaml']);
});

test('docs/findings.schema.json is that of the code (npx tsx tests/generators/write-findings-schema.ts)', () => {
  const published = JSON.parse(readFileSync(new URL('../../docs/findings.schema.json', import.meta.url), 'utf8'));
  expect(published).toEqual(JSON.parse(JSON.stringify(findingsJsonSchema())));
});

test('a recording’s own rules stand over the study’s, and those of the command line over both', () => {
  for (const id of ['study', 'own', 'given']) write(folder, `${id}.yaml`, RULES.replace('ours', id));
  write(folder, 'points.csv', POINTS);
  const plain = write(folder, 'one/../plain.rec.yaml', recording('plain'));
  const own = write(folder, 'own.rec.yaml', recording('own', 'findings: own.yaml\n'));
  const study = loadStudy(
    write(folder, 'st.yaml', 'kneeward: 1\nstudy: s\nrecordings: ["*.rec.yaml"]\nfindings: study.yaml\n'),
  );
  const idOf = (...given: Parameters<typeof loadRecording>) => loadRecording(...given).findings?.id ?? null;
  expect(idOf(plain)).toBeNull();
  expect(idOf(plain, study)).toBe('study');
  expect(idOf(own, study)).toBe('own');
  expect(idOf(own, study, `${folder}/given.yaml`)).toBe('given');
  expect(loadRecording(own).inputs.map(({ file }) => file)).toContain('own.yaml');
});

test('a file that is not there is named', () => {
  expect(dataError(() => readFindingsFile(`${folder}/none.yaml`, null)).code).toBe('file-missing');
});
