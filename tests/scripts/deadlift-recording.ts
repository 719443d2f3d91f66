import { writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import type { SegmentTableName, Sex, TrunkKind } from '../../src/capture/recording.ts';

/** How the deadlift is analysed; what is left out is as delivered, the sex unknown (it is not stated with the data). */
export interface DeadliftOptions {
  readonly sex?: Sex;
  readonly segments?: SegmentTableName;
  readonly trunk?: TrunkKind;
}

/**
 * Writes OUT/<options>.yaml for the deadlift in FOLDER: deadlift_points.csv (frame,landmark,x,y,z; mm; the lifter faces −y, up
 * is +z; 100 Hz), deadlift_force_plate_1.csv (right foot) and _2.csv (left foot). Returns its path.
 */
export function writeDeadliftRecording(folder: string, out: string, options: DeadliftOptions = {}): string {
  const { sex = 'unknown', segments = 'de-leva-1996', trunk = 'bends' } = options;
  const at = (name: string) => JSON.stringify(relative(out, join(folder, name)));
  const file = join(out, `${trunk}-${segments}-${sex}.yaml`);
  writeFileSync(
    file,
    `kneeward: 1
recording: deadlift
athlete: { id: "D01", sex: ${sex}, mass_kg: 68.7 }
lift: { kind: deadlift }
load: { total_kg: 0.7, bar: { position: hands } }   # a stick
landmarks_3d: { file: ${at('deadlift_points.csv')}, frame_rate_hz: 100, unit: mm, axes: { forward: "-y", up: "+z" } }
segments: ${segments}
detector: trochanter markers   # the hip points are 0.37 m apart
force_plates:
  - { file: ${at('deadlift_force_plate_1.csv')}, foot: right, frame_rate_hz: 100, unit: mm }
  - { file: ${at('deadlift_force_plate_2.csv')}, foot: left, frame_rate_hz: 100, unit: mm }
settings: { trunk: ${trunk} }
`,
  );
  return file;
}
