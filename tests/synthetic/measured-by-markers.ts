import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { LANDMARKS } from '../../src/capture/landmarks.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { demoLift, demoRecording } from './demo.ts';
import { landmarksOf } from './lift.ts';
import { bytesOf, FORCE_RATE_HZ, forcePlateFiles } from './write.ts';

/** How the second means saw the set of a demo recording: points at the joints and a force plate a foot. */
export interface MarkerOptions {
  /** Standard deviation of a coordinate, metres. */
  readonly noiseM?: number;
  /** Its time 0 on the lift's own clock, seconds. */
  readonly startS?: number;
  /** Its last moment on that clock; left out: the end of the lift. */
  readonly endS?: number;
  /** How much less than true the force plates' offset_s is stated, seconds. */
  readonly forceLateS?: number;
  /** Lines added to recording.yaml. */
  readonly lines?: readonly string[];
  readonly id?: string;
  readonly athleteId?: string;
}

export const MARKER_RATE_HZ = 100;

/** Writes FOLDER/recording.yaml, points.csv.gz and force plates; returns the path of the recording file. */
export function writeMeasuredByMarkers(folder: string, demoId: string, options: MarkerOptions = {}): string {
  const { noiseM = 0.001, startS = 0, forceLateS = 0, lines = [], id = demoId } = options;
  const forceOffsetS = Number((-startS - forceLateS).toFixed(6));
  const recorded = demoRecording(demoId);
  const lift = demoLift(demoId);
  const { massKg, sex } = recorded.build;
  const { equipment } = lift.setup;
  const endS = options.endS ?? lift.course.durationS - 0.02;
  const random = seededRandom(7);
  const rows = ['frame,landmark,x,y,z'];
  const frames = Math.floor((endS - startS) * MARKER_RATE_HZ);
  for (let frame = 0; frame < frames; frame++) {
    const points = landmarksOf(lift.postureAt(startS + frame / MARKER_RATE_HZ), equipment);
    for (const landmark of LANDMARKS) {
      const point = points.get(landmark);
      if (!point || /eye|nose|^neck_base$|^mid_back$/.test(landmark)) continue;
      rows.push([frame, landmark, ...point.map((value) => (value + noiseM * random.normal()).toFixed(5))].join(','));
    }
  }
  const recording = `# Invented lifter, invented set: no one was measured.
kneeward: 1
recording: ${id}
synthetic: true
athlete: { id: "${options.athleteId ?? recorded.build.id}", sex: ${sex}, mass_kg: ${massKg} }
lift: { kind: front squat, set: 1 }
load: { total_kg: ${equipment.loadKg}, bar: { position: front rack, length_m: ${equipment.barLengthM}, mass_kg: ${equipment.barMassKg} } }
landmarks_3d: { file: points.csv.gz, frame_rate_hz: ${MARKER_RATE_HZ}, unit: m, axes: { forward: "+x", up: "+y" }, sd_m: ${noiseM} }
force_plates:
  - { file: force-left.csv.gz, foot: left, frame_rate_hz: ${FORCE_RATE_HZ}, unit: m, offset_s: ${forceOffsetS} }
  - { file: force-right.csv.gz, foot: right, frame_rate_hz: ${FORCE_RATE_HZ}, unit: m, offset_s: ${forceOffsetS} }
${lines.map((line) => `${line}\n`).join('')}`;
  const files = [
    { path: 'recording.yaml', text: recording },
    { path: 'points.csv.gz', text: `${rows.join('\n')}\n` },
    ...forcePlateFiles(lift),
  ];
  for (const file of files) {
    const path = join(folder, file.path);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, bytesOf(file));
  }
  return join(folder, 'recording.yaml');
}
