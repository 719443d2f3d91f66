import type { BarPosition, Recording } from '../capture/recording.ts';
import { conditionWords } from '../study/summary.ts';

/** What two lifts of one lifter must have in common for their difference to be the lifter's. */
export interface Task {
  readonly loadKg: number;
  /** In words; '' where none is stated. */
  readonly condition: string;
  readonly barPosition: BarPosition;
  /** Heel of the shoe; null where not stated. */
  readonly heelHeightM: number | null;
}

export const taskOf = ({ load, condition, shoes }: Recording): Task => ({
  loadKg: load.totalKg,
  condition: conditionWords(condition),
  barPosition: load.bar.position,
  heelHeightM: shoes.heelHeightM,
});

/** Whether the day, or on one day the number of the set, says which of two recordings came first. */
export function orderIsStated(a: Recording, b: Recording): boolean {
  if (a.date === null || b.date === null) return false;
  if (a.date !== b.date) return true;
  return a.lift.set !== null && b.lift.set !== null && a.lift.set !== b.lift.set;
}
