import { frameTimesNotInOrder, frameTimesNotRising, frameTimesRate } from '../messages/video.ts';
import { median } from '../numerics/statistics.ts';
import { countColumn, numberColumn, readCsv } from './csv.ts';
import type { InputLedger } from './input-file.ts';

const COLUMNS = { required: ['frame', 'time_s'], optional: [] } as const;

/** Largest share by which 1 / median interval may differ from frame_rate_hz. A slow-motion file is off by 2 or more. Common practice, no source. */
export const MOST_RATE_DIFFERENCE = 0.1;

/**
 * Reads `frame,time_s`: when each frame of one view was taken, seconds, every frame from 0 up in one row, rising. Frame 0 may
 * be at any time; the result counts from it (frame 0 at 0), as `frame / rate` does.
 * Errors: those of a CSV, frame-times-not-in-order, frame-times-not-rising, frame-times-rate.
 */
export function readFrameTimes(path: string, frameRateHz: number, ledger: InputLedger | null): Float64Array {
  const table = readCsv(path, COLUMNS, ledger);
  const frame = countColumn(table, 'frame');
  const timeS = numberColumn(table, 'time_s', 'refused');
  for (let row = 0; row < table.rows; row++) {
    if (frame[row] !== row) throw frameTimesNotInOrder(path, table.lines[row], frame[row], row);
    if (row > 0 && !(timeS[row] > timeS[row - 1])) {
      throw frameTimesNotRising(path, table.lines[row], timeS[row], timeS[row - 1]);
    }
  }
  if (table.rows > 1) {
    const measuredHz = 1 / median(timeS.subarray(1).map((time, i) => time - timeS[i]));
    if (Math.abs(measuredHz / frameRateHz - 1) > MOST_RATE_DIFFERENCE) {
      throw frameTimesRate(path, measuredHz, frameRateHz, MOST_RATE_DIFFERENCE);
    }
  }
  return timeS.map((time) => time - timeS[0]);
}
