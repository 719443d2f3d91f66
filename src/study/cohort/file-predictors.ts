import type { RecordingCard } from '../../capture/recording.ts';
import { BODY_MASS_SD_KG, LOAD_SD_SHARE } from '../../uncertainty/priors.ts';

export type { RecordingCard } from '../../capture/recording.ts';

/** A predictor that the recording file states. */
export interface FilePredictor {
  /** '' for words. */
  readonly unit: string;
  readonly definition: string;
  /** null where the file does not state it. */
  of(card: RecordingCard): number | string | null;
  /** What one standard deviation of a stated value's error does to it, by the key of the cause; absent = taken as exact. */
  readonly errors?: (card: RecordingCard) => ReadonlyMap<string, number>;
}

/** 0.015 m is 15 mm, not 15.000000000000002: levels must be equal to be the same. */
const millimetres = (metres: number): number => Number((1000 * metres).toPrecision(12));

const massSd = ({ athlete }: RecordingCard) => athlete.massSdKg ?? BODY_MASS_SD_KG;
const loadSd = ({ load }: RecordingCard) => load.sdKg ?? LOAD_SD_SHARE * load.totalKg;
// The keys of src/uncertainty/causes/body-causes.ts: recordings that state the same mass share its error.
const massKey = ({ athlete }: RecordingCard) => `athlete/${athlete.id}/mass ${athlete.massKg}`;
const loadKey = ({ id }: RecordingCard) => `recording/${id}/load`;

/** All but the weeks, which need the athlete's other recordings, and the free factors. */
export const FILE_PREDICTORS: Readonly<Record<string, FilePredictor>> = {
  heel_height_mm: {
    unit: 'mm',
    definition: 'Heel of the shoe above its forefoot',
    of: ({ shoes }) => (shoes.heelHeightM === null ? null : millimetres(shoes.heelHeightM)),
  },
  load_kg: {
    unit: 'kg',
    definition: 'Bar, discs and collars together',
    of: ({ load }) => load.totalKg,
    errors: (card) => new Map([[loadKey(card), loadSd(card)]]),
  },
  load_per_body_mass: {
    unit: '1',
    definition: 'Load by body mass',
    of: ({ load, athlete }) => load.totalKg / athlete.massKg,
    errors: (card) => {
      const { load, athlete } = card;
      return new Map([
        [loadKey(card), loadSd(card) / athlete.massKg],
        [massKey(card), (-load.totalKg * massSd(card)) / athlete.massKg ** 2],
      ]);
    },
  },
  body_mass_kg: {
    unit: 'kg',
    definition: 'Body mass without the load',
    of: ({ athlete }) => athlete.massKg,
    errors: (card) => new Map([[massKey(card), massSd(card)]]),
  },
  stature_m: { unit: 'm', definition: 'Body height', of: ({ athlete }) => athlete.statureM },
  sex: {
    unit: '',
    definition: 'female or male; unknown counts as missing',
    of: ({ athlete }) => (athlete.sex === 'unknown' ? null : athlete.sex),
  },
  lift_kind: { unit: '', definition: 'The lift in the words of the file', of: ({ lift }) => lift.kind },
  bar_position: { unit: '', definition: 'Where the bar lies', of: ({ load }) => load.bar.position },
  set: { unit: '1', definition: 'Number of the set', of: ({ lift }) => lift.set },
  effort_rpe: { unit: '1', definition: 'Perceived effort, 0 to 10', of: ({ lift }) => lift.effortRpe },
};

/** Weeks since the first dated recording of the athlete in the study. */
export const WEEK = 'week';

/** `condition_heel`: the free factor `heel`. */
export const CONDITION = 'condition_';
