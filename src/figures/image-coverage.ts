import type { CalibrationObservation } from '../cameras/calibration.ts';
import type { Camera } from '../cameras/rig.ts';
import { COVERAGE_CELLS, coverageCell } from '../cameras/rig-quality.ts';
import { coverageSubtitle, coverageTitle } from './calibration-words.ts';
import { COLOUR, CONFIG, type Figure } from './look.ts';
import { pictureFrame } from './picture-frame.ts';

/** Opacity of the field with fewest and with most points: a number on it stays readable in light and dark. */
const FAINTEST = 0.16;
const STRONGEST = 0.5;

/** Points in each field of a 10 × 10 grid over the camera's picture; fields without any stay empty. Used points only. */
export function imageCoverage(camera: Camera, observations: readonly CalibrationObservation[]): Figure | null {
  const own = observations.filter((one) => one.camera === camera.name && one.used);
  if (own.length === 0) return null;
  const count = new Map<number, number>();
  for (const { u, v } of own) {
    const cell = coverageCell(camera, u, v);
    count.set(cell, (count.get(cell) ?? 0) + 1);
  }
  const most = Math.max(...count.values());
  const { width, height, x, y, frame } = pictureFrame(camera);
  const [cellWidth, cellHeight] = [camera.imageWidth / COVERAGE_CELLS, camera.imageHeight / COVERAGE_CELLS];
  const fields = [...count]
    .sort(([a], [b]) => a - b)
    .map(([cell, points]) => {
      const u = (cell % COVERAGE_CELLS) * cellWidth - 0.5;
      const v = Math.floor(cell / COVERAGE_CELLS) * cellHeight - 0.5;
      const strength = most === 1 ? 1 : Math.log(points) / Math.log(most);
      return {
        u,
        v,
        u2: u + cellWidth,
        v2: v + cellHeight,
        um: u + cellWidth / 2,
        vm: v + cellHeight / 2,
        points,
        opacity: Math.round(1000 * (FAINTEST + (STRONGEST - FAINTEST) * strength)) / 1000,
      };
    });
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: { text: coverageTitle(camera.name), subtitle: coverageSubtitle(count.size, COVERAGE_CELLS ** 2) },
    width,
    height,
    data: { values: fields },
    encoding: { x, y },
    layer: [
      frame,
      {
        mark: { type: 'rect', color: COLOUR.hip },
        encoding: {
          x2: { field: 'u2' },
          y2: { field: 'v2' },
          opacity: { field: 'opacity', type: 'quantitative', scale: null, legend: null },
        },
      },
      {
        mark: { type: 'text', color: COLOUR.ink, fontSize: 11, align: 'center', baseline: 'middle' },
        encoding: { x: { ...x, field: 'um' }, y: { ...y, field: 'vm' }, text: { field: 'points' } },
      },
    ],
  } as Figure;
}
