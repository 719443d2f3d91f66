import type { AlignBy } from './alignment.ts';
import { curves, timeStrip } from './curves.ts';
import { KEY_ZOOM, listenForGestures } from './gestures.ts';
import { listenForJumps } from './jump-links.ts';
import { listenForKeys } from './keys.ts';
import { turnBy, zoomBy } from './orbit.ts';
import type { ScenePayload, SceneRepetition, SceneView } from './payload.ts';
import { isInPhase, nearestRepetition, wholeRange } from './phases.ts';
import { summaryWords, timeAndPlace } from './place-words.ts';
import { advance, goTo, newPlayer, play, setPart } from './player.ts';
import { readData } from './read-data.ts';
import { saveMoment } from './save-moment.ts';
import { type Stage, stage } from './stage.ts';
import { readTheme } from './theme.ts';
import { fill, type SceneWords } from './words.ts';

/** Time that passes at most between two pictures while playing, seconds: after a pause of the browser nothing leaps. */
const LARGEST_STEP_S = 0.1;
/** Time around a repetition that is played with it, seconds. */
const AROUND_REPETITION_S = 0.3;
/** After so long without a change the picture counts as standing still, ms. */
const REST_MS = 180;
/** Half the width of the slider's thumb, px: its travel is that much shorter at both ends. */
const THUMB_PX = 10;

/** Brings the scene of the page to life; does nothing on a page without one. */
export async function startScene(): Promise<void> {
  const root = document.querySelector<HTMLElement>('[data-sc=scene]');
  const data = root?.querySelector('[data-sc=data]');
  const wordsElement = root?.querySelector('[data-sc=words]');
  if (!root || !data || !wordsElement) return;
  const words: SceneWords = JSON.parse(wordsElement.textContent ?? '{}');
  const payload = await readData(data);
  if (typeof payload === 'string') {
    note(root, payload === 'damaged' ? words.damagedData : words.noDecompression);
    return;
  }
  const paleData = root.querySelector('[data-sc=pale-data]');
  const pale = paleData ? await readData(paleData) : null;
  liveScene(root, payload, typeof pale === 'string' ? null : pale, words);
}

function note(root: HTMLElement, text: string): void {
  const element = part(root, 'note');
  element.textContent = text;
  element.hidden = text === '';
}

function part<T extends HTMLElement = HTMLElement>(root: HTMLElement, name: string): T {
  return root.querySelector<T>(`[data-sc=${name}]`)!;
}

function liveScene(root: HTMLElement, payload: ScenePayload, pale: ScenePayload | null, words: SceneWords): void {
  part(root, 'body').hidden = false;
  const player = newPlayer(payload.frames);
  const slider = part<HTMLInputElement>(root, 'slider');
  const strip = part(root, 'strip');
  const playButton = part(root, 'play');
  const clock = part(root, 'clock');
  const stageElement = part(root, 'stage');
  const marksCanvas = part(root, 'marks');
  let lastTime = 0;
  let waiting = false;
  let view: SceneView = 'side';
  let paleFrame: ((frame: number) => number) | null = null;
  let shownRepetition = -2;
  let rest: ReturnType<typeof setTimeout> | undefined;

  const drawSoon = (): void => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(step);
  };
  const found = stage(stageElement, payload, pale, words, drawSoon);
  if (!found) {
    part(root, 'body').hidden = true;
    note(root, words.noSolidPicture);
    return;
  }
  const picture: Stage = found;
  if (picture.kind === 'lines') note(root, words.noSolidPicture);
  const charts = curves(part(root, 'curves'), payload, pale, words, (frame) => stopAt(frame));

  function step(now: number): void {
    waiting = false;
    if (player.playing) {
      advance(player, Math.min(LARGEST_STEP_S, (now - lastTime) / 1000), payload.frameRateHz);
      lastTime = now;
      if (!player.playing) stopped();
    }
    draw();
    clearTimeout(rest);
    if (player.playing) drawSoon();
    else rest = setTimeout(() => picture.drawStill(player.frame), REST_MS);
  }

  function draw(): void {
    const { frame } = player;
    const whole = Math.round(frame);
    picture.draw(frame);
    charts.show(frame);
    slider.value = String(whole);
    clock.textContent = timeAndPlace(payload, whole, words);
    // A slider that changes by itself is not read out; one that the reader moved is.
    if (!player.playing) slider.setAttribute('aria-valuetext', clock.textContent);
    root.dataset.frame = String(whole);
    showMoments(whole);
  }

  // Time.
  const showPlaying = (): void => {
    playButton.classList.toggle('sc-on', player.playing);
    playButton.setAttribute('aria-label', player.playing ? words.pause : words.play);
  };
  const tell = (): void => {
    part(root, 'live').textContent = summaryWords(payload, Math.round(player.frame), words);
  };
  const stopped = (): void => {
    showPlaying();
    tell();
  };
  const toggle = (): void => {
    if (player.playing) {
      goTo(player, player.frame);
      stopped();
    } else {
      play(player);
      part(root, 'live').textContent = '';
      lastTime = performance.now();
      showPlaying();
    }
    drawSoon();
  };
  const stopAt = (frame: number): void => {
    const wasPlaying = player.playing;
    goTo(player, frame);
    if (wasPlaying) showPlaying();
    drawSoon();
  };
  const partSelect = part<HTMLSelectElement>(root, 'part');
  const showPart = (): void => {
    const repetition = payload.repetitions[Number(partSelect.value)];
    const around = Math.round(AROUND_REPETITION_S * payload.frameRateHz);
    const [from, to] = repetition ? wholeRange(repetition) : [0, payload.frames];
    const [first, last] = repetition
      ? [Math.max(0, from - around), Math.min(payload.frames - 1, to - 1 + around)]
      : [0, payload.frames - 1];
    setPart(player, first, last, repetition !== undefined);
    slider.min = String(first);
    slider.max = String(last);
    redrawCharts();
  };
  const redrawCharts = (): void => {
    charts.redraw(player.first, player.last, paleFrame);
    timeStrip(strip, payload, player.first, player.last, THUMB_PX);
    drawSoon();
  };
  const jump = (frame: number): void => {
    if (frame < player.first || frame > player.last) {
      partSelect.value = '-1';
      showPart();
    }
    stopAt(frame);
    showPlaying();
    tell();
  };

  partSelect.append(...partOptions(payload, words));
  partSelect.addEventListener('change', showPart);
  slider.addEventListener('input', () => stopAt(Number(slider.value)));
  playButton.addEventListener('click', toggle);
  for (const input of root.querySelectorAll<HTMLInputElement>('[data-speed]')) {
    input.addEventListener('change', () => {
      player.speed = Number(input.dataset.speed);
    });
    if (input.checked) player.speed = Number(input.dataset.speed);
  }

  // Moments of the repetition that the present frame belongs to.
  const moments = [...root.querySelectorAll<HTMLButtonElement>('[data-moment]')];
  const momentFrame = (button: HTMLElement, repetition: SceneRepetition | undefined): number =>
    repetition ? repetition[button.dataset.moment as 'bottom' | 'sticking'] : -1;
  const showMoments = (frame: number): void => {
    const index = nearestRepetition(payload.repetitions, frame);
    if (index === shownRepetition) return;
    shownRepetition = index;
    for (const button of moments) button.disabled = momentFrame(button, payload.repetitions[index]) < 0;
  };
  for (const button of moments) {
    button.addEventListener('click', () => jump(momentFrame(button, payload.repetitions[shownRepetition])));
  }
  const marks = part<HTMLSelectElement>(root, 'mark-list');
  part(root, 'mark-box').hidden = payload.marks.length === 0;
  marks.append(...payload.marks.map(({ label }, i) => new Option(label, String(i))));
  marks.addEventListener('change', () => {
    const mark = payload.marks[Number(marks.value)];
    if (!mark) return;
    if (mark.view) setView(mark.view);
    jump(mark.frame);
  });

  // View.
  const viewButtons = [...root.querySelectorAll<HTMLButtonElement>('[data-view]')];
  const showView = (): void => {
    for (const button of viewButtons) button.setAttribute('aria-pressed', String(button.dataset.view === view));
    marksCanvas.setAttribute(
      'aria-label',
      fill(words.pictureDescription, { lifter: payload.about.lifter, view: words.views[view] }),
    );
    drawSoon();
  };
  const setView = (wanted: SceneView): void => {
    view = wanted;
    picture.setView(view);
    showView();
  };
  const turned = (): void => {
    view = 'free';
    showView();
  };
  for (const button of viewButtons) {
    button.addEventListener('click', () => setView(button.dataset.view as SceneView));
  }
  listenForGestures(stageElement, marksCanvas, picture, turned, drawSoon, () => setView(view));
  for (const box of root.querySelectorAll<HTMLInputElement>('[data-show]')) {
    box.addEventListener('change', () => {
      picture.shown[box.dataset.show as 'mass'] = box.checked;
      drawSoon();
    });
  }
  const zoom = (factor: number): void => {
    zoomBy(picture.orbit, factor, picture.wholeDistance());
    drawSoon();
  };
  part(root, 'nearer').addEventListener('click', () => zoom(1 / KEY_ZOOM));
  part(root, 'farther').addEventListener('click', () => zoom(KEY_ZOOM));

  // Second lift.
  const align = root.querySelector<HTMLSelectElement>('[data-sc=align]');
  const setAlign = (): void => {
    const by = align?.value ? (align.value as AlignBy) : null;
    const frameOf = picture.align(by);
    // By depth the second lifter waits between repetitions: a stand to look at, no course of values.
    paleFrame =
      frameOf && by === 'depth' ? (frame) => (isInPhase(payload, frame) ? frameOf(frame) : Number.NaN) : frameOf;
    redrawCharts();
  };
  part(root, 'align-box').hidden = pale === null;
  align?.addEventListener('change', setAlign);

  const stepBy = (frames: 1 | -1): void =>
    stopAt(frames > 0 ? Math.floor(player.frame) + 1 : Math.ceil(player.frame) - 1);
  part(root, 'back').addEventListener('click', () => stepBy(-1));
  part(root, 'forward').addEventListener('click', () => stepBy(1));
  listenForKeys(root, {
    setView,
    toggle,
    stepBy,
    toStart: () => stopAt(player.first),
    toEnd: () => stopAt(player.last),
    nearer: () => zoom(1 / KEY_ZOOM),
    farther: () => zoom(KEY_ZOOM),
    turn(azimuth, elevation) {
      turnBy(picture.orbit, azimuth, elevation);
      turned();
    },
  });

  listenForJumps((frame, wanted) => {
    if (wanted) setView(wanted);
    jump(Math.max(0, Math.min(payload.frames - 1, frame)));
    const gentle = matchMedia('(prefers-reduced-motion: reduce)').matches ? 'auto' : 'smooth';
    stageElement.scrollIntoView({ behavior: gentle, block: 'nearest' });
    stageElement.focus({ preventScroll: true });
  });

  part(root, 'save').addEventListener('click', async () => {
    const saved = await saveMoment(picture, payload, Math.round(player.frame), view, words, readTheme(stageElement));
    drawSoon();
    part(root, 'saved').textContent = saved ? fill(words.pictureSaved, { name: saved }) : words.pictureFailed;
  });

  // Playing stops where nobody sees it.
  new IntersectionObserver((entries) => {
    if (player.playing && entries.every(({ isIntersecting }) => !isIntersecting)) toggle();
  }).observe(root);
  new ResizeObserver(() => {
    picture.resize();
    redrawCharts();
  }).observe(part(root, 'body'));

  picture.resize();
  setView('side');
  setAlign();
  showPart();
  goTo(player, payload.repetitions[0]?.bottom ?? 0);
  showPlaying();
  drawSoon();
  draw();
  root.dataset.ready = picture.kind;
}

function partOptions({ repetitions }: ScenePayload, words: SceneWords): HTMLOptionElement[] {
  return [
    new Option(words.wholeSet, '-1', true, true),
    ...repetitions.map(({ number }, i) => new Option(capital(fill(words.repetition, { number })), String(i))),
  ];
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
