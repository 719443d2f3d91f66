/**
 * Force plates under real lifters: what open data say about clock, offset, share and free fall.
 *
 *   npx tsx tests/scripts/open-force-data.ts FOLDER OUT
 *
 * FOLDER may hold any of (what is not there is skipped):
 *   deadlift_force_plates/  deadlift_points.csv, deadlift_force_plate_1.csv (right foot), _2 (left), _3 (empty); see deadlift.ts
 *   jumps_two_force_plates/ person_1_force_plate_1.csv.gz, _2 (1000 Hz, y up), person_1_phases.csv (hand-marked samples)
 *   gait_full_body/         grf_1000Hz_N.csv (t_s,Fx,Fy,Fz; z up)
 */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { LOADED_N, readForcePlate } from '../../src/capture/force-plate-csv.ts';
import { analyseRecording } from '../../src/cli/analyse-recording.ts';
import { gradeLimits } from '../../src/cli/package-files.ts';
import { DataError } from '../../src/errors.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { mean } from '../../src/numerics/statistics.ts';
import { writeDeadliftRecording } from './deadlift-recording.ts';

const [folder, out] = process.argv.slice(2);
if (!folder || !out) {
  console.error('Usage: npx tsx tests/scripts/open-force-data.ts FOLDER OUT');
  process.exit(2);
}
mkdirSync(out, { recursive: true });

const deadlift = join(folder, 'deadlift_force_plates');
if (existsSync(deadlift)) {
  console.log('Deadlift, a force plate under each foot: clock of the force plates against the movement');
  for (const hz of [2.5, 3, 4, 6]) {
    const { record } = analyseRecording(writeDeadliftRecording(deadlift, out), undefined, gradeLimits(), {
      smoothing: { kind: 'fixed', legsHz: hz, trunkHz: hz, barHz: hz },
    });
    const { clock } = record.loads.quality.forcePlates!;
    console.log(
      `  ${hz} Hz: ${(1000 * clock.offsetS).toFixed(2)} ± ${(1000 * clock.sdS).toFixed(2)} ms (standard error), r ${clock.r.toFixed(4)}, ${clock.framesUsed} frames ${clock.reason}`,
    );
    if (hz === 3) for (const note of record.loads.quality.notes) console.log(`    note: ${note}`);
  }
  const empty = {
    file: join(deadlift, 'deadlift_force_plate_3.csv'),
    foot: 'left',
    frameRateHz: 100,
    unit: 'mm',
    offsetS: 0,
    axes: { forward: '-y', up: '+z' },
  } as const;
  try {
    readForcePlate(empty, null);
    console.log('  force plate 3, empty: read (it should be refused)');
  } catch (error) {
    if (!(error instanceof DataError)) throw error;
    console.log(`  force plate 3, empty: refused, ${error.code}: ${JSON.stringify(error.facts.largestN)} N at most`);
  }
}

const jumps = join(folder, 'jumps_two_force_plates');
if (existsSync(jumps)) {
  const read = (number: number, foot: 'left' | 'right') => {
    const notes: string[] = [];
    const text = readForcePlate(
      {
        file: jumpFile(number),
        foot,
        frameRateHz: 1000,
        unit: 'm',
        offsetS: 0,
        axes: { forward: '-x', up: '+y' },
      },
      null,
      notes,
    );
    return { ...text, notes };
  };
  const [right, left] = [read(1, 'right'), read(2, 'left')];
  const vertical = right.force.map((value, i) => value + left.force[i]).filter((_, i) => i % 3 === 1);
  const weightN = mean(vertical.subarray(3500));
  console.log('\nSquat jump on two force plates (1000 Hz), first jump of person 1:');
  console.log(
    `  weight, at rest after it: ${weightN.toFixed(1)} N = ${(weightN / GRAVITY_M_PER_S2).toFixed(2)} kg; before it ${mean(vertical.subarray(0, 90)).toFixed(1)} N; ` +
      `mean from rest to rest (marks 90 to 3350) ${mean(vertical.subarray(90, 3351)).toFixed(1)} N`,
  );
  for (const [name, one] of [
    ['1', right],
    ['2', left],
  ] as const) {
    const own = one.force.filter((_, i) => i % 3 === 1);
    const share = (from: number, to: number) =>
      (100 * mean(own.subarray(from, to))) / mean(vertical.subarray(from, to));
    console.log(
      `  force plate ${name}: ${share(0, 90).toFixed(1)} % before, ${share(359, 1656).toFixed(1)} % on the way down, ${share(1656, 1803).toFixed(1)} % of the push, ` +
        `${share(3500, 4000).toFixed(1)} % after; notes: ${one.notes.join(' ') || 'none'}`,
    );
  }
  const flight = [...vertical.keys()].filter((sample) => vertical[sample] < LOADED_N);
  const [off, on] = [flight[0], flight[flight.length - 1]];
  const flightS = (on - off + 1) / 1000;
  let velocity = 0;
  for (let sample = 0; sample < off; sample++)
    velocity += ((vertical[sample] - weightN) / (weightN / GRAVITY_M_PER_S2)) * 0.001;
  console.log(
    `  in the air from sample ${off} to ${on} (hand marks: jump ends 1810, landing starts 2063): ${(1000 * flightS).toFixed(0)} ms, ` +
      `take-off at ${((GRAVITY_M_PER_S2 * flightS) / 2).toFixed(3)} m/s by time, ${velocity.toFixed(3)} m/s by impulse`,
  );
}

const gait = join(folder, 'gait_full_body', 'grf_1000Hz_N.csv');
if (existsSync(gait)) {
  const rows = readFileSync(gait, 'utf8').trim().split('\n').slice(1);
  console.log(
    `\nGait: mean vertical force ${mean(rows.map((row) => Number(row.split(',')[3]))).toFixed(1)} N over ${rows.length} samples`,
  );
}

/** The columns of the file are named as ours but for the free moment's. */
function jumpFile(number: number): string {
  const source = join(jumps, `person_1_force_plate_${number}.csv.gz`);
  const text = gunzipSync(readFileSync(source)).toString('utf8').replace('free_moment_y_nm', 'free_moment_nm');
  const file = join(out, `jump_force_plate_${number}.csv`);
  writeFileSync(file, text);
  return file;
}
