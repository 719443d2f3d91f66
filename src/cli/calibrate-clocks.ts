import { type Command, Option } from 'commander';
import { type CameraMotion, cameraMotion } from '../cameras/camera-motion.ts';
import { applyClocks } from '../cameras/clocks/apply-clocks.ts';
import { type ClockEvidence, clockEvidence } from '../cameras/clocks/clock-evidence.ts';
import { type CameraClock, type ClockEstimate, estimateClocks } from '../cameras/clocks/estimate-clocks.ts';
import { renderSvg } from '../figures/render-svg.ts';
import { residualAgainstSpeed } from '../figures/residual-against-speed.ts';
import { clockNeedsTwoViews, clockNotes } from '../messages/clocks.ts';
import { readRecording } from './analyse-recording.ts';
import { alignedTable } from './calibrate-summary.ts';
import { placeOption } from './place-option.ts';
import { writeFile } from './write-files.ts';

export interface ClocksOptions {
  readonly recording: string;
  readonly drift: 'auto' | 'none';
  readonly readout: 'stated' | 'estimate';
  /** Where the search starts: at the match of the movements, or at the offset_s of the file. */
  readonly from: 'movement' | 'stated';
}

export interface FoundClocks {
  readonly estimate: ClockEstimate;
  readonly motion: readonly CameraMotion[];
  /** With the found clocks. */
  readonly evidence: ClockEvidence;
  /** For people: table, and lines for recording.yaml. */
  readonly text: string;
  readonly notes: readonly string[];
  /** For programs. */
  readonly json: string;
}

/** Hooks `calibrate clocks` onto the command line. */
export function registerCalibrateClocks(calibrate: Command): void {
  calibrate
    .command('clocks')
    .description('When each camera started against the first, from the lifter’s movement; needs the rig.')
    .argument('<recording>', 'recording.yaml with views and a rig')
    .addOption(
      new Option('--drift <how>', 'auto = kept where it is beyond chance; none = taken as 0')
        .choices(['auto', 'none'])
        .default('auto'),
    )
    .addOption(
      new Option('--readout <how>', 'rolling shutter: stated = as in the file; estimate = found where not stated')
        .choices(['stated', 'estimate'])
        .default('stated'),
    )
    .addOption(
      new Option(
        '--from <start>',
        'where the search starts: movement = match of the two movements; stated = offset_s of the file',
      )
        .choices(['movement', 'stated'])
        .default('movement'),
    )
    .addOption(new Option('--out <file>', 'also write the clocks as JSON').argParser(placeOption))
    .addOption(new Option('--figure <file>', 'also draw residual against image speed (SVG)').argParser(placeOption))
    .addHelpText(
      'after',
      '\nExample:\n  kneeward calibrate clocks recording.yaml --out clocks.json --figure residual-against-speed.svg' +
        '\n\nPut the printed offset_s (and frame_rate_hz or readout_s, where printed) under each view of recording.yaml.',
    )
    .action(async (recording: string, given) => {
      const found = calibrateClocks({ recording, ...given });
      process.stdout.write(found.text);
      for (const note of found.notes) process.stderr.write(`${note}\n`);
      if (given.out) {
        writeFile(given.out, found.json);
        process.stderr.write(`Written: ${given.out}\n`);
      }
      const figure = given.figure ? residualAgainstSpeed(found.evidence) : null;
      if (figure) {
        writeFile(given.figure, await renderSvg(figure));
        process.stderr.write(`Written: ${given.figure}\n`);
      }
    });
}

/** Clocks of a recording's views from its own keypoints. Throws what the file throws, and clock-not-determined. */
export function calibrateClocks({ recording: file, drift, readout, from }: ClocksOptions): FoundClocks {
  const { data, rig } = readRecording(file);
  const { source } = data.recording;
  const tracks = data.tracks ?? [];
  if (tracks.length < 2 || rig === null || source.kind !== 'views') throw clockNeedsTwoViews(file, tracks.length);
  const unstated = source.views.filter(({ readoutS }) => readoutS === null).map(({ camera }) => camera);
  const estimate = estimateClocks(tracks, rig, {
    drift,
    ...(from === 'stated' ? { startS: tracks.map(({ offsetS }) => offsetS) } : {}),
    ...(readout === 'estimate' ? { estimateReadout: unstated } : {}),
  });
  const motion = cameraMotion(tracks);
  const evidence = clockEvidence(applyClocks(tracks, estimate), rig);
  const notes = [
    ...estimate.quality.notes,
    ...(readout === 'stated' ? unstated.map(clockNotes.readoutNotStated) : []),
    ...motion.map(({ note }) => note),
  ];
  const rates = tracks.map(({ frameRateHz }) => frameRateHz);
  return {
    estimate,
    motion,
    evidence,
    notes,
    text: `${table(estimate, rates)}\nLines for recording.yaml, under views:\n${yamlLines(estimate, rates)}`,
    json: jsonText(estimate, motion, evidence, notes),
  };
}

const milliseconds = (seconds: number, digits = 2) => (1000 * seconds).toFixed(digits);

function table({ cameras }: ClockEstimate, rates: readonly number[]): string {
  const rows = cameras.map((clock, i) => [
    clock.camera,
    milliseconds(clock.offsetS),
    i === 0 ? 'reference' : `± ${milliseconds(clock.halfWidth95S)}`,
    i === 0 ? '' : `± ${(clock.halfWidth95S * rates[i]).toFixed(3)}`,
    driftText(clock, i),
    clock.readoutHalfWidth95S === null
      ? milliseconds(clock.readoutS, 1)
      : `${milliseconds(clock.readoutS, 1)} ± ${milliseconds(clock.readoutHalfWidth95S, 1)}`,
  ]);
  return alignedTable([['camera', 'offset ms', '95 %', 'in frames', 'drift ppm', 'readout ms'], ...rows]);
}

function driftText({ drift, driftHalfWidth95 }: CameraClock, i: number): string {
  if (i === 0) return '';
  if (driftHalfWidth95 === null) return 'not fitted';
  const half = (1e6 * driftHalfWidth95).toFixed(0);
  return drift === 0 ? `0 (within ± ${half})` : `${(1e6 * drift).toFixed(0)} ± ${half}`;
}

/** What to write under each view: a drift is a frame rate. */
function yamlLines({ cameras }: ClockEstimate, rates: readonly number[]): string {
  return cameras
    .map((clock, i) => {
      const entries = [
        `camera: ${clock.camera}`,
        `offset_s: ${clock.offsetS.toFixed(6)}`,
        ...(clock.drift === 0 ? [] : [`frame_rate_hz: ${(rates[i] / (1 + clock.drift)).toFixed(5)}`]),
        ...(clock.readoutHalfWidth95S === null ? [] : [`readout_s: ${clock.readoutS.toFixed(4)}`]),
      ];
      return `  - { ${entries.join(', ')} }\n`;
    })
    .join('');
}

/** Nothing in it is NaN: what is not known is null. */
function jsonText(
  { cameras, quality }: ClockEstimate,
  motion: readonly CameraMotion[],
  evidence: ClockEvidence,
  notes: readonly string[],
): string {
  const contents = {
    kneeward: 1,
    kind: 'camera clocks',
    cameras: cameras.map((clock, i) => ({
      camera: clock.camera,
      offset_s: clock.offsetS,
      offset_half_width_95_s: clock.halfWidth95S,
      drift: clock.drift,
      drift_half_width_95: clock.driftHalfWidth95,
      readout_s: clock.readoutS,
      readout_half_width_95_s: clock.readoutHalfWidth95S,
      picture: motion[i].verdict,
      picture_movement_rms_px: motion[i].sharedRmsPx,
    })),
    quality: {
      agreement: quality.agreement,
      smoothed_residual_px: quality.residualPx,
      instants_used: quality.used,
      instants_known: quality.known,
      interval_from: quality.intervalFrom,
    },
    residual_against_speed: evidence,
    notes,
  };
  return `${JSON.stringify(contents, null, 2)}\n`;
}
