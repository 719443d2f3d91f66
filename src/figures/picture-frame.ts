import type { Camera } from '../cameras/rig.ts';
import { COLOUR, PLOT } from './look.ts';

/** A picture drawn to its own shape, rows downward: size on the page, both scales and the frame around it. */
export function pictureFrame({ imageWidth, imageHeight }: Camera) {
  const scale = Math.min(PLOT.width / imageWidth, (1.1 * PLOT.width) / imageHeight);
  const axis = null;
  return {
    width: Math.round(scale * imageWidth),
    height: Math.round(scale * imageHeight),
    x: {
      field: 'u',
      type: 'quantitative',
      scale: { domain: [-0.5, imageWidth - 0.5], nice: false, zero: false },
      axis,
    } as const,
    y: {
      field: 'v',
      type: 'quantitative',
      scale: { domain: [-0.5, imageHeight - 0.5], nice: false, zero: false, reverse: true },
      axis,
    } as const,
    frame: {
      data: { values: [{ u: -0.5, v: -0.5, u2: imageWidth - 0.5, v2: imageHeight - 0.5 }] },
      mark: { type: 'rect', fill: null, stroke: COLOUR.quiet, strokeWidth: 1 },
      encoding: { x2: { field: 'u2' }, y2: { field: 'v2' } },
    } as const,
  };
}
