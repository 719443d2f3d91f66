import { basename } from 'node:path';
import type { Board, BoardImage } from '../cameras/board.ts';
import type { ControlPoints } from '../cameras/control-points.ts';
import type { PublishedDlt } from '../cameras/dlt-coefficients.ts';
import { checkColumns, countColumn, numberColumn, parseCsv, readCsv, textColumn } from '../capture/csv.ts';
import { type InputLedger, readText } from '../capture/input-file.ts';
import {
  boardCornerNumberWrong,
  boardCornerOutside,
  boardCornerTwice,
  boardImageUnnamed,
  controlPointTwice,
  dltRowsWrong,
} from '../messages/cameras.ts';

/** Control points, file units and axes: CSV `point,x,y,z`. Positions 3 × n. */
export function readControlPoints(file: string, ledger: InputLedger | null = null): ControlPoints {
  const table = readCsv(file, { required: ['point', 'x', 'y', 'z'], optional: [] }, ledger);
  const labels = textColumn(table, 'point');
  labels.forEach((label, row) => {
    if (labels.indexOf(label) !== row) throw controlPointTwice(file, label, table.lines[row]);
  });
  const [x, y, z] = ['x', 'y', 'z'].map((column) => numberColumn(table, column, 'refused'));
  return {
    labels,
    positions: Float64Array.from({ length: 3 * labels.length }, (_, i) => [x, y, z][i % 3][Math.floor(i / 3)]),
  };
}

/**
 * Pixels of control points: CSV `camera,point,u,v`, (0, 0) = centre of the top-left pixel, y down. Rows without u or v
 * are points that the camera does not see. Cameras in order of appearance.
 */
export function readControlPixels(
  file: string,
  ledger: InputLedger | null = null,
): Map<string, Map<string, readonly [number, number]>> {
  const table = readCsv(file, { required: ['camera', 'point', 'u', 'v'], optional: [] }, ledger);
  const cameras = textColumn(table, 'camera');
  const points = textColumn(table, 'point');
  const u = numberColumn(table, 'u', 'is NaN');
  const v = numberColumn(table, 'v', 'is NaN');
  const views = new Map<string, Map<string, readonly [number, number]>>();
  for (let row = 0; row < table.rows; row++) {
    const view = views.get(cameras[row]) ?? new Map<string, readonly [number, number]>();
    views.set(cameras[row], view);
    if (Number.isNaN(u[row]) || Number.isNaN(v[row])) continue;
    if (view.has(points[row])) throw controlPointTwice(file, `${points[row]} of ${cameras[row]}`, table.lines[row]);
    view.set(points[row], [u[row], v[row]]);
  }
  return views;
}

/**
 * Board corners: CSV `camera,image,corner,col,row,u,v`, all images in one file or one image a file. `corner` is
 * optional (row · columns + col). A file without `camera` and `image` is called `<camera>-<image>.csv`. Where every image
 * name begins with its camera's name ("left01"), the rest ("01") pairs the cameras.
 */
export function readBoardCorners(files: readonly string[], board: Board): BoardImage[] {
  const images = new Map<string, BoardImage>();
  for (const file of files) addCorners(images, file, board);
  const found = [...images.values()];
  const prefixed = found.every(({ camera, image }) => image.startsWith(camera) && image.length > camera.length);
  if (!prefixed) return found;
  return found.map((one) => ({ ...one, image: one.image.slice(one.camera.length).replace(/^[-_ ]+(?=.)/, '') }));
}

function addCorners(images: Map<string, BoardImage>, file: string, board: Board): void {
  const table = readCsv(file, { required: ['col', 'row', 'u', 'v'], optional: ['camera', 'image', 'corner'] }, null);
  const named = table.header.includes('camera') && table.header.includes('image');
  const fromName = named ? null : nameParts(file);
  const cameras = named ? textColumn(table, 'camera') : [];
  const names = named ? textColumn(table, 'image') : [];
  const columns = countColumn(table, 'col');
  const rows = countColumn(table, 'row');
  const numbers = table.header.includes('corner') ? countColumn(table, 'corner') : null;
  const u = numberColumn(table, 'u', 'is NaN');
  const v = numberColumn(table, 'v', 'is NaN');
  const count = board.columns * board.rows;
  const seen = new Set<string>();
  for (let i = 0; i < table.rows; i++) {
    const line = table.lines[i];
    if (columns[i] >= board.columns) throw boardCornerOutside(file, line, 'col', columns[i], board.columns);
    if (rows[i] >= board.rows) throw boardCornerOutside(file, line, 'row', rows[i], board.rows);
    const corner = rows[i] * board.columns + columns[i];
    if (numbers !== null && numbers[i] !== corner) throw boardCornerNumberWrong(file, line, numbers[i], corner);
    const { camera, image } = fromName ?? { camera: cameras[i], image: names[i] };
    const key = JSON.stringify([camera, image]);
    const one = images.get(key) ?? { camera, image, corners: new Float64Array(2 * count).fill(Number.NaN) };
    images.set(key, one);
    const cornerKey = `${key} ${corner}`;
    if (seen.has(cornerKey) || Number.isFinite(one.corners[2 * corner]))
      throw boardCornerTwice(file, line, image, corner);
    seen.add(cornerKey);
    one.corners[2 * corner] = u[i];
    one.corners[2 * corner + 1] = v[i];
  }
}

function nameParts(file: string): { camera: string; image: string } {
  const name = basename(file)
    .replace(/\.gz$/i, '')
    .replace(/\.csv$/i, '');
  const parts = /^(.+?)[-_](.+)$/.exec(name);
  if (parts === null) throw boardImageUnnamed(file);
  return { camera: parts[1], image: parts[2] };
}

/** Published coefficients: CSV with one column a camera, eleven rows L1 to L11; a first column `coefficient` is allowed. */
export function readDltCoefficients(file: string): PublishedDlt[] {
  const table = parseCsv(file, readText(file, null));
  checkColumns(table, { required: [], optional: table.header });
  if (table.rows !== 11) throw dltRowsWrong(file, table.rows);
  return table.header
    .filter((name) => name !== 'coefficient')
    .map((name) => ({ name, coefficients: numberColumn(table, name, 'refused') }));
}
