/**
 * Where the trunk's mass is: fore–aft centre of pressure from above against two force plates, by lean of the trunk, for a
 * straight trunk and for one that bends, for each segment table and sex, with the 95 % interval of the bodies' doubt.
 *
 *   npx tsx tests/scripts/deadlift-trunk.ts FOLDER OUT
 *
 * FOLDER as for deadlift.ts (the data carry no licence and are not part of this project). Writes OUT/*.yaml.
 */
import { mkdirSync } from 'node:fs';
import { SEGMENT_TABLES } from '../../src/capture/recording.ts';
import { analyseRecording } from '../../src/cli/analyse-recording.ts';
import { gradeLimits } from '../../src/cli/package-files.ts';
import { mean, rms } from '../../src/numerics/statistics.ts';
import { causesOf } from '../../src/uncertainty/causes/all-causes.ts';
import { chainOf } from '../../src/uncertainty/chain.ts';
import { writeDeadliftRecording } from './deadlift-recording.ts';
import { framesByLean, LEAN_BINS } from './force-plate-bins.ts';

const [folder, out] = process.argv.slice(2);
if (!folder || !out) {
  console.error('Usage: npx tsx tests/scripts/deadlift-trunk.ts FOLDER OUT');
  process.exit(2);
}
mkdirSync(out, { recursive: true });

const AT_3_HZ = { smoothing: { kind: 'fixed', legsHz: 3, trunkHz: 3, barHz: 3 } } as const;
/** Quasi-static: speeds of the whole body's centre of mass and of the trunk's turning below these. Common practice, no source. */
const SLOW_M_PER_S = 0.05;

console.log(`Fore–aft centre of pressure, from above minus measured, mm, mean / rms, 3 Hz both sides`);
console.log(
  [
    'model'.padEnd(38),
    ...LEAN_BINS.map(({ name }) => name.padStart(12)),
    '         all  vertical rms, % body weight',
  ].join(''),
);
for (const trunk of ['straight', 'bends'] as const) {
  for (const segments of SEGMENT_TABLES) {
    for (const sex of segments === 'dempster-winter-2009'
      ? (['unknown'] as const)
      : (['unknown', 'male', 'female'] as const)) {
      const file = writeDeadliftRecording(folder, out, { sex, segments, trunk });
      const analysis = analyseRecording(file, undefined, gradeLimits(), AT_3_HZ);
      const { loads } = analysis.record;
      const [above, measured, com] = [loads.centreOfPressure!, loads.measuredCentreOfPressure!, loads.centreOfMass!];
      const bins = framesByLean(loads.motion, [above, 3], [measured, 3]);
      const apart = (frame: number) => 1000 * (above[3 * frame] - measured[3 * frame]);
      const words = (frames: readonly number[]) =>
        frames.length === 0 ? '–' : `${mean(frames.map(apart)).toFixed(0)} / ${rms(frames.map(apart)).toFixed(0)}`;
      const all = bins.flat();
      const print = (label: string, of: (frames: readonly number[]) => string, end = '') =>
        console.log(
          [label.padEnd(38), ...bins.map((frames) => of(frames).padStart(12)), of(all).padStart(12), end].join(''),
        );
      const label = `${trunk}, ${segments}, ${sex}`;
      print(label, words, `  ${loads.quality.mismatch!.verticalRmsPctBodyWeight.toFixed(2)}`);
      const rate = loads.frameRateHz;
      const slow = (k: number) =>
        Math.hypot(com[3 * k + 3] - com[3 * k - 3], com[3 * k + 4] - com[3 * k - 2]) * (rate / 2) < SLOW_M_PER_S;
      print('  of these, nearly still', (frames) => words(frames.filter(slow)));
      if (sex !== 'unknown' || segments !== 'de-leva-1996') continue;
      // First order: each cause one standard deviation up, the mean over the bin.
      const causes = causesOf(analysis, ['keypoints', 'segments', 'body mass', 'load', 'vertical']).flatMap(
        (group) => group.causes,
      );
      const chain = chainOf(analysis, false);
      const z = new Float64Array(causes.length);
      const variance = [...bins, all].map(() => 0);
      causes.forEach((_, k) => {
        z.fill(0);
        z[k] = 1;
        const moved = chain(causes, z, null).loads.centreOfPressure!;
        [...bins, all].forEach((frames, b) => {
          if (frames.length > 0) variance[b] += mean(frames.map((f) => 1000 * (moved[3 * f] - above[3 * f]))) ** 2;
        });
      });
      console.log(
        [
          '  half of its 95 % interval'.padEnd(38),
          ...variance.map((v) => (1.96 * Math.sqrt(v)).toFixed(0).padStart(12)),
        ].join(''),
      );
    }
  }
}
