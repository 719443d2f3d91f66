import type { ColumnTable } from 'arquero';
import type { RigQuality } from '../cameras/rig.ts';
import type { Recording } from '../capture/recording.ts';
import type { AcceptanceLimit } from '../lift/acceptance.ts';
import type { FindingChain } from '../lift/findings/chains.ts';
import type { Finding } from '../lift/findings/findings.ts';
import type { GradedQuality } from '../lift/grade.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import type { ResidualAnalysis } from '../mechanics/residual/residual-analysis.ts';
import type { Provenance } from '../study/provenance.ts';
import type { SetChange } from '../study/set-changes.ts';
import type { SetMean } from '../study/set-means.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';
import type { TableText } from './data-part.ts';
import type { LiftFigures } from './lift-figures.ts';
import type { OneThing } from './one-thing.ts';
import type { PreviousLift } from './previous-lift.ts';
import type { LiftStills } from './stills.ts';

/** Everything one lift's report is made of. */
export interface ReportInput {
  readonly record: LiftRecord;
  readonly recording: Recording;
  readonly graded: GradedQuality;
  readonly limits: readonly AcceptanceLimit[];
  /** null for 3D points. */
  readonly rig: RigQuality | null;
  readonly provenance: Provenance;
  /** Where the intervals come from; null where they were switched off. */
  readonly uncertainty: LiftUncertainty | null;
  readonly figures: LiftFigures;
  /** What every segment table gives: the columns of segment-tables.csv. */
  readonly segmentTables: ColumnTable;
  /** Movement against force plates; null without plates under both feet. */
  readonly residual: ResidualAnalysis | null;
  /** What was found in every repetition and in the set, and what of it was seen together. */
  readonly findings: readonly Finding[];
  readonly chains: readonly FindingChain[];
  /** Measures over the full repetitions of the set; empty without intervals. */
  readonly setChanges: readonly SetChange[];
  /** Tables to stand inside the page; empty for none. */
  readonly tables: readonly TableText[];
  /** The lifter's recording before this one; null where there is none. */
  readonly previous: PreviousLift | null;
  /** Pictures of the user's own video; null where none were asked for. */
  readonly stills: LiftStills | null;
  /** Code of the page; '' for a page without. */
  readonly script: string;
  /** Names of the files written beside the report, from its own folder: they become links. */
  readonly files: readonly string[];
  /** Where the index of the study is, from the report's own folder; null for a single recording. */
  readonly index: string | null;
}

/** The input with what several parts of the report read from it. */
export interface ReportContent extends ReportInput {
  /** Set means with their intervals; empty where intervals were switched off. */
  readonly means: readonly SetMean[];
  /** What the first screen asks the lifter to try; null where nothing stands out. */
  readonly oneThing: OneThing | null;
}
