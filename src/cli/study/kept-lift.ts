import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import type { LiftRecord } from '../../lift/lift-record.ts';
import { keptDamaged } from '../../messages/study-run.ts';
import type { KeptCurve } from '../../study/cohort/kept-curves.ts';
import type { SetMean } from '../../study/set-means.ts';
import type { ScenePayload } from '../../web/scene/payload.ts';
import { exactText, exactValue } from './exact-json.ts';
import { KEPT, recordingFolder, SCENE } from './places.ts';

/** What comparisons and changes with the load need of a lift once its own files are written. */
export interface KeptLift {
  /** Set means with what they depend on; empty without intervals. */
  readonly means: readonly SetMean[];
  readonly record: Pick<LiftRecord, 'measures' | 'repetitions'>;
  /** What a comparison across depth over the whole study needs. */
  readonly curves: readonly KeptCurve[];
}

/** Fastest: most of the text is digits, and a better level gains little. */
const LEVEL = 1;

export const packed = (value: KeptLift | ScenePayload): Uint8Array => gzipSync(exactText(value), { level: LEVEL });

/** Throws a DataError where it is not as it was written. */
export const readKept = (out: string, id: string): KeptLift => unpacked(out, id, KEPT) as KeptLift;

export const readScene = (out: string, id: string): ScenePayload => unpacked(out, id, SCENE) as ScenePayload;

function unpacked(out: string, id: string, name: string): unknown {
  let bytes: Buffer;
  try {
    // The gzip format ends with a checksum (RFC 1952, 2.3.1): damage is found here.
    bytes = gunzipSync(readFileSync(join(recordingFolder(out, id), name)));
  } catch {
    throw keptDamaged(id, name);
  }
  return exactValue(bytes.toString('utf8'));
}
