import { jsonNotANumber, jsonSyntax, jsonTruncated } from '../messages/capture.ts';
import { type InputLedger, readText } from './input-file.ts';

/** Parsed JSON of a file (`.gz` too). Text that stops too early, NaN and Infinity, and other faults have messages of their own. */
export function readJson(path: string, ledger: InputLedger | null): unknown {
  const text = readText(path, ledger);
  try {
    return JSON.parse(text);
  } catch {
    throw faultOf(path, text);
  }
}

function faultOf(path: string, text: string) {
  const end = text.trimEnd().length;
  const at = firstJsonFault(text.slice(0, end));
  const line = lineAt(text, at);
  const word = /^(NaN|-?Infinity|-NaN)\b/.exec(text.slice(at, at + 20));
  if (word) return jsonNotANumber(path, line, word[0]);
  return at >= end ? jsonTruncated(path, lineAt(text, end), end) : jsonSyntax(path, line, nearby(text, at));
}

/** Punctuation, a closed string, or a run of anything else up to the next of these: judged afterwards by JSON.parse. */
const TOKEN = /[[\]{}:,]|"[^"\\]*(?:\\.[^"\\]*)*"|[^\s[\]{}:,"]+/sy;
const SPACE = /[ \t\r\n]*/y;

type Expected = 'value' | 'value or ]' | 'key' | 'key or }' | ':' | ', or end';

/**
 * Position of the first character at which `text` stops being JSON (RFC 8259); the text's length where it only ends too
 * early. The parser's own message is not used: its wording and whether it gives a place differ between versions.
 */
export function firstJsonFault(text: string): number {
  const open: ('[' | '{')[] = [];
  let expected: Expected = 'value';
  let at = 0;
  for (;;) {
    at = endOf(SPACE, text, at);
    if (at >= text.length) return text.length;
    const end = endOf(TOKEN, text, at);
    // Only a string that is never closed is no token at all.
    if (end === at) return text[at] === '"' ? text.length : at;
    const token = text.slice(at, end);
    if (!'[]{}:,'.includes(token) && !isJson(token)) return end === text.length && isBegun(token) ? end : at;
    const next = step(expected, token[0], open);
    if (next === null) return at;
    expected = next;
    at = end;
  }
}

/** The state after a token that begins with `first`; null where that token may not stand there. */
function step(expected: Expected, first: string, open: ('[' | '{')[]): Expected | null {
  const inside = open.at(-1);
  if (first === ']' || first === '}') {
    const empty = expected === (first === ']' ? 'value or ]' : 'key or }');
    if (!(empty || expected === ', or end') || inside !== (first === ']' ? '[' : '{')) return null;
    open.pop();
    return ', or end';
  }
  if (expected === ':') return first === ':' ? 'value' : null;
  if (expected === ', or end') {
    if (first !== ',' || inside === undefined) return null;
    return inside === '{' ? 'key' : 'value';
  }
  if (expected === 'key' || expected === 'key or }') return first === '"' ? ':' : null;
  if (first === ':' || first === ',') return null;
  if (first !== '[' && first !== '{') return ', or end';
  open.push(first);
  return first === '[' ? 'value or ]' : 'key or }';
}

function isJson(token: string): boolean {
  try {
    JSON.parse(token);
    return true;
  } catch {
    return false;
  }
}

/** Whether more letters could make a value of it: `-`, `1.`, `2e`, `tru`. */
const isBegun = (token: string): boolean =>
  ['true', 'false', 'null'].some((word) => word.startsWith(token)) || /^-?\d*\.?\d*([eE][+-]?)?$/.test(token);

function endOf(pattern: RegExp, text: string, at: number): number {
  pattern.lastIndex = at;
  return pattern.test(text) ? pattern.lastIndex : at;
}

const lineAt = (text: string, position: number): number => text.slice(0, position).split('\n').length;

/** Up to 20 characters from `at`, on one line. */
function nearby(text: string, at: number): string {
  return text
    .slice(at, at + 20)
    .split(/[\r\n]/)[0]
    .trim();
}
