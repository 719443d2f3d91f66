import { describe, expect, test } from '@jest/globals';
import { alignment } from '../../../src/web/scene/alignment.ts';
import { downPct } from '../../../src/web/scene/phases.ts';
import { makePayload } from './make-payload.ts';

const first = makePayload();
/** Sinks late, deeper, and begins at other frames. */
const second = makePayload({ starts: [30, 150], course: 2, dropM: 0.62 });

describe('a second lift beside the first', () => {
  test('by depth: the same share of the own drop, way down with way down, way up with way up', () => {
    const frameOf = alignment(first, second, 'depth');
    first.repetitions.forEach((mine, r) => {
      const theirs = second.repetitions[r];
      for (const frame of [mine.descent![0] + 3, mine.descent![0] + 31.5, mine.ascent![0] + 7, mine.ascent![0] + 33]) {
        const other = frameOf(frame);
        // Half a per cent between two levels of the table, on a course that is curved between them.
        expect(Math.abs(downPct(second, theirs, other) - downPct(first, mine, frame))).toBeLessThan(0.3);
        const phase = frame < mine.ascent![0] ? theirs.descent! : theirs.ascent!;
        expect(other).toBeGreaterThanOrEqual(phase[0] - 1);
        expect(other).toBeLessThanOrEqual(phase[1]);
      }
      expect(frameOf(mine.bottom)).toBeCloseTo(theirs.bottom, 6);
    });
  });

  test('by depth a lift goes with itself frame by frame', () => {
    const frameOf = alignment(first, first, 'depth');
    for (const frame of [50, 77, 92.25, 110, 131, 148, 200, 260]) expect(frameOf(frame)).toBeCloseTo(frame, 3);
  });

  test('by time: as many seconds after the repetition begins, at each one’s own frame rate', () => {
    const frameOf = alignment(first, { ...second, frameRateHz: 30 }, 'time');
    expect(frameOf(50)).toBe(30);
    expect(frameOf(90)).toBe(50);
    expect(frameOf(180)).toBe(150);
  });

  test('before, between and after it stands; outside its own recording there is none', () => {
    const byDepth = alignment(first, second, 'depth');
    expect(byDepth(0)).toBe(30);
    expect(byDepth(155)).toBe(129);
    expect(alignment(first, second, 'time')(0)).toBeNaN();
  });

  test('where it has fewer repetitions its last one is taken; without one there is none', () => {
    const one = makePayload({ starts: [30] });
    expect(alignment(first, one, 'depth')(240)).toBeCloseTo(90, 6);
    expect(alignment(first, { ...one, repetitions: [] }, 'time')(100)).toBeNaN();
  });
});
