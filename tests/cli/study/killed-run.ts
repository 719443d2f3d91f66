import { runMade } from './made-lifts.ts';

/* The process that a test kills: one run of a made study. Says when it begins, so that the kill falls into the run. */

const [, , file, out, seed] = process.argv;
process.stdout.write('begins\n');
await runMade(file, out, { options: { intervals: false, seed: Number(seed) } });
