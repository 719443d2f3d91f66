import { join } from 'node:path';

/** Folder of what is needed to go on: inside the study's folder, and inside that of each recording. */
export const STATE = '.study';

/** Where everything of a study lies; `out` is its folder. */
export const recordingsFolder = (out: string): string => join(out, 'recordings');
export const recordingFolder = (out: string, id: string): string => join(out, 'recordings', id);
export const stateFolder = (out: string): string => join(out, STATE);

/** In the folder of a study, of each recording, and of one that was analysed alone. */
export const PROVENANCE = 'provenance.json';

/** Names inside the folder of a recording. Written last of all, the completion record says that everything else is there. */
export const COMPLETION = `${STATE}/completion.json`;
/** Set means, measures, repetitions and curves: what comparisons and changes with the load are made of. */
export const KEPT = `${STATE}/kept.json.gz`;
/** What a later lift draws pale beside itself. */
export const SCENE = `${STATE}/scene.json.gz`;
/** Which previous lift the report holds. */
export const REPORT_STATE = `${STATE}/report.json`;
export const REPORT = 'report.html';

/** Name inside the study's folder: which recordings its tables were made of. */
export const TABLES_STATE = `${STATE}/tables.json`;
/** Likewise: what its comparison and its figures were made of. */
export const COHORT_STATE = `${STATE}/cohort.json`;
