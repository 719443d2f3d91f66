import { c3dTooShort } from '../../messages/c3d.ts';
import type { C3dEvent, C3dGroup } from './c3d-file.ts';
import { countOf, numbersOf, textsOf } from './parameter-values.ts';

/**
 * Events of the EVENT group: LABELS, CONTEXTS, and TIMES as pairs of whole minutes and seconds. They count from frame 1 of
 * the trial (c3d.org, "EVENT:TIMES"); given back from the first frame of this file.
 */
export function readEvents(
  file: string,
  groups: readonly C3dGroup[],
  firstFrame: number,
  frameRateHz: number,
): C3dEvent[] {
  const used = countOf(file, groups, 'EVENT', 'USED') ?? 0;
  if (used < 1) return [];
  const times = numbersOf(file, groups, 'EVENT', 'TIMES') ?? new Float64Array(0);
  if (times.length < 2 * used) throw c3dTooShort(file, 'EVENT:TIMES', times.length, 2 * used);
  const labels = textsOf(groups, 'EVENT', 'LABELS');
  const contexts = textsOf(groups, 'EVENT', 'CONTEXTS');
  const cutS = Math.max(0, firstFrame - 1) / frameRateHz;
  return Array.from({ length: Math.floor(used) }, (_, k) => ({
    label: labels[k] ?? '',
    context: contexts[k] ?? '',
    timeS: 60 * times[2 * k] + times[2 * k + 1] - cutS,
  }));
}
