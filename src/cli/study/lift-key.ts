import { dirname } from 'node:path';
import type { Study } from '../../capture/recording.ts';
import { type Provenance, provenanceOf } from '../../study/provenance.ts';
import { toolVersion } from '../package-files.ts';
import { digestOf, fileDigest, inputFiles } from './input-files.ts';
import { type LiftOptions, uncertaintyOf } from './lift-options.ts';
import { nameInStudy, type PlannedLift } from './planned-lifts.ts';
import { toolDigest } from './tool-digest.ts';

/** Raised when what is kept of a lift changes its form. */
const FORMAT = 1;

/** All that the result of a recording depends on; equal ingredients give equal bytes. */
export interface Ingredients {
  readonly format: number;
  /** Tool version, settings, seed, and the digest of every input file. */
  readonly provenance: Provenance;
  readonly tool_sha256: string;
  readonly recording_file: string;
  readonly synthetic: boolean;
  readonly draws: number;
  readonly c3d: boolean;
}

/** Reads every input file for its digest. */
export function ingredientsOf({ file, recording }: PlannedLift, study: Study, options: LiftOptions): Ingredients {
  const rules = options.findings ?? recording.findings ?? study.findings ?? null;
  const intervals = uncertaintyOf(options, study.seed);
  return {
    format: FORMAT,
    provenance: provenanceOf({
      toolVersion: toolVersion(),
      recordingId: recording.id,
      settings: recording.settings,
      seed: options.seed ?? study.seed,
      intervals: intervals && { ...intervals, noise_draws: 0 },
      inputs: inputFiles(recording, rules).map((path) => ({ file: path, sha256: fileDigest(path) })),
      folder: dirname(study.file),
    }),
    tool_sha256: toolDigest(),
    recording_file: nameInStudy(study, file),
    synthetic: recording.synthetic,
    draws: intervals?.draws ?? 0,
    c3d: options.c3d === true,
  };
}

export const keyOf = (ingredients: Ingredients): string => digestOf(JSON.stringify(ingredients));

/** Key of a report: its own lift, and the previous one that it is held against. */
export const reportKey = (own: string, previous: { readonly id: string; readonly key: string } | null): string =>
  digestOf(JSON.stringify(['report', own, previous?.id ?? null, previous?.key ?? null]));
