import { isAbsolute, relative, resolve } from 'node:path';
import type { AnalysisSettings, InputDigest } from '../capture/recording.ts';

/** Where a result comes from: enough to repeat it, nothing that changes when it is repeated elsewhere or later. */
export interface Provenance {
  readonly tool: string;
  readonly tool_version: string;
  readonly recording_id: string;
  readonly settings: AnalysisSettings;
  readonly seed: number;
  /** How the intervals were made; null where there are none. */
  readonly intervals: IntervalSettings | null;
  readonly inputs: readonly InputDigest[];
}

export interface IntervalSettings {
  readonly mode: 'linear' | 'draws';
  /** Joint draws; 0 in linear mode. */
  readonly draws: number;
  readonly noise_draws: number;
}

/**
 * Provenance of one recording. No clock time and no absolute path: inputs are named from `folder`, with forward slashes,
 * and sorted.
 *
 * @param folder the folder that input files are named from, usually that of the recording or study file
 */
export function provenanceOf(of: {
  readonly toolVersion: string;
  readonly recordingId: string;
  readonly settings: AnalysisSettings;
  readonly seed: number;
  readonly intervals?: IntervalSettings | null;
  readonly inputs: readonly InputDigest[];
  readonly folder: string;
}): Provenance {
  const inputs = of.inputs.map(({ file, sha256 }) => ({ file: nameFrom(of.folder, file), sha256 }));
  return {
    tool: 'kneeward',
    tool_version: of.toolVersion,
    recording_id: of.recordingId,
    settings: of.settings,
    seed: of.seed,
    intervals: of.intervals ?? null,
    inputs: inputs.sort((a, b) => (a.file < b.file ? -1 : a.file > b.file ? 1 : 0)),
  };
}

/** Seen from the folder; a file that shares nothing with it but the root is named by itself: the rest would be this machine's own folders. */
function nameFrom(folder: string, file: string): string {
  const name = relative(folder, file);
  const parts = name.split(/[\\/]/);
  const climbs = parts.filter((part) => part === '..').length;
  const depth = resolve(folder)
    .split(/[\\/]/)
    .filter((part) => part !== '').length;
  const apart = isAbsolute(name) || (climbs > 0 && climbs >= depth);
  return apart ? parts[parts.length - 1] : parts.join('/');
}
