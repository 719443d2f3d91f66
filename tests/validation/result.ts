/** One long statistical check: `npm run validate` runs every `tests/validation/*.validate.ts` and keeps what it returns. */
export interface Validation {
  /** File name of the result in docs/validation, without .json. */
  readonly name: string;
  readonly title: string;
  /** `scale` 1 = as documented; smaller = the short version of `npm test`. Fixed seeds: the same result each time. */
  run(scale: number, progress: (done: number, total: number) => void): Promise<ValidationResult>;
}

export interface ValidationResult {
  readonly seed: number;
  /** What was simulated, inside and outside the assumptions, in plain words. */
  readonly setting: string;
  readonly rows: readonly ValidationRow[];
}

export interface ValidationRow {
  readonly what: string;
  readonly runs: number;
  readonly value: number;
  readonly unit: string;
  /** Accepted range of the value; null where it is only reported. */
  readonly from: number | null;
  readonly to: number | null;
}

export const passes = ({ value, from, to }: ValidationRow): boolean =>
  (from === null || value >= from) && (to === null || value <= to);
