import { turnBy, zoomBy } from './orbit.ts';
import type { Stage } from './stage.ts';

/** Radians a pixel of dragging. */
const TURN = 0.008;
/** Steps of the keys and buttons. */
export const KEY_TURN = 0.12;
export const KEY_ZOOM = 1.15;

/**
 * Turning by dragging (sideways with one finger, any way with two: one finger up or down scrolls the page), zooming by two
 * fingers or by the wheel, and back to the preset by a double click. The wheel zooms only while the picture has the focus or
 * Ctrl is held: otherwise it scrolls the page, as everywhere.
 */
export function listenForGestures(
  element: HTMLElement,
  surface: HTMLElement,
  stage: Stage,
  turned: () => void,
  zoomed: () => void,
  reset: () => void,
): void {
  const down = new Map<number, { x: number; y: number }>();
  const spread = (): number => {
    const [a, b] = [...down.values()];
    return a && b ? Math.hypot(a.x - b.x, a.y - b.y) : 0;
  };
  surface.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return;
    surface.setPointerCapture(event.pointerId);
    down.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (event.pointerType === 'mouse') element.focus({ preventScroll: true });
  });
  surface.addEventListener('pointermove', (event) => {
    const last = down.get(event.pointerId);
    if (!last) return;
    const before = spread();
    const [dx, dy] = [event.clientX - last.x, event.clientY - last.y];
    last.x = event.clientX;
    last.y = event.clientY;
    if (down.size === 2) {
      if (before > 0) zoomBy(stage.orbit, before / Math.max(1, spread()), stage.wholeDistance());
      turnBy(stage.orbit, (-TURN * dx) / 2, (TURN * dy) / 2);
    } else {
      turnBy(stage.orbit, -TURN * dx, event.pointerType === 'touch' ? 0 : TURN * dy);
    }
    if (dx !== 0 || dy !== 0) turned();
  });
  for (const end of ['pointerup', 'pointercancel'] as const) {
    surface.addEventListener(end, (event) => down.delete(event.pointerId));
  }
  surface.addEventListener(
    'wheel',
    (event) => {
      if (!event.ctrlKey && !element.contains(document.activeElement)) return;
      event.preventDefault();
      zoomBy(stage.orbit, Math.exp(0.0015 * event.deltaY), stage.wholeDistance());
      zoomed();
    },
    { passive: false },
  );
  surface.addEventListener('dblclick', reset);
}
