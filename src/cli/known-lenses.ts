import { type KnownLensRecord, parseLenses } from '../cameras/lens-file.ts';
import { parseRig } from '../cameras/rig-file.ts';
import type { InputLedger } from '../capture/input-file.ts';
import { readJson } from '../capture/json-file.ts';

/** Lenses and the file they are from, for messages. */
export interface KnownLenses {
  readonly file: string;
  readonly lenses: readonly KnownLensRecord[];
}

/** A lens file, or the lenses of a rig file (which carries no covariance of them: they count as exact). */
export function readLenses(file: string, ledger: InputLedger | null): KnownLenses {
  const json = readJson(file, ledger);
  const isRig = typeof json === 'object' && json !== null && 'kind' in json && json.kind === 'camera rig';
  return { file, lenses: isRig ? lensesOfRig(json, file) : parseLenses(json, file) };
}

function lensesOfRig(json: unknown, file: string): KnownLensRecord[] {
  return parseRig(json, file).cameras.map((camera) => ({
    camera: {
      ...camera,
      rotation: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1),
      translation: new Float64Array(3),
    },
    mode: { from: 'corners', width: camera.imageWidth, height: camera.imageHeight },
    parameters: [],
    covariance: new Float64Array(0),
    rmsPx: 0,
    views: 1,
    coverage: 0,
    tiltRangeDeg: 0,
    notes: [],
  }));
}
