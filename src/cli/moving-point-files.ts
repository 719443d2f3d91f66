import type { ImageTrack } from '../cameras/moving-points/image-tracks.ts';
import { STICK_COLUMNS, stickTracks } from '../cameras/moving-points/stick-table.ts';
import type { FlightTrack } from '../cameras/vertical/free-fall.ts';
import type { PlumbLine } from '../cameras/vertical/plumb-line.ts';
import { type CsvTable, numberColumn, readCsv, textColumn } from '../capture/csv.ts';
import type { InputLedger } from '../capture/input-file.ts';
import { stickEndsWrong, timesNotAscending } from '../messages/calibrate.ts';

/** Ends of a waved stick: CSV `camera,time_s,end,u,v` on the common clock, or `camera,frame,end,u,v` with a frame rate. */
export function readStickTracks(
  file: string,
  ledger: InputLedger | null,
  frameRateHz: number | null,
  imageHeightOf: (camera: string) => number,
): ImageTrack[] {
  const table = readCsv(file, STICK_COLUMNS, ledger);
  const cameras = [...new Set(textColumn(table, 'camera'))].map((name) => ({
    name,
    imageHeight: imageHeightOf(name),
    frameRateHz,
    offsetS: 0,
    readoutS: 0,
  }));
  const tracks = stickTracks(table, cameras);
  const ends = [...new Set(tracks.flatMap(({ points }) => points))];
  if (ends.length !== 2) throw stickEndsWrong(file, ends);
  return tracks;
}

/** A dropped or thrown object: CSV `camera,time_s,u,v`, times on the common clock. */
export function readFallTracks(file: string, ledger: InputLedger | null): FlightTrack[] {
  const table = readCsv(file, { required: ['camera', 'time_s', 'u', 'v'], optional: [] }, ledger);
  const u = numberColumn(table, 'u', 'is NaN');
  const v = numberColumn(table, 'v', 'is NaN');
  return byCamera(file, table).map(({ camera, times, rowsAt }) => ({
    camera,
    timeS: Float64Array.from(times),
    pixel: Float64Array.from(times.flatMap((time) => [u[rowsAt(time)[0]], v[rowsAt(time)[0]]])),
  }));
}

/** Marks on vertical things: CSV `camera,line,u,v`, two marks or more on each line of a camera. */
export function readPlumbLines(file: string, ledger: InputLedger | null): PlumbLine[] {
  const table = readCsv(file, { required: ['camera', 'line', 'u', 'v'], optional: [] }, ledger);
  const cameras = textColumn(table, 'camera');
  const lines = textColumn(table, 'line');
  const u = numberColumn(table, 'u', 'refused');
  const v = numberColumn(table, 'v', 'refused');
  const marks = new Map<string, { camera: string; pixels: number[] }>();
  for (let row = 0; row < table.rows; row++) {
    const key = JSON.stringify([cameras[row], lines[row]]);
    const one = marks.get(key) ?? { camera: cameras[row], pixels: [] };
    marks.set(key, one);
    one.pixels.push(u[row], v[row]);
  }
  return [...marks.values()].map(({ camera, pixels }) => ({ camera, pixels: Float64Array.from(pixels) }));
}

/** Rows of each camera by time; times must not run backward. */
function byCamera(file: string, table: CsvTable) {
  const cameras = textColumn(table, 'camera');
  const timeS = numberColumn(table, 'time_s', 'refused');
  return [...new Set(cameras)].map((camera) => {
    const rows = new Map<number, number[]>();
    let last = Number.NEGATIVE_INFINITY;
    cameras.forEach((name, row) => {
      if (name !== camera) return;
      if (timeS[row] < last) throw timesNotAscending(file, table.lines[row], camera, timeS[row], last);
      last = timeS[row];
      rows.set(timeS[row], [...(rows.get(timeS[row]) ?? []), row]);
    });
    return { camera, times: [...rows.keys()], rowsAt: (time: number) => rows.get(time)! };
  });
}
