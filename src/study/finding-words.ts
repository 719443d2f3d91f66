import type { Finding } from '../lift/findings/findings.ts';
import type { FindingRule } from '../lift/findings/rule.ts';
import { type Estimated, PER_CENT, type Shown, shownAs, TIMES, valueText } from './shown.ts';

/** Dimensionless measures that are no share of a whole. */
const RATIOS: ReadonlySet<string> = new Set(['elbow_width', 'hand_spacing', 'hip_knee_ratio']);

/** How values of a measure are shown: shares as per cent, ratios as times, the rest in its unit. */
export function findingShown(measure: string, unit: string): Shown {
  if (unit !== '1') return shownAs(unit);
  return measure.includes('_per_') || RATIOS.has(measure) ? TIMES : PER_CENT;
}

/** The threshold in the unit that values are shown in, to as many digits as it has: '8°', '3 cm', '30 %'. */
export function thresholdText({ measure, threshold }: FindingRule, unit: string): string {
  const { factor, unit: shown } = findingShown(measure, unit);
  const value = Number((threshold * factor).toPrecision(6));
  const decimals = String(value).split('.')[1]?.length ?? 0;
  const alone = { value, lower: Number.NaN, upper: Number.NaN };
  return valueText(alone, { factor: 1, unit: shown, decimals });
}

/** The rule's sentence with value, threshold and side of this finding; '' where the value is unknown. */
export function findingSentence({ rule, side, unit, value, lower, upper }: Finding): string {
  if (Number.isNaN(value)) return '';
  const estimated: Estimated = { value, lower, upper };
  return rule.sentence
    .replaceAll('{value}', valueText(estimated, findingShown(rule.measure, unit)))
    .replaceAll('{threshold}', thresholdText(rule, unit))
    .replaceAll('{side}', side);
}
