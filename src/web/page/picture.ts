import { saveAs } from './files.ts';
import { wrapped } from './wrapped.ts';

/** Size of the picture, pixels: as wide as phones show a picture that was sent to them. */
const WIDTH = 1080;
const MARGIN = 56;
const INNER = WIDTH - 2 * MARGIN;
/** A figure is drawn at most so many times its own size. */
const LARGEST_SCALE = 1.7;

/** Always light: a picture is sent to others, and paper is white. */
const INK = '#14211d';
const QUIET = '#4d5c56';
const GROUND = '#ffffff';
const BAND = '#14302b';
const BAND_INK = '#f3f7f5';
const MARK = '#ffe7a3';
const MARK_INK = '#463200';

/**
 * "Save one picture": draws what the first screen marks with `data-picture` (title, facts, sentence, figure, number, mark)
 * on one PNG and hands it to the reader. Nothing leaves the page.
 */
export function startPicture(): void {
  const button = document.querySelector<HTMLButtonElement>('button[data-save-picture]');
  button?.addEventListener('click', async () => {
    button.disabled = true;
    try {
      saveAs(button.dataset.savePicture ?? 'lift.png', await pictureOf(document));
    } finally {
      button.disabled = false;
      button.focus();
    }
  });
}

interface Figure {
  readonly image: HTMLImageElement;
  readonly width: number;
  readonly height: number;
}

interface Column {
  readonly figures: readonly Figure[];
  readonly caption: string;
}

async function pictureOf(page: Document): Promise<Blob> {
  const texts = (kind: string) => [...page.querySelectorAll(`[data-picture=${kind}]`)].map(wordsOf);
  const columns = await Promise.all(
    [...page.querySelectorAll('[data-picture=figure]')].map(async (element) => ({
      figures: await Promise.all([...element.querySelectorAll<SVGSVGElement>('svg')].map(drawable)),
      caption: wordsOf(element.querySelector('figcaption')),
    })),
  );
  const canvas = page.createElement('canvas');
  const pen = canvas.getContext('2d');
  if (!pen) throw new Error('no canvas');
  const sheet = new Sheet(pen, getComputedStyle(page.body).fontFamily);
  for (const mark of texts('mark').slice(0, 1)) {
    sheet.ground(MARK, () => {
      sheet.space(14);
      sheet.lines(mark, 26, 700, MARK_INK);
      sheet.space(14);
    });
  }
  sheet.ground(BAND, () => {
    sheet.space(28);
    for (const title of texts('title')) sheet.lines(title, 58, 700, BAND_INK);
    sheet.space(6);
    sheet.lines(texts('facts').join('  ·  '), 27, 400, BAND_INK);
    sheet.space(26);
  });
  sheet.space(26);
  for (const sentence of texts('sentence')) sheet.lines(sentence, 42, 700, INK);
  sheet.space(20);
  sheet.columns(columns);
  sheet.space(22);
  for (const element of page.querySelectorAll('[data-picture=number]')) {
    const [label, value] = [...element.children].map(wordsOf);
    sheet.pair(label ?? '', value ?? '');
    sheet.space(8);
  }
  sheet.space(14);
  sheet.lines(texts('maker').join(' '), 22, 400, QUIET);
  sheet.space(26);
  canvas.width = WIDTH;
  canvas.height = sheet.height;
  sheet.draw();
  return new Promise((resolve, reject) =>
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('no picture came out'))), 'image/png'),
  );
}

/** What stands under what: everything is laid out first, so that the height is known, and drawn afterwards, grounds before ink. */
class Sheet {
  readonly #pen: CanvasRenderingContext2D;
  readonly #family: string;
  readonly #grounds: (() => void)[] = [];
  readonly #ink: (() => void)[] = [];
  #y = 0;

  constructor(pen: CanvasRenderingContext2D, family: string) {
    this.#pen = pen;
    this.#family = family;
  }

  get height(): number {
    return Math.ceil(this.#y);
  }

  draw(): void {
    const pen = this.#pen;
    pen.fillStyle = GROUND;
    pen.fillRect(0, 0, WIDTH, this.height);
    for (const act of [...this.#grounds, ...this.#ink]) act();
  }

  space(px: number): void {
    this.#y += px;
  }

  /** What `content` lays out stands on a ground of this colour, from edge to edge. */
  ground(colour: string, content: () => void): void {
    const top = this.#y;
    content();
    const bottom = this.#y;
    this.#grounds.push(() => {
      this.#pen.fillStyle = colour;
      this.#pen.fillRect(0, top, WIDTH, bottom - top);
    });
  }

  lines(words: string, px: number, weight: number, colour: string, place: Place = {}): void {
    const { x = MARGIN, width = INNER, align = 'left' } = place;
    const pen = this.#pen;
    const font = `${weight} ${px}px ${this.#family}`;
    pen.font = font;
    for (const line of wrapped(words, width, (part) => pen.measureText(part).width)) {
      this.#y += Math.round(1.3 * px);
      const base = this.#y - Math.round(0.35 * px);
      this.#ink.push(() => {
        pen.font = font;
        pen.fillStyle = colour;
        pen.textAlign = align;
        pen.fillText(line, x, base);
      });
    }
  }

  /** A name at the left and its number at the right. */
  pair(label: string, value: string): void {
    const top = this.#y;
    this.lines(label, 28, 400, QUIET, { width: 0.6 * INNER });
    const bottom = this.#y;
    this.#y = top;
    this.lines(value, 28, 700, INK, { x: WIDTH - MARGIN, width: 0.38 * INNER, align: 'right' });
    this.#y = Math.max(this.#y, bottom);
  }

  /** Figures beside each other, each with its caption under it. */
  columns(columns: readonly Column[]): void {
    const gap = 32;
    const width = (INNER - gap * (columns.length - 1)) / Math.max(1, columns.length);
    const top = this.#y;
    let bottom = top;
    columns.forEach(({ figures, caption }, i) => {
      this.#y = top;
      const left = MARGIN + i * (width + gap);
      for (const { image, width: own, height } of figures) {
        const shown = Math.min(width, LARGEST_SCALE * own);
        const tall = (shown * height) / own;
        const y = this.#y;
        this.#ink.push(() => this.#pen.drawImage(image, left + (width - shown) / 2, y, shown, tall));
        this.#y += tall + 6;
      }
      this.lines(caption, 26, 400, INK, { x: left + width / 2, width, align: 'center' });
      bottom = Math.max(bottom, this.#y);
    });
    this.#y = bottom;
  }
}

interface Place {
  readonly x?: number;
  readonly width?: number;
  readonly align?: CanvasTextAlign;
}

/** A picture of the page as an image of its own. Colours named by the page fall back to those of light paper. */
async function drawable(svg: SVGSVGElement): Promise<Figure> {
  const { width, height } = svg.viewBox.baseVal;
  const copy = svg.cloneNode(true) as SVGSVGElement;
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  copy.setAttribute('width', String(2 * width));
  copy.setAttribute('height', String(2 * height));
  copy.removeAttribute('style');
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(new XMLSerializer().serializeToString(copy))}`;
  await image.decode();
  return { image, width, height };
}

/** The words of an element as they read, spaces and line ends as one space each; no-break spaces stay. */
const wordsOf = (element: Element | null) => (element?.textContent ?? '').replace(/[ \n\t]+/g, ' ').trim();
