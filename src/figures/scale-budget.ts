import type { MeasuredQuality } from '../cameras/rig.ts';
import { scaleAxis, scaleSubtitle, scaleTitle, scaleTogether } from './calibration-words.ts';
import { COLOUR, CONFIG, type Figure, PLOT } from './look.ts';

/** Causes of doubt about the scale, largest first, and their sum in squares, per cent of a length. */
export function scaleBudget({ sdShare, causes }: NonNullable<MeasuredQuality['scale']>): Figure {
  const rows = Object.entries(causes)
    .sort(([, a], [, b]) => b - a)
    .map(([cause, share]) => ({ cause, pct: 100 * share, whole: false }));
  const together = { cause: scaleTogether(), pct: 100 * sdShare, whole: true };
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: { text: scaleTitle(), subtitle: scaleSubtitle() },
    width: PLOT.width - 130,
    height: { step: 26 },
    data: { values: [...rows, together] },
    encoding: {
      y: {
        field: 'cause',
        type: 'nominal',
        sort: [...rows, together].map(({ cause }) => cause),
        axis: { title: null, domain: false, ticks: false, labelLimit: 250 },
      },
      x: {
        field: 'pct',
        type: 'quantitative',
        scale: { domain: [0, 110 * sdShare || 1], nice: true },
        axis: { title: scaleAxis(), tickCount: 5 },
      },
    },
    layer: [
      {
        mark: { type: 'bar', height: 10 },
        encoding: {
          color: {
            field: 'whole',
            type: 'nominal',
            legend: null,
            scale: { domain: [false, true], range: [COLOUR.hip, COLOUR.ink] },
          },
        },
      },
    ],
  } as Figure;
}
