/** Says on stderr how far a long work is: one line rewritten on a terminal, one line a step elsewhere. */
export interface Progress {
  step(done: number, total: number, what: string): void;
  /** How far the present step is, where that takes long. */
  within(done: number, total: number, secondsLeft: number): void;
  end(): void;
}

export function progressOn(stream: NodeJS.WriteStream, quiet: boolean): Progress {
  if (quiet) return { step: () => {}, within: () => {}, end: () => {} };
  if (!stream.isTTY) return inLines(stream);
  const width = 24;
  let line = '';
  return {
    step(done, total, what) {
      const filled = Math.round((width * done) / total);
      line = `[${'#'.repeat(filled)}${'.'.repeat(width - filled)}] ${done}/${total} ${what} `;
      stream.write(`\r\x1b[K${line}`);
    },
    within: (done, total, secondsLeft) => void stream.write(`\r\x1b[K${line}${partDone(done, total, secondsLeft)}`),
    end: () => void stream.write('\r\x1b[K'),
  };
}

/** Least time between two lines about one step, seconds: a log should not fill up. */
const LINE_EVERY_S = 10;

function inLines(stream: NodeJS.WriteStream): Progress {
  let last = performance.now();
  return {
    step(done, total, what) {
      last = performance.now();
      stream.write(`[${done + 1}/${total}] ${what}\n`);
    },
    within(done, total, secondsLeft) {
      if (performance.now() - last < 1000 * LINE_EVERY_S) return;
      last = performance.now();
      stream.write(`      ${partDone(done, total, secondsLeft)}\n`);
    },
    end: () => {},
  };
}

function partDone(done: number, total: number, secondsLeft: number): string {
  const left = Number.isFinite(secondsLeft) ? `, about ${Math.ceil(secondsLeft)} s left` : '';
  return `intervals ${Math.round((100 * done) / total)} %${left}`;
}
