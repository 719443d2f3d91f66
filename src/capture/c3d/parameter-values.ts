import { isUtf8 } from 'node:buffer';
import { c3dValue } from '../../messages/c3d.ts';
import type { C3dGroup, C3dParameter } from './c3d-file.ts';

/** The parameter `group:name`, or null. Of two equal names the first counts. */
export function findParameter(groups: readonly C3dGroup[], group: string, name: string): C3dParameter | null {
  for (const one of groups) {
    if (one.name !== group) continue;
    const found = one.parameters.find((parameter) => parameter.name === name);
    if (found) return found;
  }
  return null;
}

/** Numbers of a parameter and of its continuations (SCALE, SCALE2, SCALE3 …: 255 values each); null where it is absent. All are finite. */
export function numbersOf(file: string, groups: readonly C3dGroup[], group: string, name: string): Float64Array | null {
  const parts = continued(groups, group, name).map((parameter) => {
    for (const value of parameter.values) {
      if (!Number.isFinite(value)) throw c3dValue(file, `${group}:${parameter.name}`, value, 'a finite number');
    }
    return parameter.values;
  });
  return parts.length === 0 ? null : Float64Array.from(parts.flatMap((values) => [...values]));
}

/** The first number of a parameter; null where there is none. */
export function numberOf(file: string, groups: readonly C3dGroup[], group: string, name: string): number | null {
  const values = numbersOf(file, groups, group, name);
  return values === null || values.length === 0 ? null : values[0];
}

/** As numberOf, a 16-bit integer taken as unsigned (counts above 32767 are stored so). */
export function countOf(file: string, groups: readonly C3dGroup[], group: string, name: string): number | null {
  const value = numberOf(file, groups, group, name);
  return value !== null && value < 0 && findParameter(groups, group, name)?.kind === 'integer' ? value + 65536 : value;
}

/** Rows of a text parameter and its continuations (LABELS, LABELS2 …), spaces and NUL at both ends removed; [] where it is absent. */
export function textsOf(groups: readonly C3dGroup[], group: string, name: string): string[] {
  return continued(groups, group, name).flatMap((parameter) => parameter.text.map(readableText));
}

function continued(groups: readonly C3dGroup[], group: string, name: string): C3dParameter[] {
  const found: C3dParameter[] = [];
  for (let part = 1; ; part++) {
    const parameter = findParameter(groups, group, part === 1 ? name : `${name}${part}`);
    if (parameter === null) return found;
    found.push(parameter);
  }
}

function readableText(row: string): string {
  const bytes = Buffer.from(row, 'latin1');
  const text = isUtf8(bytes) ? bytes.toString('utf8') : row;
  // biome-ignore lint/suspicious/noControlCharactersInRegex: writers fill up with NUL
  return text.replace(/[\u0000-\u001f\u007f]+/g, ' ').trim();
}
