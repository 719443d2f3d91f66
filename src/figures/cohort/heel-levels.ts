import { known } from './publication.ts';

/** As many heights as marks can be told apart. */
const MOST = 4;

/** Heights in few classes, mm: as they are where there are few, else in steps of 10 mm. */
export interface HeelLevels {
  /** In rising order, without a unit: '15', '10–<20', '≥30'. */
  readonly names: readonly string[];
  /** null where the height is unknown. */
  nameOf(heelMm: unknown): string | null;
}

export function heelLevels(heels: readonly unknown[], most = MOST): HeelLevels {
  const distinct = [...new Set(heels.filter(known))].sort((a, b) => a - b);
  if (distinct.length <= most) return { names: distinct.map(mm), nameOf: (heel) => (known(heel) ? mm(heel) : null) };
  const last = Math.min(most - 1, Math.floor(distinct[distinct.length - 1] / 10));
  const name = (step: number) => (step === last ? `≥${10 * step}` : `${10 * step}–<${10 * step + 10}`);
  const stepOf = (heel: number) => Math.max(0, Math.min(last, Math.floor(heel / 10)));
  const steps = [...new Set(distinct.map(stepOf))].sort((a, b) => a - b);
  return { names: steps.map(name), nameOf: (heel) => (known(heel) ? name(stepOf(heel)) : null) };
}

const mm = (heel: number): string => String(Number(heel.toFixed(1)));
