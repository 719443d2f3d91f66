import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { byCodeUnit } from '../../capture/file-pattern.ts';

const PACKAGE = fileURLToPath(new URL('../../../', import.meta.url));

let found: string | null = null;

/**
 * Digest of the program itself: its code, its limits and the versions of the packages it states. A version number alone stays
 * the same while a program is being changed, and results of the old code would pass for results of the new.
 */
export function toolDigest(): string {
  found ??= digest();
  return found;
}

function digest(): string {
  const hash = createHash('sha256');
  const files = ['src', 'calibration'].flatMap((folder) =>
    readdirSync(join(PACKAGE, folder), { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.(ts|mjs|json)$/.test(name))
      .map((name) => join(folder, name)),
  );
  for (const name of [...files, 'package.json'].sort(byCodeUnit)) {
    const bytes = readFileSync(join(PACKAGE, name));
    hash.update(`${name.replaceAll('\\', '/')} ${bytes.length}\n`).update(bytes);
  }
  return hash.digest('hex');
}
