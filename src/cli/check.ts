import { gradeRig } from '../cameras/acceptance.ts';
import type { CameraRig } from '../cameras/rig.ts';
import { parseRig } from '../cameras/rig-file.ts';
import { type Abilities, abilities } from '../capture/abilities.ts';
import { readJson } from '../capture/json-file.ts';
import { loadStudy, manifestKind } from '../capture/load-study.ts';
import type { RecordingData, Study } from '../capture/recording.ts';
import { DataError } from '../errors.ts';
import type { AcceptanceLimit, QualityName } from '../lift/acceptance.ts';
import { unknownKindOfFile, usedPoorly, viewsExchanged } from '../messages.ts';
import { reconstruct } from '../reconstruction/reconstruct.ts';
import { placementAdvice } from '../uncertainty/placement-advice.ts';
import { readRecording } from './analyse-recording.ts';
import { gradeInWords } from './grade-in-words.ts';
import { gradeLimits, rigGradeLimits } from './package-files.ts';

/** What `kneeward check` found. `faults` are the messages of recordings that cannot be used. */
export interface CheckResult {
  readonly text: string;
  readonly faults: readonly string[];
}

/**
 * Validates a recording, a study or a rig file. Of a recording it says first what can and cannot be computed from it, then
 * places its points in 3D, so that a wrong rig, a wrong unit or a mirrored view shows here. Throws what the file itself throws.
 */
export function check(file: string): CheckResult {
  if (/\.json(\.gz)?$/i.test(file) && isRig(readJson(file, null))) return { text: rigText(file), faults: [] };
  const kind = manifestKind(file);
  if (kind === 'recording') return { text: recordingText(file), faults: [] };
  if (kind === 'study') return checkStudy(file);
  if (kind === 'rig') return { text: rigText(file), faults: [] };
  throw unknownKindOfFile(file);
}

function isRig(json: unknown): boolean {
  return typeof json === 'object' && json !== null && 'kind' in json && json.kind === 'camera rig';
}

function checkStudy(file: string): CheckResult {
  const study = loadStudy(file);
  const remarks = (study.remarks ?? []).map((remark) => `\nNote: ${remark}`).join('');
  const texts: string[] = [`${file}: study "${study.title}", ${study.recordings.length} recordings.${remarks}`];
  const faults: string[] = [];
  for (const recording of study.recordings) {
    try {
      texts.push(recordingText(recording, study));
    } catch (error) {
      if (!(error instanceof DataError)) throw error;
      faults.push(error.message);
    }
  }
  return { text: texts.join('\n\n'), faults };
}

function recordingText(file: string, study?: Study): string {
  const { data, rig } = readRecording(file, study);
  const able = abilities(data);
  const lines = [...abilityLines(file, able), ...(data.notes ?? []).map((note) => `Note: ${note}`)];
  if (data.points !== null || (data.tracks?.length ?? 0) > 1) {
    const reconstruction = reconstruct(data, rig);
    const { quality } = reconstruction.smoothed;
    if (quality.reprojectionRmsPx !== null) {
      lines.push(
        `Points back in the pictures: ${quality.reprojectionRmsPx.toFixed(2)} px rms from where they were seen.`,
      );
    }
    lines.push(
      `Hips, knees, ankles, shoulders: ${(100 * quality.missingShare).toFixed(1)} % of their samples are missing after short gaps are filled.`,
    );
    lines.push(...quality.notes.map((note) => `Note: ${note}`));
    const limits = gradeLimits();
    const poor = [
      ...beyond(limits, 'reprojection_rms', quality.reprojectionRmsPx),
      ...beyond(limits, 'missing_share', quality.missingShare),
    ];
    if (poor.length > 0) {
      const exchanged = exchangedCameras(data, rig, limits, quality.reprojectionRmsPx);
      return [...lines, usedPoorly(poor), ...(exchanged === null ? [] : [exchanged])].join('\n');
    }
    // Of a study only whether its files can be used: where to move a phone is asked of one warm-up repetition.
    if (study === undefined) lines.push(...(placementAdvice(data, rig, reconstruction)?.lines ?? []));
  }
  return [...lines, 'The file can be used.'].join('\n');
}

/** Names two cameras whose views fit the rig once they are exchanged, or null. */
function exchangedCameras(
  data: RecordingData,
  rig: CameraRig | null,
  limits: readonly AcceptanceLimit[],
  asNamedPx: number | null,
): string | null {
  const tracks = data.tracks ?? [];
  if (asNamedPx === null || beyond(limits, 'reprojection_rms', asNamedPx).length === 0) return null;
  for (let a = 0; a < tracks.length; a++) {
    for (let b = a + 1; b < tracks.length; b++) {
      const other = tracks.map((track, k) => ({ ...track, camera: tracks[k === a ? b : k === b ? a : k].camera }));
      const rmsPx = reprojectionOf({ ...data, tracks: other }, rig);
      if (rmsPx < asNamedPx / 2 && beyond(limits, 'reprojection_rms', rmsPx).length === 0) {
        return viewsExchanged(tracks[a].camera, tracks[b].camera, asNamedPx, rmsPx);
      }
    }
  }
  return null;
}

/** Infinity where the exchange cannot be reconstructed. */
function reprojectionOf(data: RecordingData, rig: CameraRig | null): number {
  try {
    return reconstruct(data, rig).smoothed.quality.reprojectionRmsPx ?? Number.POSITIVE_INFINITY;
  } catch (error) {
    if (error instanceof DataError) return Number.POSITIVE_INFINITY;
    throw error;
  }
}

/** What a value means where it lies beyond the usable limit of calibration/acceptance.json. */
function beyond(limits: readonly AcceptanceLimit[], name: QualityName, value: number | null): string[] {
  const limit = limits.find((one) => one.name === name);
  if (!limit || value === null || value <= limit.usable) return [];
  return [
    `${limit.means}: ${value.toPrecision(3)}, more than ${limit.usable}${limit.unit === '1' ? '' : ` ${limit.unit}`}`,
  ];
}

function abilityLines(file: string, { can, cannot }: Abilities): string[] {
  return [
    `${file}`,
    'Can be computed:',
    ...can.map((what) => `  + ${what}`),
    ...(cannot.length > 0 ? ['Cannot be computed:', ...cannot.map(({ what, why }) => `  - ${what}: ${why}`)] : []),
  ];
}

function rigText(file: string): string {
  const rig = parseRig(readJson(file, null), file);
  const { cameras, quality } = rig;
  const rms = quality.reprojectionRmsPx === null ? 'not stated' : `${quality.reprojectionRmsPx.toFixed(3)} px rms`;
  return [
    `${file}: rig of ${cameras.length} cameras (${cameras.map(({ name }) => name).join(', ')}), ${quality.method === 'stated' ? 'as stated in the file' : `made by ${quality.method}`}.`,
    `Reprojection: ${rms}${quality.pointsUsed === null ? '' : ` over ${quality.pointsUsed} points`}.`,
    ...quality.notes.map((note) => `Note: ${note}`),
    ...(quality.measured === undefined ? [] : [gradeInWords(gradeRig(rig, rigGradeLimits()))]),
    'The file can be used.',
  ].join('\n');
}
