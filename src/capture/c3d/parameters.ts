import { c3dDamaged, c3dTruncated } from '../../messages/c3d.ts';
import { BLOCK_BYTES, type C3dGroup, type C3dParameter, type C3dValueKind } from './c3d-file.ts';
import type { C3dHeader } from './header.ts';
import type { StoredNumbers } from './stored-numbers.ts';

const KINDS: Readonly<Record<number, C3dValueKind>> = { [-1]: 'text', 1: 'byte', 2: 'integer', 4: 'float' };
const MOST_DIMENSIONS = 7;
/** The section's length is one byte of blocks. */
const MOST_BLOCKS = 255;

interface Section {
  readonly file: string;
  readonly numbers: StoredNumbers;
  /** No record reaches beyond this byte. */
  readonly end: number;
}

/**
 * Reads the parameter section: groups and parameters, in any order, each with the way to the next. A record that reaches
 * past the next one, the data or the file is refused; no length that a record states is believed before that check.
 * A parameter whose group is never named is kept under the name ''.
 */
export function readParameters(file: string, numbers: StoredNumbers, header: C3dHeader): C3dGroup[] {
  const dataAt = (header.dataBlock - 1) * BLOCK_BYTES;
  const most = header.parametersAt + MOST_BLOCKS * BLOCK_BYTES;
  const end = Math.min(numbers.length, most, dataAt > header.parametersAt ? dataAt : most);
  const section: Section = { file, numbers, end };
  const groups = new Map<number, Omit<C3dGroup, 'parameters'>>();
  const members = new Map<number, C3dParameter[]>();
  let at = header.parametersAt + 4;
  for (;;) {
    if (at + 2 > end) throw outside(section, 'the end mark of the parameters', at + 2);
    const nameLength = Math.abs(numbers.signedByte(at));
    const id = numbers.signedByte(at + 1);
    if (nameLength === 0 || id === 0) break;
    if (at + nameLength + 4 > end) throw outside(section, `the parameter at byte ${at}`, at + nameLength + 4);
    const name = numbers
      .text(at + 2, nameLength)
      .trim()
      .toUpperCase();
    const locked = numbers.signedByte(at) < 0;
    const pointerAt = at + 2 + nameLength;
    const toNext = numbers.unsigned(pointerAt);
    const limit = toNext === 0 ? end : pointerAt + toNext;
    if (limit > end) throw outside(section, `what follows ${name}`, limit);
    if (id < 0) groups.set(-id, { name, locked, description: description(section, pointerAt + 2, limit) });
    else {
      const found = members.get(id) ?? [];
      members.set(id, found);
      found.push(readParameter(section, name, locked, pointerAt + 2, limit));
    }
    if (toNext === 0) break;
    at = limit;
  }
  const ids = [...new Set([...groups.keys(), ...members.keys()])];
  return ids.map((id) => ({
    ...(groups.get(id) ?? { name: '', locked: false, description: '' }),
    parameters: members.get(id) ?? [],
  }));
}

function readParameter(section: Section, name: string, locked: boolean, at: number, limit: number): C3dParameter {
  const { file, numbers } = section;
  const place = `parameter ${name}`;
  const cut = () => c3dDamaged(file, place, 'its values reach into the next parameter');
  if (at + 2 > limit) throw cut();
  const code = numbers.signedByte(at);
  const kind = KINDS[code];
  if (kind === undefined) throw c3dDamaged(file, place, `type ${code}, not −1, 1, 2 or 4`);
  const count = numbers.byte(at + 1);
  if (count > MOST_DIMENSIONS) throw c3dDamaged(file, place, `${count} dimensions, more than ${MOST_DIMENSIONS}`);
  const valuesAt = at + 2 + count;
  if (valuesAt > limit) throw cut();
  const dimensions = Array.from({ length: count }, (_, k) => numbers.byte(at + 2 + k));
  const total = dimensions.reduce((product, size) => product * size, 1);
  const size = Math.abs(code);
  if (valuesAt + total * size > limit) throw cut();
  const rowLength = dimensions[0] ?? 1;
  const rows = kind === 'text' && rowLength > 0 ? total / rowLength : 0;
  const values = new Float64Array(kind === 'text' ? 0 : total);
  for (let i = 0; i < values.length; i++) {
    const valueAt = valuesAt + i * size;
    if (kind === 'byte') values[i] = numbers.byte(valueAt);
    else values[i] = kind === 'integer' ? numbers.integer(valueAt) : numbers.float(valueAt);
  }
  return {
    name,
    locked,
    kind,
    dimensions,
    values,
    text: Array.from({ length: rows }, (_, row) => numbers.text(valuesAt + row * rowLength, rowLength)),
    description: description(section, valuesAt + total * size, limit),
  };
}

/** Some writers leave out the description and its length: what does not fit is taken as empty or cut. */
function description({ numbers }: Section, at: number, limit: number): string {
  if (at >= limit) return '';
  return numbers.text(at + 1, Math.min(numbers.byte(at), limit - at - 1));
}

function outside({ file, numbers, end }: Section, what: string, needed: number) {
  if (needed > numbers.length) return c3dTruncated(file, what, numbers.length, needed);
  return c3dDamaged(file, 'parameter section', `${what} reaches past its end at byte ${end}`);
}
