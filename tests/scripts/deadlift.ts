/**
 * The whole way on a real lift: a deadlift with a stick, 3D points at the joints and a force plate under each foot.
 *
 *   npx tsx tests/scripts/deadlift.ts FOLDER OUT
 *
 * FOLDER holds deadlift_points.csv (frame,landmark,x,y,z; mm; the lifter faces −y, up is +z; 100 Hz) and
 * deadlift_force_plate_1.csv (right foot) and _2.csv (left foot). The data carry no licence, so they are not part of this
 * project. Writes OUT/recording.yaml and the result of `kneeward analyse` at 3 Hz, then prints how the ground force
 * predicted from the movement compares with the measured one, at 3 Hz and 6 Hz, both filtered alike.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { analyseRecording } from '../../src/cli/analyse-recording.ts';
import { main } from '../../src/cli/main.ts';
import { gradeLimits } from '../../src/cli/package-files.ts';
import { mean } from '../../src/numerics/statistics.ts';

const [folder, out] = process.argv.slice(2);
if (!folder || !out) {
  console.error('Usage: npx tsx tests/scripts/deadlift.ts FOLDER OUT');
  process.exit(2);
}

mkdirSync(out, { recursive: true });
const at = (name: string) => JSON.stringify(relative(out, join(folder, name)));
const recordingFile = join(out, 'recording.yaml');
writeFileSync(
  recordingFile,
  `kneeward: 1
recording: deadlift
athlete: { id: "D01", sex: unknown, mass_kg: 68.7 }
lift: { kind: deadlift }
load: { total_kg: 0.7, bar: { position: hands } }   # a stick
landmarks_3d: { file: ${at('deadlift_points.csv')}, frame_rate_hz: 100, unit: mm, axes: { forward: "-y", up: "+z" } }
force_plates:
  - { file: ${at('deadlift_force_plate_1.csv')}, foot: right, frame_rate_hz: 100, unit: mm }
  - { file: ${at('deadlift_force_plate_2.csv')}, foot: left, frame_rate_hz: 100, unit: mm }
`,
);

const code = await main(['analyse', recordingFile, '--out', out, '--cutoff-hz', '3', '--quiet']);
if (code !== 0) process.exit(code);

const rows = [3, 6].map((hz) => {
  const { record } = analyseRecording(recordingFile, undefined, gradeLimits(), {
    smoothing: { kind: 'fixed', legsHz: hz, trunkHz: hz, barHz: hz },
  });
  const { mismatch } = record.loads.quality;
  if (!mismatch) throw new Error('no mismatch: force plates or upper body not read');
  return { hz, mismatch, record };
});

console.log('\nVertical ground force, predicted from the movement against measured (both at the same cut-off):');
for (const { hz, mismatch: m } of rows) {
  console.log(
    `  ${hz} Hz: r ${m.verticalR.toFixed(4)}, rms ${m.verticalRmsN.toFixed(1)} N = ${m.verticalRmsPctBodyWeight.toFixed(2)} % body weight, ` +
      `mean ${m.meanVerticalAboveN.toFixed(1)} against ${m.meanVerticalMeasuredN.toFixed(1)} N; centre of pressure fore-aft ` +
      `mean ${(1000 * m.copForwardMeanM).toFixed(0)} mm, rms ${(1000 * m.copForwardRmsM).toFixed(0)} mm, sideways rms ${(1000 * m.copSidewaysRmsM).toFixed(0)} mm`,
  );
}

const { record } = rows[0];
console.log(`\nRepetitions found: ${record.repetitions.length}`);
const { fromAbove, fromBelow } = record.loads;
for (const repetition of record.repetitions) {
  const { ascent } = repetition;
  const over = (series: Float64Array | undefined) => {
    const values = series && ascent ? [...series.subarray(ascent.from, ascent.to)].filter(Number.isFinite) : [];
    return values.length > 0 ? `${mean(values).toFixed(0).padStart(4)}` : '   –';
  };
  console.log(
    `  ${repetition.number} (${repetition.order}, ${repetition.completeness}): mean of the ascent, N·m: hip ${over(fromAbove?.hip.total)} from above, ` +
      `${over(fromBelow?.both?.hip.total)} from below; knee ${over(fromAbove?.knee.total)}, ${over(fromBelow?.both?.knee.total)}`,
  );
}
