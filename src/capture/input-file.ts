import { isAscii, isUtf8 } from 'node:buffer';
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname, isAbsolute, join, relative, resolve, sep } from 'node:path';
import { gunzipSync } from 'node:zlib';
import {
  fileEmpty,
  fileIsFolder,
  fileMissing,
  fileNotGzip,
  fileNotText,
  fileTooLarge,
  fileUnreadable,
  gzipDamaged,
  gzipTruncated,
} from '../messages/capture.ts';
import { nearestName } from './nearest-name.ts';
import type { InputDigest } from './recording.ts';

/** Largest file read, after unpacking: what one JavaScript string can hold with room to spare. */
export const LARGEST_INPUT_BYTES = 400 * 1024 * 1024;

/**
 * Collects the SHA-256 of every file read for one recording, in the order of reading; a file read twice counts once. Files
 * are named from the recording's folder; one that shares no folder with it by its own name, so that no result holds an
 * absolute path.
 */
export class InputLedger {
  readonly #folder: string;
  readonly #digests = new Map<string, InputDigest>();

  constructor(folder: string) {
    this.#folder = resolve(folder);
  }

  add(path: string, bytes: Uint8Array): void {
    const sha256 = createHash('sha256').update(bytes).digest('hex');
    this.#digests.set(resolve(path), { file: this.#nameOf(path), sha256 });
  }

  /** Digest of a file that was read; '' for one that was not. */
  sha256(path: string): string {
    return this.#digests.get(resolve(path))?.sha256 ?? '';
  }

  list(): readonly InputDigest[] {
    return [...this.#digests.values()];
  }

  #nameOf(path: string): string {
    const steps = relative(this.#folder, resolve(path)).split(sep);
    const climbs = steps.filter((step) => step === '..').length;
    const depth = this.#folder.split(sep).filter((step) => step !== '').length;
    // On another drive `relative` gives back the absolute path.
    const apart = (climbs > 0 && climbs >= depth) || isAbsolute(steps.join(sep));
    return apart ? basename(path) : steps.join('/');
  }
}

/** `path` as written in `file`, seen from the folder the command runs in; absolute paths stay. */
export function besideFile(file: string, path: string): string {
  return isAbsolute(path) ? path : join(dirname(file), path);
}

/**
 * The text of a file, `.gz` unpacked (by its first two bytes, not by its name), byte order mark removed. The digest is
 * of the bytes on disk. Throws a DataError where the file is missing, empty, damaged, or not UTF-8.
 */
export function readText(path: string, ledger: InputLedger | null): string {
  const plain = readUnpacked(path, ledger);
  if (!isUtf8(plain)) throw fileNotText(path);
  const text = textOf(plain);
  if (text.includes('\u0000')) throw fileNotText(path);
  if (text.trim() === '') throw fileEmpty(path);
  return text;
}

/** The bytes of a file, `.gz` unpacked (by its first two bytes, not by its name). The digest is of the bytes on disk. */
export function readUnpacked(path: string, ledger: InputLedger | null): Uint8Array {
  const bytes = readBytes(path);
  ledger?.add(path, bytes);
  const plain = isGzip(bytes) ? unpack(path, bytes) : bytes;
  if (path.toLowerCase().endsWith('.gz') && plain === bytes) throw fileNotGzip(path);
  if (plain.length > LARGEST_INPUT_BYTES) throw fileTooLarge(path, LARGEST_INPUT_BYTES / 2 ** 20);
  return plain;
}

/** UTF-8 as a string, without its byte order mark; plain ASCII, which most files are, is copied and not decoded. */
function textOf(bytes: Uint8Array): string {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length);
  if (isAscii(bytes)) return buffer.toString('ascii');
  const text = buffer.toString('utf8');
  return text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
}

/** The contents of a missing or unreadable file are a DataError with the nearest name in its folder. */
export function readBytes(path: string): Uint8Array {
  if (!existsSync(path)) throw fileMissing(path, nearestInFolder(path));
  const status = statSync(path);
  if (status.isDirectory()) throw fileIsFolder(path);
  if (status.size > LARGEST_INPUT_BYTES) throw fileTooLarge(path, LARGEST_INPUT_BYTES / 2 ** 20);
  try {
    return readFileSync(path);
  } catch (error) {
    throw fileUnreadable(path, (error as NodeJS.ErrnoException).code ?? 'unknown reason');
  }
}

function nearestInFolder(path: string): string | null {
  const folder = dirname(path);
  if (!existsSync(folder) || !statSync(folder).isDirectory()) return null;
  const names = readdirSync(folder);
  if (names.includes(`${basename(path)}.gz`)) return `${basename(path)}.gz`;
  return nearestName(basename(path), names);
}

const isGzip = (bytes: Uint8Array): boolean => bytes.length >= 2 && bytes[0] === 0x1f && bytes[1] === 0x8b;

function unpack(path: string, bytes: Uint8Array): Uint8Array {
  try {
    return gunzipSync(bytes, { maxOutputLength: LARGEST_INPUT_BYTES });
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ERR_BUFFER_TOO_LARGE') throw fileTooLarge(path, LARGEST_INPUT_BYTES / 2 ** 20);
    // zlib reports Z_BUF_ERROR when the stream stops before its end mark.
    throw code === 'Z_BUF_ERROR' ? gzipTruncated(path, bytes.length) : gzipDamaged(path, code ?? 'unknown reason');
  }
}
