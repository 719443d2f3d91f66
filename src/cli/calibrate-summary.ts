import type { Board } from '../cameras/board.ts';
import type { BoardRig } from '../cameras/board-rig.ts';
import { cameraCentre } from '../cameras/camera-model.ts';
import type { ControlPointCamera } from '../cameras/control-points.ts';
import type { CameraRig } from '../cameras/rig.ts';
import type { BoardCheck } from './board-check.ts';

export function cameraTable(rig: CameraRig): string {
  const rows = rig.cameras.map((camera) => [
    camera.name,
    `${camera.fx.toFixed(1)} / ${camera.fy.toFixed(1)}`,
    `${camera.cx.toFixed(1)}, ${camera.cy.toFixed(1)}`,
    [...cameraCentre(camera)].map((x) => x.toFixed(3)).join(', '),
  ]);
  return alignedTable([['camera', 'focal px', 'principal point px', 'centre m (x, y up, z)'], ...rows]);
}

export function controlPointTable(details: readonly ControlPointCamera[]): string {
  const rows = details.map(({ camera, labels, rmsPx, free, focalSdPx, centreSdM }) => [
    camera.name,
    String(labels.length),
    rmsPx.toFixed(2),
    `${(0.5 * (camera.fx + camera.fy)).toFixed(1)}${Number.isFinite(focalSdPx) ? ` ± ${focalSdPx.toFixed(1)}` : ''}`,
    free.length === 0 ? 'given' : free.join(' '),
    [...cameraCentre(camera)].map((x, i) => `${x.toFixed(3)} ± ${centreSdM[i].toFixed(3)}`).join(', '),
  ]);
  return alignedTable([['camera', 'points', 'rms px', 'focal px', 'lens fitted', 'centre m (x, y up, z)'], ...rows]);
}

export function boardTable({ rig, lenses, bundle, relative }: BoardRig): string {
  const lensRows = lenses.map((lens, i) => [
    lens.camera,
    String(lens.views.length),
    lens.rmsPx.toFixed(3),
    `${rig.cameras[i].fx.toFixed(1)} / ${rig.cameras[i].fy.toFixed(1)}`,
    `${rig.cameras[i].cx.toFixed(1)}, ${rig.cameras[i].cy.toFixed(1)}`,
    rig.cameras[i].distortion.map((term) => term.toFixed(4)).join(' '),
  ]);
  const lensTable = alignedTable([
    ['camera', 'images', 'alone rms px', 'focal px', 'principal point px', 'k1 k2 p1 p2 k3'],
    ...lensRows,
  ]);
  const poses = relative.map(
    ({ camera, rotationVector, translationM, rotationSd, translationSdM }) =>
      `${camera} from ${lenses[0].camera}: T = [${[...translationM].map(mm).join(' ')}] ± [${[...translationSdM].map(mm).join(' ')}] mm, ` +
      `rotation vector [${[...rotationVector].map((x) => x.toFixed(5)).join(' ')}] ± [${[...rotationSd].map((x) => x.toFixed(5)).join(' ')}] rad\n`,
  );
  return `${lensTable}joint rms ${bundle.rmsPx.toFixed(3)} px over ${bundle.corners} corners\n${poses.join('')}`;
}

/** One line: the board as the rig measures it, against its true size; empty where no corner is seen twice. */
export function boardCheckText(check: BoardCheck | null, board: Board): string {
  if (check === null) return '';
  const diagonalM = board.squareSizeM * Math.hypot(board.columns - 1, board.rows - 1);
  return (
    `board measured back: edge ${mm(check.edgeMeanM)} ± ${mm(check.edgeSdM)} mm (true ${mm(board.squareSizeM)}, ` +
    `${check.edges} edges), diagonal ${mm(check.diagonalMeanM)} mm (true ${mm(diagonalM)})\n`
  );
}

export function notesText(rig: CameraRig): string {
  return rig.quality.notes.map((note) => `note: ${note}\n`).join('');
}

export function alignedTable(rows: readonly (readonly string[])[]): string {
  const widths = rows[0].map((_, column) => Math.max(...rows.map((row) => row[column].length)));
  return rows
    .map(
      (row) =>
        `${row
          .map((cell, column) => cell.padEnd(widths[column]))
          .join('  ')
          .trimEnd()}\n`,
    )
    .join('');
}

const mm = (metres: number) => (1000 * metres).toFixed(2);
