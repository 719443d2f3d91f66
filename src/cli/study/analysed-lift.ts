import { dirname } from 'node:path';
import { besideFile } from '../../capture/input-file.ts';
import type { Study } from '../../capture/recording.ts';
import type { AcceptanceLimit } from '../../lift/acceptance.ts';
import { type Provenance, provenanceOf } from '../../study/provenance.ts';
import { type SetMean, setMeansOf } from '../../study/set-means.ts';
import { type SummaryRow, summaryRow } from '../../study/summary.ts';
import { analyseRecording } from '../analyse-recording.ts';
import { toolVersion } from '../package-files.ts';
import type { Progress } from '../progress.ts';
import { type LiftTables, liftTables } from '../result-files.ts';
import { type UncertainAnalysis, withIntervals } from '../with-intervals.ts';
import { type LiftOptions, overridesOf, uncertaintyOf } from './lift-options.ts';

/** A recording analysed, with all that its files are made of. */
export interface AnalysedLift {
  readonly analysis: UncertainAnalysis;
  readonly tables: LiftTables;
  readonly provenance: Provenance;
  /** Set means with what they depend on; empty without intervals. */
  readonly means: readonly SetMean[];
  readonly row: SummaryRow;
}

/** One recording, alone or of a study. Throws a DataError where its files cannot be used. */
export async function analysedLift(
  file: string,
  study: Study | undefined,
  options: LiftOptions,
  limits: readonly AcceptanceLimit[],
  progress: Progress,
): Promise<AnalysedLift> {
  const analysed = analyseRecording(file, study, limits, overridesOf(options));
  const { recording } = analysed.data;
  const seed = study?.seed ?? recording.settings.seed;
  const analysis = await withIntervals(analysed, uncertaintyOf(options, seed), progress);
  const means = analysis.uncertainty ? setMeansOf(analysis.uncertainty) : [];
  return {
    analysis,
    tables: liftTables(analysis),
    provenance: provenance(analysis, options.seed ?? seed, dirname(study?.file ?? file)),
    means,
    row: summaryRow(analysis.record, analysis.graded.grade, recording, means),
  };
}

function provenance({ data, uncertainty }: UncertainAnalysis, seed: number, folder: string): Provenance {
  const { recording, inputs } = data;
  return provenanceOf({
    toolVersion: toolVersion(),
    recordingId: recording.id,
    settings: recording.settings,
    seed,
    intervals: uncertainty && {
      mode: uncertainty.options.mode,
      draws: uncertainty.options.mode === 'draws' ? uncertainty.options.draws : 0,
      noise_draws: uncertainty.noiseDraws,
    },
    // The reader names them from the recording's own folder; a study names all of its from one place.
    inputs: inputs.map(({ file, sha256 }) => ({ file: besideFile(recording.file, file), sha256 })),
    folder,
  });
}
