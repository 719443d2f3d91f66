import { levelName } from './curve-rows.ts';
import { stepOf, termName } from './names.ts';
import { said } from './publication.ts';
import type { EffectRow } from './table-rows.ts';

/** How an effect is called in a figure and a table. */
export interface EffectName {
  /** Whole: 'shoe, raised against flat', 'heel height, per 10 mm'. */
  readonly name: string;
  /** Without the level it is compared with: 'shoe: raised'; the same as `name` where there is none. */
  readonly short: string;
  /** What `short` leaves out: 'shoe: against flat'; '' where nothing. */
  readonly against: string;
}

type Named = Pick<EffectRow, 'athlete_id' | 'term' | 'level' | 'reference' | 'per'>;

export function effectName(row: Named): EffectName {
  const [athlete, term] = [said(row.athlete_id), said(row.term)];
  const step = stepOf(term, said(row.per));
  const whose = athlete === '' ? '' : `${athlete}: `;
  const per = step ? `, per ${step.words}` : '';
  const [level, reference] = [row.level, row.reference].map((one) => (said(one) === '' ? '' : levelName(term, one)));
  if (level !== '' && term.includes(':')) {
    const name = `${whose}${termName(term)}: ${interactionWords(term, said(row.level), said(row.reference), step?.words ?? null)}`;
    return { name, short: name, against: '' };
  }
  if (level === '') {
    const name = `${whose}${termName(term)}${per}`;
    return { name, short: name, against: '' };
  }
  return {
    name: `${whose}${termName(term)}, ${level} against ${reference}${per}`,
    short: `${whose}${termName(term)}: ${level}${per}`,
    against: `${termName(term)}: against ${reference}`,
  };
}

/**
 * An interaction is a difference of differences; levels joined by a colon would read as the contrast of two cells. Tables join the
 * levels of several factors by a colon.
 */
function interactionWords(term: string, level: string, reference: string, step: string | null): string {
  const [levels, references] = [level, reference].map((one) => one.split(':').map((part) => part.replaceAll('_', ' ')));
  const of = term.split(':').length;
  if (of === 2 && step !== null && levels.length === 1)
    return `how much more a step of ${step} does in “${levels[0]}” than in “${references[0]}”`;
  if (of === 2 && step === null && levels.length === 2 && references.length === 2)
    return `how much more “${levels[0]}” does in “${levels[1]}” than in “${references[1]}”`;
  const parts = [...levels.map((one) => `“${one}”`), ...(step === null ? [] : [`a step of ${step}`])];
  return `what ${parts.join(', ')} do together, beyond what fewer of them do`;
}
