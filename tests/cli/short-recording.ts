import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { demoFilming, demoRecording, liftOf } from '../synthetic/demo.ts';
import { film } from '../synthetic/film.ts';
import { bytesOf, recordingFiles, rigFile } from '../synthetic/write.ts';

/** Half of the demo's: for runs that are about files and options, not about how near the numbers are to the truth. */
const FRAME_RATE_HZ = 30;

/**
 * Writes a shorter film of the demo's A03-knees-flat, with its rig, into a folder of its own: a third and less of the work of the
 * whole one, all of it that of a film by two phones. Returns the path of recording.yaml.
 */
export function writeShortRecording(folder: string, repetitions: number): string {
  const recorded = demoRecording('A03-knees-flat');
  const lift = liftOf({ ...recorded, plan: { ...recorded.plan, repetitions } }, 'outside');
  const views = film(lift, { ...demoFilming(recorded), frameRateHz: FRAME_RATE_HZ });
  const files = recordingFiles(lift, views, {
    id: recorded.id,
    date: null,
    condition: { heel: recorded.heel },
    rig: 'rig.json',
    settings: [],
    forcePlates: false,
  });
  mkdirSync(folder, { recursive: true });
  for (const file of files) writeFileSync(join(folder, file.path), bytesOf(file));
  writeFileSync(join(folder, 'rig.json'), rigFile(views.map(({ camera }) => camera)));
  return join(folder, 'recording.yaml');
}
