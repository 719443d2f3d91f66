import type { Orbit } from './orbit.ts';
import type { Theme } from './theme.ts';

/** Something that draws lifter, bar and floor into a canvas: solids, or lines where the browser has no WebGL. */
export interface BodyDrawing {
  readonly kind: 'solid' | 'lines';
  /** True where no graphics card draws: what moves is then drawn without smooth edges, what stands still with them. */
  readonly bySoftware: boolean;
  recolour(theme: Theme): void;
  /** Size of the picture in CSS px, and canvas pixels to each. */
  resize(width: number, height: number, pixelRatio: number): void;
  draw(orbit: Orbit, paleShown: boolean): void;
}
