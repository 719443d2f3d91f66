import { liftDifferences } from '../../messages/study-run.ts';
import type { Ingredients } from './lift-key.ts';

/**
 * The first thing that sets what a result was made of apart from what it would be made of now, in words: settings and options, then
 * input files, then the program. '' where there is none.
 */
export function firstDifference(then: Ingredients, now: Ingredients): string {
  const { inputs: oldInputs, tool_version: oldVersion, ...oldSettings } = then.provenance;
  const { inputs, tool_version: version, ...settings } = now.provenance;
  const options = ({ synthetic, draws, c3d }: Ingredients) => ({ draws, c3d, synthetic });
  const setting = firstUnequal(oldSettings, settings, '') ?? firstUnequal(options(then), options(now), '');
  if (setting !== null) return liftDifferences.setting(...setting);
  const digests = new Map(oldInputs.map(({ file, sha256 }) => [file, sha256]));
  for (const { file, sha256 } of inputs) {
    if (!digests.has(file)) return liftDifferences.newInput(file);
    if (digests.get(file) !== sha256) return liftDifferences.changedInput(file);
    digests.delete(file);
  }
  for (const file of digests.keys()) return liftDifferences.noInput(file);
  if (version !== oldVersion || then.tool_sha256 !== now.tool_sha256 || then.format !== now.format) {
    return liftDifferences.program(oldVersion, version);
  }
  return then.recording_file === now.recording_file ? '' : liftDifferences.newInput(now.recording_file);
}

/** Path, value then and value now of the first member in which two values differ; null where they are equal. */
function firstUnequal(then: unknown, now: unknown, path: string): [string, string, string] | null {
  if (isMap(then) && isMap(now)) {
    for (const key of new Set([...Object.keys(then), ...Object.keys(now)])) {
      const found = firstUnequal(then[key], now[key], path === '' ? key : `${path}.${key}`);
      if (found) return found;
    }
    return null;
  }
  const [before, after] = [then, now].map((value) => JSON.stringify(value) ?? 'none');
  return before === after ? null : [path, before, after];
}

const isMap = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
