import { createHash } from 'node:crypto';
import { closeSync, openSync, readSync } from 'node:fs';
import type { Recording } from '../../capture/recording.ts';

/** Read at a time, bytes: a video need not fit into memory. */
const PIECE = 1 << 20;

/**
 * Every file that the result of a recording is made of, by the paths it states. Videos only where stills of them go into the
 * report.
 *
 * @param rules file of rules for findings that is used; null: the built-in ones
 */
export function inputFiles({ file, source, forcePlates, stills }: Recording, rules: string | null): string[] {
  const sources =
    source.kind === 'views'
      ? [
          source.rig,
          ...source.views.flatMap(({ keypoints, frameTimes, video }) => [
            ...keypoints,
            ...(frameTimes ? [frameTimes] : []),
            ...(video && stills?.consent ? [video] : []),
          ]),
        ]
      : [source.file];
  const plates = forcePlates.map((plate) => plate.file);
  return [...new Set([file, ...sources, ...plates, ...(rules === null ? [] : [rules])])];
}

/** SHA-256 of a file's bytes; where it cannot be read, why, so that it counts as changed once it can. */
export function fileDigest(path: string): string {
  const hash = createHash('sha256');
  const piece = new Uint8Array(PIECE);
  let file: number | null = null;
  try {
    file = openSync(path, 'r');
    for (;;) {
      const bytes = readSync(file, piece);
      if (bytes === 0) return hash.digest('hex');
      hash.update(piece.subarray(0, bytes));
    }
  } catch (error) {
    const { code, syscall } = error as NodeJS.ErrnoException;
    if (syscall === undefined) throw error;
    return `unreadable: ${code}`;
  } finally {
    if (file !== null) closeSync(file);
  }
}

export const digestOf = (content: string | Uint8Array): string => createHash('sha256').update(content).digest('hex');
