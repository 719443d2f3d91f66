import type { Recording } from '../../capture/recording.ts';
import type { LiftRecord } from '../lift-record.ts';
import { chainsOf, type FindingChain } from './chains.ts';
import { type Finding, findingsOf, type SetMeanLike } from './findings.ts';
import type { FindingRule } from './rule.ts';

/** What was found in a lift, and what of it was seen together. */
export interface LiftFindings {
  readonly findings: readonly Finding[];
  readonly chains: readonly FindingChain[];
}

/** Findings of every repetition and of the set, and the chains of those shown for the set. */
export function findInLift(
  record: Pick<LiftRecord, 'repetitions' | 'measures'>,
  setMeans: readonly SetMeanLike[],
  recording: Pick<Recording, 'lift' | 'load'>,
  rules: readonly FindingRule[],
): LiftFindings {
  const findings = findingsOf(record, setMeans, recording, rules);
  return { findings, chains: chainsOf(findings) };
}
