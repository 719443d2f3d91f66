import { athleteIdsByCase, athleteTwoSexes, studyRemarkTexts } from '../messages/capture.ts';
import { byCodeUnit } from './file-pattern.ts';
import { readManifest } from './manifest.ts';
import { nearestName } from './nearest-name.ts';
import type { RecordingCard } from './recording.ts';

/** A recording file and what it states. */
export interface StatedCard {
  readonly file: string;
  readonly card: RecordingCard;
}

type Value = RecordingCard['condition'][string];

/**
 * Body masses of one lifter further apart than this share of the lighter are remarked upon (common practice, no source): a lifter
 * changes by a few per cent over the weeks of a study.
 */
const MASS_CHANGE = 0.1;

/**
 * Refuses what one lifter cannot be: of two ids that differ only in the case of letters each would be a lifter of its own, and a
 * lifter of two stated sexes would be analysed with two segment tables.
 */
export function checkAthletes(stated: readonly StatedCard[]): void {
  const byLetters = new Map<string, StatedCard>();
  const withSex = new Map<string, StatedCard>();
  for (const one of stated) {
    const { id, sex } = one.card.athlete;
    const other = byLetters.get(id.toLowerCase());
    if (other && other.card.athlete.id !== id) {
      throw athleteIdsByCase(one.file, lineOf(one, 'athlete', 'id'), id, other.file, other.card.athlete.id);
    }
    byLetters.set(id.toLowerCase(), one);
    if (sex === 'unknown') continue;
    const before = withSex.get(id);
    if (before && before.card.athlete.sex !== sex) {
      throw athleteTwoSexes(one.file, lineOf(one, 'athlete', 'sex'), id, sex, before.file, before.card.athlete.sex);
    }
    withSex.set(id, one);
  }
}

/**
 * What the recording files of a study state that is likely a slip of the pen: one line each, with file and line. Nothing of it is
 * refused: `hel` may be a factor, and a lifter may have grown.
 */
export function studyRemarks(stated: readonly StatedCard[]): string[] {
  return [...factorRemarks(stated), ...levelRemarks(stated), ...athleteRemarks(stated)];
}

/** Factors that one recording alone states, and whose name is near one that it does not. */
function factorRemarks(stated: readonly StatedCard[]): string[] {
  const having = grouped(stated, ({ card }) => Object.keys(card.condition));
  const told = new Set<string>();
  return [...having].flatMap(([name, own]) => {
    if (own.length > 1) return [];
    const others = [...having.keys()].filter((other) => other !== name && !having.get(other)!.includes(own[0]));
    const near = nearestName(name, others);
    // Of two that stand once each, either may be meant: one line for both.
    if (near === null || told.has(near)) return [];
    told.add(name);
    return [studyRemarkTexts.factorOnce(own[0].file, lineOf(own[0], 'condition', name), name, near)];
  });
}

function levelRemarks(stated: readonly StatedCard[]): string[] {
  const having = grouped(stated, ({ card }) => Object.keys(card.condition));
  return [...having].flatMap(([name, all]) => {
    const levelOf = ({ card }: StatedCard): Value => card.condition[name];
    const said = (one: StatedCard, text: (file: string, line: number, name: string, value: string) => string) =>
      text(one.file, lineOf(one, 'condition', name), name, String(levelOf(one)));
    const words = all.filter((one) => typeof levelOf(one) !== 'number');
    if (words.length === 1 && all.length > 2) return [said(words[0], studyRemarkTexts.wordAmongNumbers)];
    const spellings = grouped(words, (one) => [String(levelOf(one))]);
    const alike = grouped([...spellings.keys()], (value) => [value.toLowerCase().replace(/\s+/g, '')]);
    return [...alike.values()].flatMap((values) => {
      const [usual, ...rest] = values.sort(
        (a, b) => spellings.get(b)!.length - spellings.get(a)!.length || byCodeUnit(a, b),
      );
      return rest.map((value) => said(spellings.get(value)![0], (...at) => studyRemarkTexts.levelsAlike(...at, usual)));
    });
  });
}

/** Statures that differ, and masses that differ on one day or by more than a lifter changes. */
function athleteRemarks(stated: readonly StatedCard[]): string[] {
  return [...grouped(stated, ({ card }) => [card.athlete.id])].flatMap(([id, all]) => {
    const remark = (field: 'mass_kg' | 'stature_m', differ: (a: StatedCard, b: StatedCard) => boolean): string[] => {
      const value = ({ card: { athlete } }: StatedCard) => (field === 'mass_kg' ? athlete.massKg : athlete.statureM);
      for (const [i, one] of all.entries()) {
        const other = all.slice(0, i).find((before) => differ(one, before));
        if (!other) continue;
        const line = lineOf(one, 'athlete', field);
        return [studyRemarkTexts.athleteDiffers(one.file, line, id, field, value(one)!, value(other)!, other.file)];
      }
      return [];
    };
    return [
      ...remark('mass_kg', ({ card: a }, { card: b }) => {
        const [lighter, heavier] = [a.athlete.massKg, b.athlete.massKg].sort((x, y) => x - y);
        return heavier - lighter > MASS_CHANGE * lighter || (heavier > lighter && a.date !== null && a.date === b.date);
      }),
      ...remark('stature_m', ({ card: { athlete: a } }, { card: { athlete: b } }) => {
        return a.statureM !== null && b.statureM !== null && a.statureM !== b.statureM;
      }),
    ];
  });
}

function grouped<T>(all: readonly T[], keysOf: (one: T) => readonly string[]): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const one of all) {
    for (const key of keysOf(one)) {
      const group = groups.get(key);
      if (group) group.push(one);
      else groups.set(key, [one]);
    }
  }
  return groups;
}

/** The file is read once more: lines are asked for only where there is something to say. */
const lineOf = ({ file }: StatedCard, ...path: readonly string[]): number => readManifest(file, null).lineOf(path);
