import type { C3dGroup, C3dParameter } from './c3d-file.ts';

/** Most values of one list; longer lists go on in NAME2, NAME3 … */
const MOST_VALUES = 255;

export function integerParameter(name: string, description: string, ...values: number[]): C3dParameter {
  return numberParameter('integer', name, description, values);
}

export function floatParameter(name: string, description: string, ...values: number[]): C3dParameter {
  return numberParameter('float', name, description, values);
}

function numberParameter(
  kind: 'integer' | 'float',
  name: string,
  description: string,
  values: readonly number[],
): C3dParameter {
  const dimensions = values.length === 1 ? [] : [values.length];
  return { name, description, locked: false, kind, dimensions, values: Float64Array.from(values), text: [] };
}

/** Rows of text, filled up with spaces to the longest, as UTF-8; a list of more than 255 in parts. */
export function textParameters(name: string, description: string, rows: readonly string[]): C3dParameter[] {
  return inParts(rows).map((part, index) => {
    const stored = part.map((row) => Buffer.from(row, 'utf8').toString('latin1').slice(0, MOST_VALUES));
    const width = Math.max(1, ...stored.map((row) => row.length));
    return {
      name: partName(name, index),
      description,
      locked: false,
      kind: 'text',
      dimensions: [width, part.length],
      values: new Float64Array(0),
      text: stored.map((row) => row.padEnd(width)),
    };
  });
}

/** A list of numbers, one an item (of channels, say); more than 255 in parts. */
export function listParameters(
  kind: 'integer' | 'float',
  name: string,
  description: string,
  values: readonly number[],
): C3dParameter[] {
  return inParts(values).map((part, index) => ({
    name: partName(name, index),
    description,
    locked: false,
    kind,
    dimensions: [part.length],
    values: Float64Array.from(part),
    text: [],
  }));
}

const partName = (name: string, index: number): string => (index === 0 ? name : `${name}${index + 1}`);

function inParts<T>(values: readonly T[]): T[][] {
  const parts = Array.from({ length: Math.max(1, Math.ceil(values.length / MOST_VALUES)) }, (_, k) =>
    values.slice(k * MOST_VALUES, (k + 1) * MOST_VALUES),
  );
  return parts;
}

/** `groups` with these parameters in the group `name`: those of equal names replaced, new ones added, the group made where absent. */
export function withParameters(
  groups: readonly C3dGroup[],
  name: string,
  parameters: readonly C3dParameter[],
): C3dGroup[] {
  const index = groups.findIndex((group) => group.name === name);
  if (index < 0) return [...groups, { name, description: '', locked: false, parameters }];
  const old = groups[index].parameters;
  const kept = old.map((parameter) => parameters.find((one) => one.name === parameter.name) ?? parameter);
  const added = parameters.filter((one) => !old.some((parameter) => parameter.name === one.name));
  return groups.map((group, k) => (k === index ? { ...group, parameters: [...kept, ...added] } : group));
}

/** `groups` without some parameters of the group `name`. */
export function withoutParameters(groups: readonly C3dGroup[], name: string, dropped: readonly string[]): C3dGroup[] {
  return groups.map((group) =>
    group.name === name
      ? { ...group, parameters: group.parameters.filter((parameter) => !dropped.includes(parameter.name)) }
      : group,
  );
}
