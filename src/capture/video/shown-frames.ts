/** What ffmpeg's filter `showinfo` prints of a frame. */
export interface ShownFrame {
  readonly pts: number;
  /** Seconds a tick at that place of the filter chain. */
  readonly tickS: number;
  readonly width: number;
  readonly height: number;
}

const TIME_BASE = /showinfo.*config in time_base: (\d+)\/(\d+)/;
const FRAME = /showinfo.* n: *\d+ pts: *(-?\d+|NOPTS) .*? s:(\d+)x(\d+)/;
const OTHER = /showinfo/;

/**
 * A queue between the lines that `showinfo` prints (one a frame, before the frame itself leaves the program) and the frames
 * that arrive on another pipe: the n-th line belongs to the n-th picture.
 */
export function shownFrames(): {
  /** True for a line of showinfo. */
  takeLine(line: string): boolean;
  /** No line will follow. */
  end(): void;
  /** The next frame; null where no line will come any more. One caller at a time. */
  next(): Promise<ShownFrame | null>;
} {
  const queue: ShownFrame[] = [];
  let read = 0;
  let ended = false;
  let tickS = Number.NaN;
  let waiting: ((frame: ShownFrame | null) => void) | null = null;
  const give = () => {
    if (!waiting) return;
    if (read < queue.length) waiting(queue[read++]);
    else if (ended) waiting(null);
    else return;
    waiting = null;
    if (read > 1000) {
      queue.splice(0, read);
      read = 0;
    }
  };
  return {
    takeLine(line) {
      const base = TIME_BASE.exec(line);
      if (base) tickS = Number(base[1]) / Number(base[2]);
      const frame = FRAME.exec(line);
      if (frame) {
        queue.push({ pts: Number(frame[1]), tickS, width: Number(frame[2]), height: Number(frame[3]) });
        give();
      }
      return OTHER.test(line);
    },
    end() {
      ended = true;
      give();
    },
    next: () =>
      new Promise((resolve) => {
        waiting = resolve;
        give();
      }),
  };
}
