import type { Side } from '../lift/lift-record.ts';

/** A quantity of frames.csv and curves.csv, said once for all its sides. */
export interface QuantityEntry {
  readonly quantity: string;
  readonly unit: string;
  /** Sides it can have as a column; null = the column name has no side. */
  readonly sides: readonly (Side | null)[];
  readonly definition: string;
}
