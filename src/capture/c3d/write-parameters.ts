import { c3dCannotHold } from '../../messages/c3d.ts';
import { BLOCK_BYTES, type C3dGroup, type C3dParameter } from './c3d-file.ts';

const CODES = { text: -1, byte: 1, integer: 2, float: 4 } as const;
const INTEL = 84;
const MOST_BLOCKS = 255;
const MOST_RECORD = 65535;
const MOST_NAME = 127;
const MOST_DESCRIPTION = 255;

/**
 * The parameter section, Intel numbers, whole blocks: four bytes of heading, then each group with its parameters, each
 * record telling the way to the next, and a zero at the end. Groups without a name cannot be written and are left out.
 */
export function parameterSection(groups: readonly C3dGroup[]): Uint8Array {
  const named = groups.filter(({ name }) => name !== '');
  check('groups', named.length, MOST_NAME);
  const records = named.flatMap((group, index) => [
    record(group.name, -(index + 1), group.locked, [described(group.description)]),
    ...group.parameters.map((parameter) =>
      record(parameter.name, index + 1, parameter.locked, [values(parameter), described(parameter.description)]),
    ),
  ]);
  const length = 4 + records.reduce((sum, bytes) => sum + bytes.length, 0) + 2;
  const blocks = Math.ceil(length / BLOCK_BYTES);
  check('blocks of parameters', blocks, MOST_BLOCKS);
  const section = new Uint8Array(blocks * BLOCK_BYTES);
  section.set([1, 0x50, blocks, INTEL]);
  let at = 4;
  for (const bytes of records) {
    section.set(bytes, at);
    at += bytes.length;
  }
  return section;
}

/** Length of the name (negative: locked), id, name, bytes to the next record, contents. */
function record(name: string, id: number, locked: boolean, contents: readonly Uint8Array[]): Uint8Array {
  check('letters in a name', name.length, MOST_NAME);
  const length = contents.reduce((sum, bytes) => sum + bytes.length, 0) + 2;
  check('bytes in a parameter', length, MOST_RECORD);
  const out = new Uint8Array(2 + name.length + length);
  const view = new DataView(out.buffer);
  view.setInt8(0, locked ? -name.length : name.length);
  view.setInt8(1, id);
  out.set(Buffer.from(name, 'latin1'), 2);
  view.setUint16(2 + name.length, length, true);
  let at = 4 + name.length;
  for (const bytes of contents) {
    out.set(bytes, at);
    at += bytes.length;
  }
  return out;
}

function values(parameter: C3dParameter): Uint8Array {
  const { kind, dimensions, values: numbers, text } = parameter;
  const size = Math.abs(CODES[kind]);
  const count = kind === 'text' ? text.reduce((sum, row) => sum + row.length, 0) : numbers.length;
  const out = new Uint8Array(2 + dimensions.length + count * size);
  const view = new DataView(out.buffer);
  view.setInt8(0, CODES[kind]);
  out.set([dimensions.length, ...dimensions], 1);
  const at = 2 + dimensions.length;
  if (kind === 'text') out.set(Buffer.from(text.join(''), 'latin1'), at);
  for (let i = 0; i < numbers.length; i++) {
    if (kind === 'byte') view.setUint8(at + i, numbers[i]);
    else if (kind === 'integer') view.setInt16(at + 2 * i, numbers[i], true);
    else view.setFloat32(at + 4 * i, numbers[i], true);
  }
  return out;
}

function described(text: string): Uint8Array {
  const bytes = Buffer.from(text, 'latin1').subarray(0, MOST_DESCRIPTION);
  return Uint8Array.of(bytes.length, ...bytes);
}

function check(what: string, value: number, limit: number): void {
  if (value > limit) throw c3dCannotHold(what, value, limit);
}
