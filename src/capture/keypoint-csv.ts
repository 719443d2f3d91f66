import { confidenceMissing, confidenceOutOfRange } from '../messages/capture.ts';
import { numberColumn, readCsv } from './csv.ts';
import type { InputLedger } from './input-file.ts';
import { type KeypointSamples, MOST_CONFIDENCE } from './keypoint-samples.ts';
import { tidyIndex } from './tidy-samples.ts';

const COLUMNS = { required: ['frame', 'landmark', 'x_px', 'y_px', 'confidence'], optional: [] } as const;

/** Reads `frame,landmark,x_px,y_px,confidence`; frames count from 0. Empty or NaN coordinates, and confidence 0, are occluded. */
export function readKeypointCsv(path: string, ledger: InputLedger | null): KeypointSamples {
  const table = readCsv(path, COLUMNS, ledger);
  const { landmarks, frames, sampleOfRow } = tidyIndex(table);
  const x = numberColumn(table, 'x_px', 'is NaN');
  const y = numberColumn(table, 'y_px', 'is NaN');
  const score = numberColumn(table, 'confidence', 'is NaN');
  const pixel = new Float64Array(2 * frames * landmarks.length).fill(Number.NaN);
  const confidence = new Float64Array(frames * landmarks.length);
  for (let row = 0; row < table.rows; row++) {
    if (score[row] < 0 || score[row] > MOST_CONFIDENCE) {
      throw confidenceOutOfRange(path, `line ${table.lines[row]}`, score[row]);
    }
    if (Number.isNaN(x[row]) || Number.isNaN(y[row]) || score[row] === 0) continue;
    if (Number.isNaN(score[row])) throw confidenceMissing(path, table.lines[row]);
    const sample = sampleOfRow[row];
    pixel[2 * sample] = x[row];
    pixel[2 * sample + 1] = y[row];
    confidence[sample] = Math.min(1, score[row]);
  }
  return { file: path, frames, landmarks, pixel, confidence };
}
