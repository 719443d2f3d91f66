import type { ScenePayload } from './payload.ts';
import { type Place, placeInto } from './phases.ts';
import { fill, inUnit, numeral, type SceneWords } from './words.ts';

const place: Place = { repetition: -1, phase: 'standing', downPct: Number.NaN };

/** Time of a frame, seconds from the start of the recording. */
export const secondsOf = (payload: ScenePayload, frame: number): number => frame / payload.frameRateHz;

/** 'repetition 1, way down, 40 % down'; '' where no repetition was found. */
export function whereWords(payload: ScenePayload, frame: number, words: SceneWords): string {
  placeInto(place, payload, frame);
  if (place.repetition < 0) return '';
  const { number, bottom } = payload.repetitions[place.repetition];
  const repetition = fill(words.repetition, { number });
  if (frame === bottom) return fill(words.whereAtBottom, { place: repetition });
  if (place.phase === 'standing') return fill(words.whereStanding, { place: repetition, phase: words.standing });
  const depth = inUnit(Math.round(place.downPct), 0, words.perCent, words);
  return fill(words.whereInPhase, { place: repetition, phase: words[place.phase], depth });
}

/** '2.35 s, repetition 1, way down, 40 % down': the slider's value. */
export function timeAndPlace(payload: ScenePayload, frame: number, words: SceneWords): string {
  const time = fill(words.seconds, { value: numeral(secondsOf(payload, frame), 2, words) });
  const where = whereWords(payload, frame, words);
  return where === '' ? fill(words.timeOnly, { time }) : fill(words.timeAndPlace, { time, where });
}

/** One sentence with the values at a frame, for those who hear the page. */
export function summaryWords(payload: ScenePayload, frame: number, words: SceneWords): string {
  const value = (name: keyof ScenePayload['series'], decimals: number, unit: string, factor = 1) =>
    inUnit(factor * (payload.series[name]?.[frame] ?? Number.NaN), decimals, unit, words);
  return fill(words.summary, {
    where: timeAndPlace(payload, frame, words),
    hip: value('hip_moment', 0, words.newtonMetres),
    knee: value('knee_moment', 0, words.newtonMetres),
    thigh: value('thigh_elevation', 0, words.degrees),
    lean: value('trunk_lean', 0, words.degrees),
    foot: value('com_along_foot', 0, words.alongFoot, 100),
  });
}
