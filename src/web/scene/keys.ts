import { KEY_TURN } from './gestures.ts';
import { SCENE_VIEWS, type SceneView } from './payload.ts';

/** What keys can do. */
export interface KeyActions {
  setView(view: SceneView): void;
  toggle(): void;
  /** Frames on (positive) or back. */
  stepBy(frames: 1 | -1): void;
  toStart(): void;
  toEnd(): void;
  nearer(): void;
  farther(): void;
  /** Radians. */
  turn(azimuth: number, elevation: number): void;
}

/**
 * Keys, wherever in the scene the focus is: a control under it keeps those that it uses itself (arrows and Home and End
 * of a slider, arrows of radio buttons, space of what is pressed by it, all of a list).
 */
export function listenForKeys(root: HTMLElement, actions: KeyActions): void {
  root.addEventListener('keydown', (event) => {
    const target = event.target as HTMLElement;
    if (event.ctrlKey || event.metaKey || event.altKey || target.closest('select')) return;
    const arrowsTaken = target.closest('input[type=range], input[type=radio]') !== null;
    const spaceTaken = target.closest('button, summary, input[type=checkbox], input[type=radio]') !== null;
    const action = actionOf(event, arrowsTaken, spaceTaken, actions);
    if (!action) return;
    event.preventDefault();
    action();
  });
}

function actionOf(
  { key, shiftKey }: KeyboardEvent,
  arrowsTaken: boolean,
  spaceTaken: boolean,
  actions: KeyActions,
): (() => void) | null {
  const view = SCENE_VIEWS[Number(key) - 1];
  if (key !== ' ' && view) return () => actions.setView(view);
  if (shiftKey && key in TURNS) return () => actions.turn(...TURNS[key]);
  switch (key) {
    case ' ':
      return spaceTaken ? null : actions.toggle;
    case '+':
    case '=':
      return actions.nearer;
    case '-':
      return actions.farther;
    case 'ArrowLeft':
      return arrowsTaken ? null : () => actions.stepBy(-1);
    case 'ArrowRight':
      return arrowsTaken ? null : () => actions.stepBy(1);
    case 'Home':
      return arrowsTaken ? null : actions.toStart;
    case 'End':
      return arrowsTaken ? null : actions.toEnd;
    default:
      return null;
  }
}

const TURNS: Readonly<Record<string, [azimuth: number, elevation: number]>> = {
  ArrowLeft: [KEY_TURN, 0],
  ArrowRight: [-KEY_TURN, 0],
  ArrowUp: [0, KEY_TURN],
  ArrowDown: [0, -KEY_TURN],
};
