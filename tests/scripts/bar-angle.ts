/**
 * Second derivatives against a measured acceleration: the angle of a bar turned by hand, with the angular acceleration
 * measured beside it (Pezzack, Norman & Winter 1977, J Biomech 10:377–382).
 *
 *   npx tsx tests/scripts/bar-angle.ts FILE
 *
 * FILE: CSV with the columns time (s), angle from film (rad), the same with noise added (rad), acceleration (rad/s²); 142 rows at
 * 0.0201 s; lines that do not begin with a digit are skipped. The table is copyright of its publisher and not part of this
 * project. Prints, for each smoother, the rms error of the acceleration by cut-off, 0.2 s at both ends left out.
 */
import { readFileSync } from 'node:fs';
import { SMOOTHING_METHODS } from '../../src/capture/recording.ts';
import { secondDifference } from '../../src/numerics/differences.ts';
import { rms } from '../../src/numerics/statistics.ts';
import { planStretches, smoothStretchesInPlace } from '../../src/reconstruction/stretches.ts';

const [file] = process.argv.slice(2);
if (!file) {
  console.error('Usage: npx tsx tests/scripts/bar-angle.ts FILE');
  process.exit(2);
}
const rows = readFileSync(file, 'utf8')
  .split('\n')
  .filter((line) => /^\d/.test(line))
  .map((line) => line.split(',').map(Number));
const frames = rows.length;
const rateHz = (frames - 1) / (rows[frames - 1][0] - rows[0][0]);
const margin = Math.ceil(0.2 * rateHz);
console.log(
  `${frames} samples at ${rateHz.toFixed(2)} Hz; measured acceleration ${rms(rows.map((row) => row[3])).toFixed(2)} rad/s² rms`,
);

for (const [name, column] of [
  ['angle from film', 1],
  ['with noise added', 2],
] as const) {
  for (const method of SMOOTHING_METHODS) {
    const errors = Array.from({ length: 29 }, (_, i) => {
      const cutoffHz = 2 + i / 4;
      const series = new Float64Array(3 * frames);
      rows.forEach((row, k) => {
        series[k] = row[column];
      });
      const stretches = planStretches(method, new Uint8Array(frames), Float64Array.of(cutoffHz), frames, rateHz);
      smoothStretchesInPlace(series, stretches, frames);
      const found = secondDifference(series.slice(0, frames), 1, 1 / rateHz);
      const differences = rows.map((row, k) => found[k] - row[3]).slice(margin, frames - margin);
      return { cutoffHz, error: rms(differences) };
    });
    const best = errors.reduce((a, b) => (b.error < a.error ? b : a));
    const some = errors.filter(({ cutoffHz }) => [3, 4, 5, 6, 7].includes(cutoffHz));
    console.log(
      `${name}, ${method}: least ${best.error.toFixed(2)} rad/s² at ${best.cutoffHz} Hz; ` +
        some.map(({ cutoffHz, error }) => `${cutoffHz} Hz ${error.toFixed(2)}`).join(', '),
    );
  }
}
