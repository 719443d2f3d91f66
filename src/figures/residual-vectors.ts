import type { CalibrationObservation } from '../cameras/calibration.ts';
import type { Camera } from '../cameras/rig.ts';
import { residualVectorsSubtitle, residualVectorsTitle } from './calibration-words.ts';
import { COLOUR, CONFIG, type Figure } from './look.ts';
import { pictureFrame } from './picture-frame.ts';

/** Vectors in one picture; more are thinned evenly, so that a page stays small and lines can be told apart. */
const MOST_VECTORS = 900;
/** Drawn length of a vector of root mean square size, as part of the picture's diagonal. */
const DRAWN_PART = 0.03;

/**
 * How much longer than in the picture residuals are drawn: 1, 2 or 5 times a power of ten, at least 1, the same for all
 * cameras so that they can be compared.
 */
export function residualFactor(cameras: readonly Camera[], observations: readonly CalibrationObservation[]): number {
  const used = observations.filter((one) => one.used);
  if (used.length === 0) return 1;
  const diagonal = Math.min(...cameras.map(({ imageWidth, imageHeight }) => Math.hypot(imageWidth, imageHeight)));
  const rms = Math.sqrt(used.reduce((sum, { du, dv }) => sum + du * du + dv * dv, 0) / used.length);
  const wanted = (DRAWN_PART * diagonal) / rms;
  if (!(wanted > 1) || !Number.isFinite(wanted)) return 1;
  const power = 10 ** Math.floor(Math.log10(wanted));
  const digit = [5, 2].find((one) => one * power <= wanted) ?? 1;
  return digit * power;
}

/**
 * The residual of every point over the camera's picture, from the measured point towards the predicted one, `factor`
 * times as long. Dropped points are crosses. null where the camera has no point.
 */
export function residualVectors(
  camera: Camera,
  observations: readonly CalibrationObservation[],
  factor: number,
): Figure | null {
  const own = observations.filter((one) => one.camera === camera.name);
  if (own.length === 0) return null;
  const step = Math.max(1, Math.ceil(own.length / MOST_VECTORS));
  const shown = own.filter((_, i) => i % step === 0);
  const { width, height, x, y, frame } = pictureFrame(camera);
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: {
      text: residualVectorsTitle(camera.name),
      subtitle: residualVectorsSubtitle(factor, shown.length, own.length),
    },
    width,
    height,
    data: {
      values: shown.map(({ u, v, du, dv, used }) => {
        const part = partInside(camera, u, v, factor * du, factor * dv);
        return {
          u: round(u),
          v: round(v),
          u2: round(u + part * factor * du),
          v2: round(v + part * factor * dv),
          used,
        };
      }),
    },
    encoding: { x, y },
    layer: [
      frame,
      {
        transform: [{ filter: 'datum.used' }],
        mark: { type: 'rule', color: COLOUR.up, strokeWidth: 1.2 },
        encoding: { x2: { field: 'u2' }, y2: { field: 'v2' } },
      },
      {
        transform: [{ filter: 'datum.used' }],
        mark: { type: 'point', shape: 'circle', filled: true, color: COLOUR.hip, size: 5, opacity: 1 },
      },
      {
        transform: [{ filter: '!datum.used' }],
        mark: { type: 'point', shape: 'cross', filled: true, color: COLOUR.mass, size: 40, opacity: 1, angle: 45 },
      },
    ],
  } as Figure;
}

/** Part of the step (du, dv) from (u, v) that stays inside the picture, 0–1. */
function partInside({ imageWidth, imageHeight }: Camera, u: number, v: number, du: number, dv: number): number {
  const room = (x: number, step: number, size: number) =>
    step > 0 ? (size - 0.5 - x) / step : step < 0 ? (-0.5 - x) / step : Number.POSITIVE_INFINITY;
  return Math.max(0, Math.min(1, room(u, du, imageWidth), room(v, dv, imageHeight)));
}

const round = (value: number) => Math.round(100 * value) / 100;
