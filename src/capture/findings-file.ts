import { type FindingsContents, findingsJsonSchema, findingsSchema } from './findings-schema.ts';
import type { InputLedger } from './input-file.ts';
import { checkManifest, readManifest } from './manifest.ts';

/** A rule as the user wrote it; what is left out is as in the built-in rule of that name. */
export type WrittenRule = NonNullable<FindingsContents['rules']>[string];

/** A user's own rules for findings, checked for form. */
export interface FindingsFile {
  /** Path as the user gave it: every message starts with it. */
  readonly file: string;
  readonly id: string;
  /** In the order of the file. */
  readonly rules: ReadonlyMap<string, WrittenRule>;
  readonly switchedOff: readonly string[];
  /** Line of a rule, or of one of its fields. */
  lineOf(rule: string, field?: string): number;
  /** Line of the n-th name under switch_off. */
  lineOfSwitch(index: number): number;
}

/** Reads the file of a user's own findings. Throws a DataError at the first fault of form: those of every manifest. */
export function readFindingsFile(file: string, ledger: InputLedger | null): FindingsFile {
  const manifest = readManifest(file, ledger);
  const contents = checkManifest(manifest, findingsSchema, findingsJsonSchema);
  return {
    file,
    id: contents.findings,
    rules: new Map(Object.entries(contents.rules ?? {})),
    switchedOff: contents.switch_off ?? [],
    lineOf: (rule, field) => manifest.lineOf(field === undefined ? ['rules', rule] : ['rules', rule, field]),
    lineOfSwitch: (index) => manifest.lineOf(['switch_off', index]),
  };
}
