import { curvePath, heightOf, niceRange, type Scale } from './curve-path.ts';
import type { ScenePayload, SeriesName } from './payload.ts';
import { wholeRange } from './phases.ts';
import { inUnit, type SceneWords } from './words.ts';

/** A chart as the page lays it out: an element with `data-series`, an output for the values, and room for the drawing. */
interface Chart {
  readonly names: readonly SeriesName[];
  readonly room: HTMLElement;
  readonly values: readonly HTMLElement[];
  readonly cursor: HTMLElement;
}

export interface Curves {
  /** Draws the charts anew: after a change of size, of the part shown, or of the second lift's alignment. */
  redraw(first: number, last: number, paleFrame: ((frame: number) => number) | null): void;
  /** Moves the cursor and prints the values. */
  show(frame: number): void;
}

/** Room left of and right of the lines, px, for the numbers of the axis. */
const LEFT = 34;
const RIGHT = 8;
const TOP = 8;
const BOTTOM = 6;

/** How each series is printed and drawn. Values are shown times `factor`. */
const SHOWN: Readonly<
  Partial<
    Record<
      SeriesName,
      {
        unit: 'newtonMetres' | 'degrees' | 'alongFoot';
        factor: number;
        colour: string;
        dash: string;
        hold: readonly number[];
      }
    >
  >
> = {
  hip_moment: { unit: 'newtonMetres', factor: 1, colour: 'hip', dash: '', hold: [0] },
  knee_moment: { unit: 'newtonMetres', factor: 1, colour: 'knee', dash: '6 4', hold: [0] },
  thigh_elevation: { unit: 'degrees', factor: 1, colour: 'ink', dash: '', hold: [0] },
  trunk_lean: { unit: 'degrees', factor: 1, colour: 'ink', dash: '', hold: [0] },
  com_along_foot: { unit: 'alongFoot', factor: 100, colour: 'mass', dash: '', hold: [0, 100] },
};

/**
 * Small charts of values over time, one below the other, that scrub: pressing or dragging in one calls `scrub` with the frame.
 */
export function curves(
  root: HTMLElement,
  payload: ScenePayload,
  pale: ScenePayload | null,
  words: SceneWords,
  scrub: (frame: number) => void,
): Curves {
  const charts = [...root.querySelectorAll<HTMLElement>('[data-series]')].map((element): Chart => {
    const names = (element.dataset.series ?? '').split(' ') as SeriesName[];
    const room = element.querySelector<HTMLElement>('[data-sc=plot]')!;
    const cursor = document.createElement('div');
    cursor.className = 'sc-cursor';
    const drawing = document.createElement('div');
    room.append(drawing, cursor);
    const values = names.map((name) => element.querySelector<HTMLElement>(`[data-value=${name}]`)!);
    return { names, room, values, cursor };
  });
  let [first, last, step] = [0, payload.frames - 1, 1];

  for (const { room } of charts) {
    const scrubTo = (event: PointerEvent) => {
      const x = event.clientX - room.getBoundingClientRect().left;
      scrub(first + (x - LEFT) / step);
    };
    room.addEventListener('pointerdown', (event) => {
      if (event.button !== 0) return;
      room.setPointerCapture(event.pointerId);
      scrubTo(event);
    });
    room.addEventListener('pointermove', (event) => {
      if (room.hasPointerCapture(event.pointerId)) scrubTo(event);
    });
  }

  return {
    redraw(from, to, paleFrame) {
      [first, last] = [from, to];
      for (const { names, room } of charts) {
        const width = room.clientWidth;
        const height = room.clientHeight;
        if (width <= LEFT + RIGHT) continue;
        step = (width - LEFT - RIGHT) / Math.max(1, last - first);
        room.firstElementChild!.innerHTML = chartSvg(payload, pale, names, first, last, width, height, step, paleFrame);
      }
    },
    show(frame) {
      const whole = Math.round(frame);
      for (const { names, values, cursor } of charts) {
        cursor.style.transform = `translateX(${(LEFT + step * (frame - first)).toFixed(1)}px)`;
        names.forEach((name, i) => {
          const { unit, factor } = SHOWN[name]!;
          const value = payload.series[name]?.[whole] ?? Number.NaN;
          const text = inUnit(factor * value, 0, words[unit], words);
          if (values[i].textContent !== text) values[i].textContent = text;
        });
      }
    },
  };
}

function chartSvg(
  payload: ScenePayload,
  pale: ScenePayload | null,
  names: readonly SeriesName[],
  first: number,
  last: number,
  width: number,
  height: number,
  step: number,
  paleFrame: ((frame: number) => number) | null,
): string {
  const scaled = (source: ScenePayload, name: SeriesName) =>
    Float32Array.from(source.series[name] ?? [], (value) => SHOWN[name]!.factor * value);
  const own = names.map((name) => scaled(payload, name));
  const second = pale && paleFrame ? names.map((name) => atFrames(scaled(pale, name), payload.frames, paleFrame)) : [];
  const range = niceRange(
    [...own, ...second],
    names.flatMap((name) => SHOWN[name]!.hold),
    3,
  );
  const right = width - RIGHT;
  const x = (frame: number) => LEFT + step * (frame - first);
  const shades = phaseShades(payload, first, last, x, height);
  if (!range) return svg(width, height, shades);
  const scale: Scale = { low: range.low, high: range.high, top: TOP, height: height - TOP - BOTTOM };
  const ticks: string[] = [];
  for (let value = range.low; value <= range.high + 1e-9; value += range.step) {
    const y = heightOf(scale, value).toFixed(1);
    const text = String(Math.round(value * 100) / 100).replace('-', '−');
    const zero = Math.abs(value) < 1e-9 && range.low < 0;
    ticks.push(
      `<line class="${zero ? 'sc-zero' : 'sc-grid'}" x1="${LEFT}" x2="${right}" y1="${y}" y2="${y}"/>`,
      `<text class="sc-tick" x="${LEFT - 6}" y="${y}" dy=".33em">${text}</text>`,
    );
  }
  const line = (values: Float32Array, name: SeriesName, isPale: boolean) => {
    const { colour, dash } = SHOWN[name]!;
    const d = curvePath(values, first, last, LEFT, step, scale);
    return `<path class="${isPale ? 'sc-pale' : 'sc-line'}" style="stroke:var(--sc-${isPale ? 'pale-line' : colour})"${dash ? ` stroke-dasharray="${dash}"` : ''} d="${d}"/>`;
  };
  return svg(
    width,
    height,
    [
      shades,
      ...ticks,
      ...second.map((values, i) => line(values, names[i], true)),
      ...own.map((values, i) => line(values, names[i], false)),
    ].join(''),
  );
}

const svg = (width: number, height: number, inside: string) =>
  `<svg width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" aria-hidden="true">${inside}</svg>`;

/** The second lift's values at the first one's frames; NaN where it has none. */
function atFrames(values: Float32Array, frames: number, frameOf: (frame: number) => number): Float32Array {
  return Float32Array.from({ length: frames }, (_, f) => {
    const at = frameOf(f);
    if (Number.isNaN(at)) return Number.NaN;
    const i = Math.min(Math.floor(at), values.length - 1);
    const share = at - i;
    return share === 0 ? values[i] : values[i] + share * ((values[i + 1] ?? Number.NaN) - values[i]);
  });
}

/** Way down and way up of each repetition, in two shades. */
export function phaseShades(
  { repetitions }: ScenePayload,
  first: number,
  last: number,
  x: (frame: number) => number,
  height: number,
): string {
  const shade = (kind: string, range: readonly [number, number] | null) => {
    if (!range || range[1] <= first || range[0] > last) return '';
    const [from, to] = [x(Math.max(first, range[0])), x(Math.min(last, range[1]))];
    return `<rect class="sc-${kind}" x="${from.toFixed(1)}" y="0" width="${(to - from).toFixed(1)}" height="${height}"/>`;
  };
  return repetitions.map((repetition) => shade('down', repetition.descent) + shade('up', repetition.ascent)).join('');
}

/** The strip under the slider: the repetitions by number, with an arrow for each way. `inset`: px kept free at both ends. */
export function timeStrip(strip: HTMLElement, payload: ScenePayload, first: number, last: number, inset: number): void {
  const width = strip.clientWidth;
  const height = strip.clientHeight;
  if (width <= 2 * inset) return;
  const step = (width - 2 * inset) / Math.max(1, last - first);
  const x = (frame: number) => inset + step * (frame - first);
  const labels = payload.repetitions.flatMap((repetition) => {
    const [from, to] = wholeRange(repetition);
    if (to <= first || from > last) return [];
    const label = (text: string, range: readonly [number, number] | null) =>
      range
        ? `<text class="sc-strip-text" x="${((x(Math.max(first, range[0])) + x(Math.min(last, range[1]))) / 2).toFixed(1)}" y="${height / 2}" dy=".35em">${text}</text>`
        : '';
    return [
      label(`${repetition.number}\u2009↓`, repetition.descent),
      label(`${repetition.number}\u2009↑`, repetition.ascent),
    ];
  });
  strip.innerHTML = svg(width, height, phaseShades(payload, first, last, x, height) + labels.join(''));
}
