/**
 * The whole way on a real lift: a deadlift with a stick, 3D points at the joints and a force plate under each foot.
 *
 *   npx tsx tests/scripts/deadlift.ts FOLDER OUT
 *
 * FOLDER holds deadlift_points.csv (frame,landmark,x,y,z; mm; the lifter faces −y, up is +z; 100 Hz) and
 * deadlift_force_plate_1.csv (right foot) and _2.csv (left foot). The data carry no licence, so they are not part of this
 * project. Writes the recording file and the result of `kneeward analyse` at 3 Hz, then prints how the ground force
 * predicted from the movement compares with the measured one, at 3 Hz and 6 Hz, both filtered alike.
 */
import { mkdirSync } from 'node:fs';
import { analyseRecording } from '../../src/cli/analyse-recording.ts';
import { main } from '../../src/cli/main.ts';
import { gradeLimits } from '../../src/cli/package-files.ts';
import { type NumberedFrames, residualAnalysis } from '../../src/mechanics/residual/residual-analysis.ts';
import { mean, rms } from '../../src/numerics/statistics.ts';
import { writeDeadliftRecording } from './deadlift-recording.ts';

const [folder, out] = process.argv.slice(2);
if (!folder || !out) {
  console.error('Usage: npx tsx tests/scripts/deadlift.ts FOLDER OUT');
  process.exit(2);
}

mkdirSync(out, { recursive: true });
const recordingFile = writeDeadliftRecording(folder, out);

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

const ranges: NumberedFrames[] = record.repetitions.flatMap(({ number, descent, ascent }) => {
  const parts = [descent, ascent].filter((range) => range !== null);
  return parts.length === 0
    ? []
    : [{ number, from: Math.min(...parts.map(({ from }) => from)), to: Math.max(...parts.map(({ to }) => to)) }];
});
const residual = residualAnalysis(record.loads, ranges)!;
console.log('\nPredicted less measured, by lean of the trunk (3 Hz): mean / rms / 95th percentile');
const words = (spread: { mean: number; rms: number; p95: number } | null, unit = 1) =>
  spread
    ? `${(unit * spread.mean).toFixed(0)} / ${(unit * spread.rms).toFixed(0)} / ${(unit * spread.p95).toFixed(0)}`
    : '–';
for (const { fromDeg, toDeg, frames, pressureForwardM, forceN, momentNm } of residual.byLean)
  console.log(
    `  ${fromDeg < 0 ? 'below' : `${fromDeg}°–`}${toDeg}° (${frames} frames): centre of pressure fore–aft ${words(pressureForwardM, 1000)} mm; force ` +
      `forward ${words(forceN.forward)}, up ${words(forceN.up)}, right ${words(forceN.right)} N; moment about mid-hip ${words(momentNm.right)} N·m`,
  );
for (const { repetition, frames, forcePctBodyWeight, momentNm } of residual.byRepetition)
  console.log(
    `  repetition ${repetition} (${frames} frames): vertical rms ${forcePctBodyWeight.up?.rms.toFixed(2)} % body weight; moment about mid-hip ${words(momentNm.right)} N·m`,
  );
for (const note of residual.notes) console.log(`  ${note}`);

const perLeg = shareErrors();
console.log(
  `\nShare of the right foot in the vertical force, rms error: ${perLeg.placed.toFixed(3)} from the place of the total centre of pressure between ` +
    `the feet, ${perLeg.even.toFixed(3)} taking a half (${perLeg.frames} frames; feet: midway between ankle and big toe)`,
);

/** Right foot's share of the measured vertical force: from where the centre of pressure from above lies between the feet, and a half. */
function shareErrors(): { readonly placed: number; readonly even: number; readonly frames: number } {
  const { loads } = record;
  const { landmarks, position } = loads.motion.trajectories;
  const sideways = (name: (typeof landmarks)[number], k: number) =>
    position[3 * (k * landmarks.length + landmarks.indexOf(name)) + 2];
  const foot = (side: 'left' | 'right', k: number) =>
    (sideways(`${side}_ankle`, k) + sideways(`${side}_big_toe`, k)) / 2;
  const { left, right } = loads.cuts;
  const placed: number[] = [];
  const even: number[] = [];
  for (let k = 0; k < loads.frames; k++) {
    if (!residual.series.counts[k]) continue;
    // The whole leg's demand hardly differs between the legs: the share at the ankles' cut is that of the floor.
    const [l, r] = [left!.ankle.total.force[3 * k + 1], right!.ankle.total.force[3 * k + 1]];
    const share = r / (l + r);
    const [zl, zr] = [foot('left', k), foot('right', k)];
    placed.push((loads.centreOfPressure![3 * k + 2] - zl) / (zr - zl) - share);
    even.push(0.5 - share);
  }
  return { placed: rms(placed), even: rms(even), frames: placed.length };
}
