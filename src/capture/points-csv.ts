import { nothingSeen } from '../messages/capture.ts';
import { labFromFile, metresPer, turnTriplesInPlace } from './axes.ts';
import { numberColumn, readCsv } from './csv.ts';
import type { InputLedger } from './input-file.ts';
import type { PointsSource, PointTrack } from './recording.ts';
import { SampleStatus } from './sample-status.ts';
import { tidyIndex } from './tidy-samples.ts';

const COLUMNS = { required: ['frame', 'landmark', 'x', 'y', 'z'], optional: [] } as const;

/** Reads `frame,landmark,x,y,z`, in the file's unit and axes, to metres in the lab frame. A sample without all three coordinates is occluded. */
export function readPoints(source: PointsSource, ledger: InputLedger | null): PointTrack {
  const table = readCsv(source.file, COLUMNS, ledger);
  const { landmarks, frames, sampleOfRow } = tidyIndex(table);
  const axes = ['x', 'y', 'z'].map((name) => numberColumn(table, name, 'is NaN'));
  const position = new Float64Array(3 * frames * landmarks.length).fill(Number.NaN);
  const status = new Uint8Array(frames * landmarks.length).fill(SampleStatus.occluded);
  let seen = 0;
  for (let row = 0; row < table.rows; row++) {
    if (axes.some((axis) => Number.isNaN(axis[row]))) continue;
    const sample = sampleOfRow[row];
    for (let k = 0; k < 3; k++) position[3 * sample + k] = axes[k][row];
    status[sample] = SampleStatus.seen;
    seen++;
  }
  if (seen === 0) throw nothingSeen(source.file);
  turnTriplesInPlace(position, labFromFile(source.axes), metresPer(source.unit));
  return {
    file: source.file,
    frameRateHz: source.frameRateHz,
    frames,
    landmarks,
    position,
    status,
    sdM: source.sdM,
  };
}
