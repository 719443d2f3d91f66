import { expect, test } from '@jest/globals';
import { AS_DELIVERED, analysed } from './analysed.ts';
import { DEMO_RECORDINGS, demoFilming, liftOf } from './demo.ts';
import { analysedInMemory } from './in-memory.ts';

const recorded = { ...DEMO_RECORDINGS[0], plan: { ...DEMO_RECORDINGS[0].plan, repetitions: 1 } };

test('a recording made in memory is the one read from files, to the last digit', () => {
  const lift = liftOf(recorded, 'outside');
  const filming = demoFilming(recorded);
  const byFile = analysed(lift, filming, AS_DELIVERED);
  const inMemory = analysedInMemory(lift, filming, { decimals: 2 });
  const known = ({ data }: typeof byFile) => data.tracks!.map(({ files: _, ...track }) => ({ ...track }));
  expect(known(inMemory)).toEqual(known(byFile));
  const { file: _a, source: _b, ...stated } = inMemory.data.recording;
  const { file: _c, source: _d, ...read } = byFile.data.recording;
  expect(stated).toEqual(read);
  expect(inMemory.rig.cameras).toEqual(byFile.rig.cameras);
  expect(inMemory.record.measures).toEqual(byFile.record.measures);
});
