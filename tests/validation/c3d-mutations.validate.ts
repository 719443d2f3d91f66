import { runMutations } from '../capture/c3d/mutations.ts';
import type { Validation } from './result.ts';

const SEED = 20261;
const MUTATIONS = 10_000;

/** Spoilt C3D and force files: what comes of each. */
export const validation: Validation = {
  name: 'c3d-mutations',
  title: 'C3D and force files spoilt at random: a value or a clear error, within a second',
  async run(scale, progress) {
    const count = Math.max(1, Math.round(scale * MUTATIONS));
    const { read, refused, faults, slowestS } = runMutations(SEED, count, (done) => progress(done, count));
    for (const fault of faults.slice(0, 20)) process.stderr.write(`${fault}\n`);
    const failed = [...refused.values()].reduce((sum, one) => sum + one, 0);
    const row = (what: string, value: number, unit: string, from: number | null, to: number | null) => ({
      what,
      runs: count,
      value,
      unit,
      from,
      to,
    });
    return {
      seed: SEED,
      setting:
        'A third each: the six encodings of one trial with force plates of types 1 to 4, read and written again; a lifter with two force plates ' +
        'through the whole input of a recording; a force plate as CSV. Bits and bytes turned, words and floats set to extremes, cut short, ' +
        'lengthened, stretches lost, doubled, blanked, blocks exchanged; in CSV also cells, rows and columns.',
      rows: [
        row('crashes, NaN given out as a number, messages that show the inside', faults.length, '1', 0, 0),
        row('share read', read / count, '1', 0.1, 0.9),
        row('share refused with a DataError', failed / count, '1', 0.1, 0.9),
        row('different errors met', refused.size, '1', 10, null),
        row('slowest of all below one second (1 = yes)', slowestS < 1 ? 1 : 0, '1', 1, 1),
      ],
    };
  },
};
