import { type CsvColumns, type CsvTable, numberColumn, textColumn } from '../../capture/csv.ts';
import { stickRateMissing, stickRowTwice, stickTimeMissing } from '../../messages/moving-points.ts';
import type { ImageTrack } from './image-tracks.ts';

/** Columns of a table of marked stick ends: `camera,frame,end,u,v` or `camera,time_s,end,u,v`; u, v in px, empty = not seen. */
export const STICK_COLUMNS: CsvColumns = { required: ['camera', 'end', 'u', 'v'], optional: ['frame', 'time_s'] };

export interface StickCamera {
  readonly name: string;
  readonly imageHeight: number;
  /** Needed where the table counts frames; else null. */
  readonly frameRateHz: number | null;
  /** Seconds added to frame / rate, or to time_s, to give the common clock. */
  readonly offsetS: number;
  readonly readoutS: number;
}

/**
 * Tracks of a waved stick from a table with the named columns; ends may have any names, which the rod rule repeats. Cameras
 * that are in the table but not in `cameras` are left out. Throws `stick-time-missing`, `stick-rate-missing`, `stick-row-twice`.
 */
export function stickTracks(table: CsvTable, cameras: readonly StickCamera[]): ImageTrack[] {
  const timed = table.header.includes('time_s');
  if (!timed && !table.header.includes('frame')) throw stickTimeMissing(table.file);
  const when = numberColumn(table, timed ? 'time_s' : 'frame', 'refused');
  const named = textColumn(table, 'camera');
  const end = textColumn(table, 'end');
  const u = numberColumn(table, 'u', 'is NaN');
  const v = numberColumn(table, 'v', 'is NaN');
  const points = [...new Set(end)].sort();
  return cameras
    .filter(({ name }) => named.includes(name))
    .map(({ name, imageHeight, frameRateHz, offsetS, readoutS }) => {
      if (!timed && frameRateHz === null) throw stickRateMissing(table.file, name);
      const rows = named.flatMap((camera, row) => (camera === name ? [row] : []));
      const moments = [...new Set(rows.map((row) => when[row]))].sort((a, b) => a - b);
      const frameOf = new Map(moments.map((moment, k) => [moment, k]));
      const pixel = new Float64Array(2 * moments.length * points.length).fill(Number.NaN);
      const given = new Set<number>();
      for (const row of rows) {
        const o = 2 * (frameOf.get(when[row])! * points.length + points.indexOf(end[row]));
        if (given.has(o)) throw stickRowTwice(table.file, table.lines[row], name, end[row]);
        given.add(o);
        if (Number.isFinite(u[row]) && Number.isFinite(v[row])) pixel.set([u[row], v[row]], o);
      }
      return {
        camera: name,
        points,
        timeS: Float64Array.from(moments, (moment) => offsetS + (timed ? moment : moment / frameRateHz!)),
        readoutS,
        imageHeight,
        pixel,
      };
    });
}
