import { isMap, isScalar, LineCounter, type Node, type Pair, type ParsedNode, parseDocument, visit } from 'yaml';
import type * as z from 'zod';
import {
  decimalComma,
  fieldMissing,
  fieldNotAChoice,
  fieldNotAList,
  fieldNotAName,
  fieldOutOfRange,
  fieldTwice,
  fieldUnknown,
  fieldWrongType,
  loadMissing,
  manifestNotAMap,
  manifestSyntax,
  manifestVersion,
} from '../messages/capture.ts';
import { type InputLedger, readText } from './input-file.ts';
import { nearestName } from './nearest-name.ts';

export type Path = readonly (string | number)[];
type JsonSchema = Record<string, unknown>;

/** A YAML (or JSON) file written by a user: its plain contents, and the line of every field. */
export interface Manifest {
  readonly file: string;
  readonly contents: Record<string, unknown>;
  /** As written, fields left empty as null. */
  readonly written: Record<string, unknown>;
  /** Line of the field at `path`, from 1; of the nearest enclosing field where it is not written. */
  lineOf(path: Path): number;
}

/** Reads a YAML or JSON file that must hold one map. Fields left empty count as left out. */
export function readManifest(file: string, ledger: InputLedger | null): Manifest {
  const lines = new LineCounter();
  const text = readText(file, ledger);
  const document = parseDocument(text, {
    lineCounter: lines,
    prettyErrors: false,
    logLevel: 'error',
  });
  const fault = document.errors[0] ?? document.warnings[0];
  if (fault) {
    const { line } = lines.linePos(fault.pos[0]);
    if (fault.code !== 'DUPLICATE_KEY') throw manifestSyntax(file, line, fault.message);
    throw fieldTwice(file, line, /^[^:\s]*/.exec(text.slice(fault.pos[0]))![0].slice(0, 60));
  }
  let written: unknown;
  let contents: unknown;
  try {
    written = document.toJS();
    contents = withoutNulls(written);
  } catch (error) {
    // Aliases without anchor, or more of them than any honest file has.
    throw manifestSyntax(file, 1, (error as Error).message);
  }
  if (!isPlainMap(written) || !isPlainMap(contents)) throw manifestNotAMap(file);
  const root = document.contents;
  const comma = firstDecimalComma(root);
  if (comma) throw decimalComma(file, lines.linePos(comma.position).line, comma.field, comma.meant);
  return { file, contents, written, lineOf: (path) => lines.linePos(positionOf(root, path)).line };
}

/**
 * Within `{ … }` a comma parts fields: `{ mass_kg: 63,5 }` is mass_kg: 63 and a field "5" without a value, and that one would be
 * taken for a field left empty.
 */
function firstDecimalComma(
  root: ParsedNode | null,
): { readonly field: string; readonly meant: string; readonly position: number } | null {
  let found: ReturnType<typeof firstDecimalComma> = null;
  visit(root, {
    Map(_, { flow, items }) {
      if (!flow) return;
      for (const [i, pair] of items.entries()) {
        const before: Pair | undefined = items[i - 1];
        if (!before || !isScalar(pair.key) || !isScalar(before.key) || !isScalar(before.value)) continue;
        if (isScalar(pair.value) ? pair.value.value !== null : pair.value) continue;
        const [whole, decimals] = [String(before.value.source ?? ''), String(pair.key.source ?? pair.key.value)];
        if (!/^[+-]?\d+$/.test(whole) || !/^\d+(e[+-]?\d+)?$/i.test(decimals)) continue;
        found = {
          field: String(before.key.value),
          meant: `${whole}.${decimals}`,
          position: pair.key.range?.[0] ?? 0,
        };
        return visit.BREAK;
      }
    },
  });
  return found;
}

/** Checks a manifest and returns its typed contents; the first fault in the file is thrown as a DataError. */
export function checkManifest<T>(manifest: Manifest, schema: z.ZodType<T>, json: () => JsonSchema): T {
  const { file, contents, lineOf } = manifest;
  if (contents.kneeward !== undefined && contents.kneeward !== 1) {
    throw manifestVersion(file, lineOf(['kneeward']), shown(contents.kneeward));
  }
  // An empty field that this file does not have is misspelt, and not left out.
  const empty = hasNull(manifest.written) ? unknownEmptyField(manifest.written, json(), []) : null;
  if (empty) throw unknownField(manifest, empty.path, empty.known);
  const result = schema.safeParse(contents);
  if (result.success) return result.data;
  // A misspelt field is also a missing one: the misspelling is the news.
  const issues = [...result.error.issues].sort((a, b) => rank(a) - rank(b) || lineOf(pathOf(a)) - lineOf(pathOf(b)));
  throw faultOf(manifest, intoUnion(issues[0]), json());
}

/** Of a field that may be several things, the fault of the one the user meant: the one whose kind of value fits. */
function intoUnion(issue: z.core.$ZodIssue): z.core.$ZodIssue {
  if (issue.code !== 'invalid_union') return issue;
  const otherKind = (inner: z.core.$ZodIssue) =>
    inner.path.length === 0 && (inner.code === 'invalid_type' || inner.code === 'invalid_value');
  const meant = issue.errors.find((option) => option.length > 0 && !option.some(otherKind));
  return meant ? { ...meant[0], path: [...issue.path, ...meant[0].path] } : issue;
}

const rank = (issue: z.core.$ZodIssue): number => (issue.code === 'unrecognized_keys' ? 0 : 1);

const pathOf = (issue: z.core.$ZodIssue): (string | number)[] =>
  issue.code === 'unrecognized_keys' ? [...plain(issue.path), issue.keys[0]] : plain(issue.path);

const plain = (path: readonly PropertyKey[]): (string | number)[] =>
  path.map((step) => (typeof step === 'symbol' ? String(step) : step));

function faultOf(manifest: Manifest, issue: z.core.$ZodIssue, json: JsonSchema) {
  const { file } = manifest;
  const path = pathOf(issue);
  const field = fieldName(path);
  const line = manifest.lineOf(path);
  const value = valueAt(manifest.contents, path);
  const meaning = schemaAt(json, path);
  const description = String(meaning?.description ?? '');
  if (issue.code === 'unrecognized_keys') {
    const known = Object.keys((mapOption(schemaAt(json, plain(issue.path)))?.properties as object) ?? {});
    return unknownField(manifest, path, known);
  }
  if (value === undefined) return field === 'load' ? loadMissing(file) : fieldMissing(file, line, field, description);
  if (issue.code === 'too_small' || issue.code === 'too_big') {
    if (typeof value === 'number') {
      const [low, high] = limitsOf(meaning);
      return fieldOutOfRange(file, line, field, value, low, high, description);
    }
    return fieldWrongType(file, line, field, shown(value), description);
  }
  if (issue.code === 'invalid_value') {
    const allowed = issue.values.map(String);
    return fieldNotAChoice(file, line, field, shown(value), allowed, nearestName(String(value), allowed));
  }
  if (issue.code === 'invalid_format' || issue.code === 'invalid_key') {
    return fieldNotAName(
      file,
      line,
      field,
      shown(value),
      description || String(schemaAt(json, path.slice(0, -1))?.description),
    );
  }
  if (issue.code === 'invalid_type' && issue.expected === 'number' && /^[+-]?\d+,\d+$/.test(String(value))) {
    return decimalComma(file, line, field, String(value).replace(',', '.'));
  }
  if (issue.code === 'invalid_type' && issue.expected === 'array' && typeof value === 'string') {
    return fieldNotAList(file, line, field, shown(value), description);
  }
  return fieldWrongType(file, line, field, shown(value), description);
}

const unknownField = ({ file, lineOf }: Manifest, path: Path, known: readonly string[]) =>
  fieldUnknown(file, lineOf(path), fieldName(path), nearestName(String(path[path.length - 1]), known), known);

function limitsOf(meaning: JsonSchema | undefined): [number, number] {
  const options = [meaning, ...((meaning?.anyOf as JsonSchema[]) ?? [])];
  const limited = options.find((option) => option?.minimum !== undefined);
  return [Number(limited?.minimum), Number(limited?.maximum)];
}

/** `athlete.mass_kg`, `views[1].camera`. */
export function fieldName(path: Path): string {
  return path.reduce<string>((text, step) => {
    if (typeof step === 'number') return `${text}[${step}]`;
    return text === '' ? step : `${text}.${step}`;
  }, '');
}

/** The first field whose text fits. */
export function fieldNaming({ contents }: Manifest, fits: (value: string) => boolean): Path | null {
  const search = (value: unknown, path: Path): Path | null => {
    if (typeof value === 'string') return fits(value) ? path : null;
    if (typeof value !== 'object' || value === null) return null;
    for (const [key, member] of Object.entries(value)) {
      const found = search(member, [...path, Array.isArray(value) ? Number(key) : key]);
      if (found) return found;
    }
    return null;
  };
  return search(contents, []);
}

function valueAt(contents: unknown, path: Path): unknown {
  let value = contents;
  for (const step of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, step)) return undefined;
    value = (value as Record<string | number, unknown>)[step];
  }
  return value;
}

/** Of a union the part that is a map; anything else as it is. */
function mapOption(schema: JsonSchema | undefined): JsonSchema | undefined {
  return schema?.anyOf ? (schema.anyOf as JsonSchema[]).find((option) => option.properties !== undefined) : schema;
}

/** The part of a JSON schema that describes the field at `path`. */
function schemaAt(json: JsonSchema, path: Path): JsonSchema | undefined {
  let at: JsonSchema | undefined = json;
  for (const step of path) {
    const map = mapOption(at);
    if (typeof step === 'number') at = map?.items as JsonSchema | undefined;
    else if (map?.properties) at = (map.properties as Record<string, JsonSchema>)[step];
    else at = typeof map?.additionalProperties === 'object' ? (map.additionalProperties as JsonSchema) : undefined;
  }
  return at;
}

/** The first field without a value that no map at its place can have. */
function unknownEmptyField(
  value: unknown,
  schema: JsonSchema | undefined,
  path: Path,
): { readonly path: Path; readonly known: readonly string[] } | null {
  if (typeof value !== 'object' || value === null || !schema) return null;
  const maps = optionsOf(schema).filter(({ properties, additionalProperties }) => properties ?? additionalProperties);
  for (const [key, member] of Object.entries(value)) {
    if (Array.isArray(value)) {
      const found = unknownEmptyField(member, schemaAt(schema, [Number(key)]), [...path, Number(key)]);
      if (found) return found;
      continue;
    }
    const having = maps.find(({ properties }) => Object.hasOwn(properties ?? {}, key));
    const open = maps.find(({ additionalProperties }) => additionalProperties);
    if (member === null && maps.length > 0 && !having && !open) {
      return { path: [...path, key], known: maps.flatMap(({ properties }) => Object.keys(properties ?? {})) };
    }
    const place = having ?? open;
    const found = place ? unknownEmptyField(member, schemaAt(place, [key]), [...path, key]) : null;
    if (found) return found;
  }
  return null;
}

const optionsOf = (schema: JsonSchema): (JsonSchema & { readonly properties?: object })[] =>
  schema.anyOf ? (schema.anyOf as JsonSchema[]).flatMap(optionsOf) : [schema];

const hasNull = (value: unknown): boolean =>
  typeof value === 'object' &&
  value !== null &&
  Object.values(value).some((member) => member === null || hasNull(member));

function positionOf(root: ParsedNode | null, path: Path): number {
  let node: Node | null = root;
  let position = root?.range?.[0] ?? 0;
  for (const step of path) {
    let next: unknown;
    if (isMap(node)) {
      const pair = node.items.find((item) => isScalar(item.key) && String(item.key.value) === String(step));
      if (!pair) return position;
      position = (pair.key as ParsedNode).range?.[0] ?? position;
      next = pair.value;
    } else {
      next = (node as { get?: (key: unknown, keepScalar: boolean) => unknown } | null)?.get?.(step, true);
      position = (next as ParsedNode | undefined)?.range?.[0] ?? position;
    }
    node = (next as Node | null) ?? null;
  }
  return position;
}

/** Members written without a value are left out; elements of lists stay. */
function withoutNulls(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutNulls);
  if (!isPlainMap(value)) return value;
  const kept = Object.entries(value).filter(([, member]) => member !== null);
  return Object.fromEntries(kept.map(([key, member]) => [key, withoutNulls(member)]));
}

const isPlainMap = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function shown(value: unknown): string {
  if (typeof value === 'number') return String(value);
  const text = JSON.stringify(value) ?? String(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}
