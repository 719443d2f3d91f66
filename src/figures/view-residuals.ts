import type { CalibrationView } from '../cameras/calibration.ts';
import { cameraWords, viewResidualsAxis, viewResidualsSubtitle, viewResidualsTitle } from './calibration-words.ts';
import { COLOUR, CONFIG, type Figure, PLOT } from './look.ts';

/** Pictures shown; with more, those that fit worst. */
const MOST_IMAGES = 40;
const COLOURS = [COLOUR.hip, COLOUR.up, COLOUR.foot, COLOUR.far, COLOUR.ankle];
const SHAPES = ['circle', 'square', 'triangle-up', 'diamond', 'cross'];

/** Image 9 before image 10. */
const { compare: inReadingOrder } = new Intl.Collator('en', { numeric: true });

/** Root mean square residual of every picture, one row a picture, one mark a camera. null without views. */
export function viewResiduals(views: readonly CalibrationView[]): Figure | null {
  if (views.length === 0) return null;
  const cameras = [...new Set(views.map((view) => view.camera))];
  const images = [...new Set(views.map((view) => view.image))].sort(inReadingOrder);
  const worst = (image: string) => Math.max(...views.filter((view) => view.image === image).map((view) => view.rmsPx));
  const kept = new Set([...images].sort((a, b) => worst(b) - worst(a)).slice(0, MOST_IMAGES));
  const shown = images.filter((image) => kept.has(image));
  const largest = Math.max(...views.map((view) => view.rmsPx));
  const cycled = (values: readonly string[]) => cameras.map((_, i) => values[i % values.length]);
  const names = cameras.map(cameraWords);
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: { text: viewResidualsTitle(), subtitle: viewResidualsSubtitle(shown.length, images.length) },
    width: PLOT.width - 60,
    height: { step: 17 },
    data: {
      values: views
        .filter((view) => kept.has(view.image))
        .map(({ camera, image, rmsPx }) => ({ camera: cameraWords(camera), image, px: rmsPx })),
    },
    encoding: {
      y: { field: 'image', type: 'nominal', sort: shown, axis: { title: null, domain: false, ticks: false } },
      x: {
        field: 'px',
        type: 'quantitative',
        scale: { domain: [0, 1.08 * largest || 1], nice: true },
        axis: { title: viewResidualsAxis(), tickCount: 5 },
      },
      color: { field: 'camera', type: 'nominal', scale: { domain: names, range: cycled(COLOURS) } },
      shape: { field: 'camera', type: 'nominal', scale: { domain: names, range: cycled(SHAPES) } },
    },
    layer: [{ mark: { type: 'point', filled: true, size: 70, opacity: 0.9 } }],
  } as Figure;
}
