/** Says on stderr how far a long work is: one line rewritten on a terminal, one line a step elsewhere. */
export interface Progress {
  step(done: number, total: number, what: string): void;
  end(): void;
}

export function progressOn(stream: NodeJS.WriteStream, quiet: boolean): Progress {
  if (quiet) return { step: () => {}, end: () => {} };
  if (!stream.isTTY) {
    return { step: (done, total, what) => void stream.write(`[${done + 1}/${total}] ${what}\n`), end: () => {} };
  }
  const width = 24;
  return {
    step(done, total, what) {
      const filled = Math.round((width * done) / total);
      stream.write(`\r\x1b[K[${'#'.repeat(filled)}${'.'.repeat(width - filled)}] ${done}/${total} ${what}`);
    },
    end: () => void stream.write('\r\x1b[K'),
  };
}
