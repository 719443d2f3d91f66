import type { SceneView } from './payload.ts';

/**
 * Every text that is made in the browser, with `{name}` where a value goes. The report writes them into the page (its
 * wording has one home), the scene only fills them in.
 */
export interface SceneWords {
  readonly play: string;
  readonly pause: string;
  readonly wholeSet: string;
  /** {number} */
  readonly repetition: string;
  readonly descent: string;
  readonly ascent: string;
  readonly standing: string;
  /** {place}, {phase}, {depth} */
  readonly whereInPhase: string;
  readonly whereStanding: string;
  readonly whereAtBottom: string;
  /** {time} and where; the slider's value. */
  readonly timeAndPlace: string;
  readonly timeOnly: string;
  /** Units with their value. */
  readonly seconds: string;
  readonly newtonMetres: string;
  readonly newtons: string;
  readonly degrees: string;
  readonly perCent: string;
  readonly alongFoot: string;
  readonly unknown: string;
  /** Labels in the picture. */
  readonly hip: string;
  readonly knee: string;
  readonly left: string;
  readonly right: string;
  /** {joint}, {value}; where there is little room the value stands alone. */
  readonly jointEffort: string;
  readonly floorForce: string;
  readonly measuredForce: string;
  readonly massOverFoot: string;
  /** Summary when it stops: {where}, {hip}, {knee}, {thigh}, {lean}, {foot} */
  readonly summary: string;
  /** {lifter}, {view}: what the picture shows. */
  readonly pictureDescription: string;
  readonly views: Readonly<Record<SceneView, string>>;
  /** Notes about what this browser cannot do. */
  readonly noSolidPicture: string;
  readonly noDecompression: string;
  readonly damagedData: string;
  readonly pictureFailed: string;
  /** {name} */
  readonly pictureSaved: string;
  /** In the saved picture: {lifter}; {view} */
  readonly pictureWho: string;
  readonly pictureView: string;
  readonly synthetic: string;
  readonly toolName: string;
}

/** A template with its values in place. */
export function fill(template: string, values: Readonly<Record<string, string | number>>): string {
  return template.replace(/\{(\w+)\}/g, (whole, name: string) => (name in values ? String(values[name]) : whole));
}

/** A number with a true minus sign and without a negative zero; the words' `unknown` for NaN. */
export function numeral(value: number, decimals: number, words: Pick<SceneWords, 'unknown'>): string {
  if (!Number.isFinite(value)) return words.unknown;
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? (0).toFixed(decimals) : text.replace('-', '−');
}

/** A number in its unit's words; only `unknown` where there is none. */
export function inUnit(value: number, decimals: number, unit: string, words: Pick<SceneWords, 'unknown'>): string {
  return Number.isFinite(value) ? fill(unit, { value: numeral(value, decimals, words) }) : words.unknown;
}
