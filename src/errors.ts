/**
 * An input that cannot be used. The message names file, place, value and remedy; the command line prints it and exits 1.
 * Tests assert on `code` and `facts`, never on prose.
 */
export class DataError extends Error {
  readonly code: string;
  readonly facts: Readonly<Record<string, string | number>>;

  constructor(code: string, message: string, facts: Readonly<Record<string, string | number>> = {}) {
    super(message);
    this.name = 'DataError';
    this.code = code;
    this.facts = facts;
  }
}

/** A command called wrongly. The command line prints it with a hint at `--help` and exits 2. */
export class UsageError extends Error {
  readonly code: string;

  constructor(code: string, message: string) {
    super(message);
    this.name = 'UsageError';
    this.code = code;
  }
}
