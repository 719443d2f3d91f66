import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pointsCsv, stickLifter } from '../capture/stick-lifter.ts';

/* An invented study of a stick figure, for runs that are about files and processes. No number in it is a measurement. */

/** `count` recordings of two invented lifters, the fourth with a file that is not there where `bad`. Returns the study's path. */
export function writeSmallStudy(folder: string, count: number, frames: number, bad = false): string {
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'points.csv'), pointsCsv(stickLifter(frames)));
  for (let i = 0; i < count; i++) {
    const [lifter, id] = [`L${i % 2}`, `r${String(i).padStart(4, '0')}`];
    const points = bad && i === 3 ? 'absent.csv' : 'points.csv';
    writeFileSync(
      join(folder, `${id}.yaml`),
      `kneeward: 1\nrecording: ${id}\ndate: 2026-03-${String(1 + (i % 28)).padStart(2, '0')}\n` +
        `athlete: { id: ${lifter}, mass_kg: 80 }\nlift: { kind: squat }\n` +
        `load: { total_kg: ${40 + 10 * (Math.floor(i / 2) % 2)}, bar: { position: high back } }\n` +
        `landmarks_3d: { file: ${points}, frame_rate_hz: 100, unit: m, axes: { forward: "+x", up: "+y" } }\n`,
    );
  }
  const file = join(folder, 'study.yaml');
  writeFileSync(file, 'kneeward: 1\nstudy: small\nsynthetic: true\nrecordings: ["r*.yaml"]\n');
  return file;
}

const [, script, folder, count, frames] = process.argv;
if (script?.endsWith('small-study.ts') && folder) writeSmallStudy(folder, Number(count), Number(frames), true);
