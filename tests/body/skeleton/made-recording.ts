import { DEFAULT_SETTINGS, type Recording } from '../../../src/capture/recording.ts';

/** A recording whose points come as 3D or from views; only what the fit reads differs between tests. */
export function recordingWith(change: Partial<Recording> = {}): Recording {
  return {
    file: 'recording.yaml',
    id: 'made',
    date: null,
    athlete: { id: 'A01', sex: 'female', massKg: 63, statureM: 1.68 },
    lift: {
      kind: 'front squat',
      set: null,
      plannedRepetitions: null,
      outcome: null,
      grip: null,
      effortRpe: null,
    },
    load: { totalKg: 60, bar: { position: 'front rack', lengthM: 2.01, massKg: 15 } },
    shoes: { heelHeightM: null },
    condition: {},
    source: { kind: 'views', rig: 'rig.json', views: [] },
    forcePlates: [],
    segments: 'de-leva-1996',
    settings: DEFAULT_SETTINGS,
    synthetic: true,
    ...change,
  };
}
