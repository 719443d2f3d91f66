import { type AlignBy, alignment } from './alignment.ts';
import type { BodyDrawing } from './body-drawing.ts';
import { fitPoints } from './fit-points.ts';
import { lineBody } from './line-body.ts';
import { marksDrawing, type Shown } from './marks.ts';
import { lookAtAll, type Margins, newOrbit, type Orbit, projector } from './orbit.ts';
import type { ScenePayload, SceneView } from './payload.ts';
import { nearestRepetition, wholeRange } from './phases.ts';
import { poseOf, standingPlace } from './pose.ts';
import { solidBody } from './solid-body.ts';
import { onThemeChange, readTheme } from './theme.ts';
import type { SceneWords } from './words.ts';

/** More canvas pixels than these to a CSS pixel are not seen, but cost time. */
const LARGEST_RATIO = 2;
/** Software that draws without a graphics card is slow by the pixel: canvases are kept below this many. */
const MOST_PIXELS = 1_100_000;

/** Finer by so much where edges are smoothed by drawing more pixels, 1. */
const STILL_RATIO = 2;

const MARGINS: Margins = { left: 14, right: 14, top: 56, bottom: 46 };

/** The picture: lifter, bar and floor in one canvas, marks and labels in another above it. */
export interface Stage {
  readonly kind: BodyDrawing['kind'];
  readonly orbit: Orbit;
  /** Distance at which everything is in the picture, metres. */
  readonly wholeDistance: () => number;
  readonly size: { readonly width: number; readonly height: number };
  setView(view: SceneView): void;
  /** How the second lift goes with the first; null hides it. */
  align(by: AlignBy | null): ((frame: number) => number) | null;
  draw(frame: number): void;
  /** The same picture once more with smooth edges, where moving ones are drawn without; call it when nothing moves. */
  drawStill(frame: number): void;
  /** Draws the present picture into another context, in CSS px, at a higher resolution. */
  drawInto(context: CanvasRenderingContext2D, frame: number, pixelRatio: number): void;
  /** Takes the size that the element has now; false where it is the one it had. */
  resize(): boolean;
  readonly shown: Shown;
}

export function stage(
  element: HTMLElement,
  payload: ScenePayload,
  pale: ScenePayload | null,
  words: SceneWords,
  drawAgain: () => void,
): Stage | null {
  const bodyCanvas = element.querySelector<HTMLCanvasElement>('[data-sc=solid]')!;
  const marksCanvas = element.querySelector<HTMLCanvasElement>('[data-sc=marks]')!;
  const marksContext = marksCanvas.getContext('2d');
  const pose = poseOf(payload);
  const shift: [number, number, number] = [0, 0, 0];
  const second = pale ? { payload: pale, pose: poseOf(pale, shift) } : null;
  const body = solidBody(bodyCanvas, payload, pose, second, drawAgain) ?? lineBody(bodyCanvas, payload, pose, second);
  if (!body || !marksContext) return null;

  let theme = readTheme(element);
  body.recolour(theme);
  onThemeChange(() => {
    theme = readTheme(element);
    body.recolour(theme);
    drawAgain();
  });
  const size = { width: 0, height: 0 };
  const shown: Shown = { mass: true, force: true, effort: true, points: false };
  const marks = marksDrawing(payload, words, () => theme, size);
  const eye = projector();
  const orbit = newOrbit();
  const toFit = fitPoints(payload, pose);
  const shifts = pale ? shiftsOnto(payload, pale) : [];
  let whole = orbit.distance;
  let ratio = 1;
  let still = false;
  let view: SceneView = 'side';
  let paleFrame: ((frame: number) => number) | null = null;

  const drawBody = (frame: number): void => {
    pose.moveTo(frame);
    const other = paleFrame ? paleFrame(frame) : Number.NaN;
    if (second && !Number.isNaN(other)) {
      const here = shifts[nearestRepetition(payload.repetitions, frame)];
      if (here) [shift[0], shift[2]] = here;
      second.pose.moveTo(other);
    }
    body.draw(orbit, !Number.isNaN(other));
  };
  const setView = (wanted: SceneView): void => {
    view = wanted;
    if (size.width === 0) return;
    lookAtAll(orbit, view, toFit, size.width, size.height, MARGINS);
    whole = orbit.distance;
  };

  return {
    kind: body.kind,
    orbit,
    wholeDistance: () => whole,
    size,
    shown,
    setView,
    align(by) {
      paleFrame = pale && by ? alignment(payload, pale, by) : null;
      return paleFrame;
    },
    draw(frame) {
      if (size.width === 0) return;
      if (still) body.resize(size.width, size.height, ratio);
      still = false;
      drawBody(frame);
      marksContext.setTransform(ratio, 0, 0, ratio, 0, 0);
      marksContext.clearRect(0, 0, size.width, size.height);
      eye.set(orbit, size.width, size.height);
      marks.draw(marksContext, eye, pose, frame, shown);
    },
    drawStill(frame) {
      if (size.width === 0 || !body.bySoftware || still) return;
      body.resize(size.width, size.height, STILL_RATIO * ratio);
      still = true;
      drawBody(frame);
    },
    drawInto(context, frame, pixelRatio) {
      const { width, height } = size;
      body.resize(width, height, pixelRatio);
      drawBody(frame);
      context.drawImage(bodyCanvas, 0, 0, width, height);
      body.resize(width, height, ratio);
      still = false;
      eye.set(orbit, width, height);
      marks.draw(context, eye, pose, frame, shown);
    },
    resize() {
      const { clientWidth: width, clientHeight: height } = element;
      const wanted = Math.min(
        LARGEST_RATIO,
        window.devicePixelRatio || 1,
        Math.sqrt(MOST_PIXELS / Math.max(1, width * height)),
      );
      const least = Math.max(1, wanted);
      if (width === size.width && height === size.height && least === ratio) return false;
      const first = size.width === 0;
      [size.width, size.height, ratio] = [width, height, least];
      if (width === 0 || height === 0) return false;
      body.resize(width, height, ratio);
      still = false;
      marksCanvas.width = Math.round(width * ratio);
      marksCanvas.height = Math.round(height * ratio);
      const { azimuth, elevation } = orbit;
      const turned = !first;
      setView(view);
      if (turned) [orbit.azimuth, orbit.elevation] = [azimuth, elevation];
      return true;
    },
  };
}

/** For each repetition of the first lift: what moves the second lifter's feet onto the first one's, [x, z] in metres. */
function shiftsOnto(first: ScenePayload, second: ScenePayload): ([x: number, z: number] | null)[] {
  return first.repetitions.map((mine, r) => {
    const theirs = second.repetitions[Math.min(r, second.repetitions.length - 1)];
    const here = standingPlace(first, wholeRange(mine)[0]);
    const there = theirs ? standingPlace(second, wholeRange(theirs)[0]) : null;
    return here && there ? [here[0] - there[0], here[1] - there[1]] : null;
  });
}
