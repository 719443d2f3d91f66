import { duplicateSample, tooManyFrames, unknownLandmark } from '../messages/capture.ts';
import { type CsvTable, countColumn, textColumn } from './csv.ts';
import { isLandmark, LANDMARKS, type Landmark } from './landmarks.ts';
import { nearestName } from './nearest-name.ts';

/** Most frames a recording may have (over three hours at 60 Hz would be a mistaken frame number): common practice, no source. */
export const MOST_FRAMES = 200_000;

/** Where each row of a tidy `frame,landmark,…` table goes. */
export interface TidyIndex {
  readonly landmarks: readonly Landmark[];
  /** Last frame + 1. */
  readonly frames: number;
  /** `frame * landmarks.length + landmark` of each row. */
  readonly sampleOfRow: Int32Array;
}

/** Landmarks (in the order of LANDMARKS), frame count and sample of each row. Wrong names and repeated rows are refused. */
export function tidyIndex(table: CsvTable): TidyIndex {
  const names = textColumn(table, 'landmark');
  const frame = countColumn(table, 'frame');
  const present = new Set<string>();
  let frames = 0;
  for (let row = 0; row < table.rows; row++) {
    if (!isLandmark(names[row])) throw wrongLandmark(table.file, table.lines[row], names[row]);
    if (frame[row] >= MOST_FRAMES) throw tooManyFrames(table.file, `line ${table.lines[row]}`, frame[row], MOST_FRAMES);
    present.add(names[row]);
    frames = Math.max(frames, frame[row] + 1);
  }
  const landmarks = LANDMARKS.filter((name) => present.has(name));
  const column = new Map<string, number>(landmarks.map((name, index) => [name, index]));
  const sampleOfRow = new Int32Array(table.rows);
  const lineOfSample = new Int32Array(frames * landmarks.length);
  for (let row = 0; row < table.rows; row++) {
    const sample = frame[row] * landmarks.length + column.get(names[row])!;
    if (lineOfSample[sample] > 0) {
      throw duplicateSample(table.file, table.lines[row], lineOfSample[sample], frame[row], names[row]);
    }
    lineOfSample[sample] = table.lines[row];
    sampleOfRow[row] = sample;
  }
  return { landmarks, frames, sampleOfRow };
}

function wrongLandmark(file: string, line: number, name: string) {
  return unknownLandmark(file, line, name, nearestName(name, LANDMARKS), LANDMARKS);
}
