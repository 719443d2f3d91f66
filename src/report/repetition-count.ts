import type { LiftRecord } from '../lift/lift-record.ts';

export function fullCount({ repetitions }: LiftRecord): number {
  return repetitions.filter(({ completeness }) => completeness === 'full').length;
}
