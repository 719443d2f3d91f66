import { SCENE_VIEWS, type SceneView } from './payload.ts';

/**
 * Whatever carries `data-jump-frame` (a whole number) and perhaps `data-jump-view`, anywhere in the page, brings the scene
 * there when it is pressed, or when Enter is given while it has the focus.
 */
export function listenForJumps(jump: (frame: number, view: SceneView | null) => void): void {
  const follow = (event: Event): void => {
    const target = event.target instanceof Element ? event.target.closest<HTMLElement>('[data-jump-frame]') : null;
    const frame = Number.parseInt(target?.dataset.jumpFrame ?? '', 10);
    if (!target || Number.isNaN(frame)) return;
    event.preventDefault();
    const view = SCENE_VIEWS.find((name) => name === target.dataset.jumpView) ?? null;
    jump(frame, view);
  };
  document.addEventListener('click', follow);
  document.addEventListener('keydown', (event) => {
    // Buttons and links turn Enter into a click by themselves.
    const target = event.target instanceof Element ? event.target : null;
    if (event.key !== 'Enter' || !target || target.closest('button, a[href], summary, input, select')) return;
    target.closest<HTMLElement>('[data-jump-frame]')?.click();
  });
}
