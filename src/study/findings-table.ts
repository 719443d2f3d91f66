import type { ColumnTable } from 'arquero';
import type { FindingChain } from '../lift/findings/chains.ts';
import type { Finding } from '../lift/findings/findings.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { tableOf } from './csv.ts';
import { findingSentence } from './finding-words.ts';

export const FINDING_COLUMNS = [
  'recording_id',
  'athlete_id',
  'repetition',
  'finding',
  'title',
  'measure',
  'side',
  'at',
  'value',
  'lower',
  'upper',
  'unit',
  'comparison',
  'threshold',
  'basis',
  'threshold_source',
  'probability',
  'word',
  'reason',
  'priority',
  'frame_first',
  'frame_last',
  'sentence',
  'cue',
  'caution',
] as const;

/** `findings.csv`: one row a rule, side and repetition (0 = mean of the set). */
export function findingsTable(
  { recordingId, athleteId }: Pick<LiftRecord, 'recordingId' | 'athleteId'>,
  findings: readonly Finding[],
): ColumnTable {
  return tableOf(
    FINDING_COLUMNS,
    findings.map((finding) => {
      const { rule, frameFirst, frameLast, ...row } = finding;
      return {
        ...row,
        recording_id: recordingId,
        athlete_id: athleteId,
        finding: rule.name,
        title: rule.title,
        measure: rule.measure,
        at: rule.at,
        comparison: rule.comparison,
        threshold: rule.threshold,
        basis: rule.basis.kind,
        threshold_source: rule.basis.text || rule.basis.kind,
        priority: rule.priority,
        frame_first: frameFirst < 0 ? null : frameFirst,
        frame_last: frameLast < 0 ? null : frameLast,
        sentence: findingSentence(finding),
        cue: rule.cue,
        caution: rule.caution,
      };
    }),
  );
}

/** Chains for `lift.json`: names of the rules in the order of the lift, and the sentence that joins them. */
export const chainRows = (chains: readonly FindingChain[]) =>
  chains.map(({ name, links, sentence }) => ({ chain: name, findings: links.map(({ rule }) => rule.name), sentence }));
