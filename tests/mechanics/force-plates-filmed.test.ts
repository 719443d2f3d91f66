import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from '@jest/globals';
import { analyseRecording } from '../../src/cli/analyse-recording.ts';
import { writeMeasuredByMarkers } from '../synthetic/measured-by-markers.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneeward-force-clock-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** A lifter whose body the analyser does not share (another segment table, a trunk that bends), points with 1 mm of noise. */
test.each([
  ['A01-knees-flat', 0.012],
  ['A04-hips-flat', -0.35],
])(
  '%s: a clock %s s off is found within 3 ms through the whole analysis, and taken off when asked',
  (demoId, lateS) => {
    const file = writeMeasuredByMarkers(join(folder, demoId), demoId, {
      forceLateS: lateS,
      lines: ['force_clock: estimate'],
    });
    const { data, record } = analyseRecording(file, undefined, []);
    const { clock, clockApplied } = record.loads.quality.forcePlates!;
    expect(clockApplied).toBe(true);
    expect(Math.abs(clock.offsetS - lateS)).toBeLessThan(0.003);
    expect(Math.abs(data.forcePlates[0].timeS[0])).toBeLessThan(0.003);
  },
);
