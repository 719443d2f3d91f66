import { fileURLToPath } from 'node:url';
import { describe, expect, test } from '@jest/globals';
import { LOADED_N, readForcePlate } from '../../src/capture/force-plate-csv.ts';
import type { ForcePlateTrack } from '../../src/capture/recording.ts';
import { groundReaction } from '../../src/mechanics/ground-wrench.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { mean } from '../../src/numerics/statistics.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { NO_TURN } from './made-motion.ts';

/** A real squat jump on two force plates: at rest, in the air, at rest. What it must obey is Newton's law, not a fitted number. */
const data = reference<{ restFromS: number; restToS: number; eventFromS: number; eventToS: number }>(
  'mechanics-jump-force-plates',
);
const tolerance = data.tolerance as unknown as { markS: number; meanShare: number; velocityShare: number };
const marks = data.marks as { jumpEndS: number; landingStartS: number };
const [{ restFromS, restToS, eventFromS, eventToS }] = data.cases;
const RATE = 500;

const read = (number: 1 | 2, foot: 'left' | 'right'): ForcePlateTrack =>
  readForcePlate(
    {
      file: fileURLToPath(new URL(`../references/mechanics-jump-force-plate-${number}.csv.gz`, import.meta.url)),
      foot,
      frameRateHz: RATE,
      unit: 'm',
      offsetS: 0,
      // Force plate 1 (the right foot's) has the smaller z: with y up, z points to the left of somebody who faces −x.
      axes: { forward: '-x', up: '+y' },
    },
    null,
  );
const forcePlates = [read(1, 'right'), read(2, 'left')];
const { left, right, both } = groundReaction(
  forcePlates,
  NO_TURN,
  { frames: forcePlates[0].samples, frameRateHz: RATE, startS: 0 },
  Number.NaN,
);
const vertical = both!.force.filter((_, i) => i % 3 === 1);
const over = (series: Float64Array, fromS: number, toS: number) =>
  mean(series.subarray(Math.round(fromS * RATE), Math.round(toS * RATE) + 1));
const weightN = over(vertical, restFromS, restToS);
const air = [...vertical.keys()].filter((sample) => vertical[sample] < LOADED_N);
const [offS, onS] = [air[0] / RATE, (air[air.length - 1] + 1) / RATE];

describe('a real squat jump on two force plates', () => {
  test('rest to rest: the mean vertical force is the weight', () => {
    expectClose(over(vertical, eventFromS, eventToS) / weightN, 1, tolerance.meanShare, 'mean / weight');
  });

  test('in the air where the authors marked it by hand', () => {
    expectClose(offS, marks.jumpEndS, tolerance.markS, 'take-off, s');
    expectClose(onS, marks.landingStartS, tolerance.markS, 'landing, s');
  });

  test('take-off velocity by impulse, by flight time and by the impulse of the landing', () => {
    const massKg = weightN / GRAVITY_M_PER_S2;
    const gained = (fromS: number, toS: number) => ((over(vertical, fromS, toS) - weightN) * (toS - fromS)) / massKg;
    const byFlight = (GRAVITY_M_PER_S2 * (onS - offS)) / 2;
    expectClose(gained(0, offS) / byFlight, 1, tolerance.velocityShare, 'impulse of the push / flight time');
    expectClose(gained(onS, restToS) / byFlight, 1, tolerance.velocityShare, 'impulse of the landing / flight time');
  });

  test('a force plate a foot: shares add up to the whole; each foot under its own pressure, right of the other', () => {
    const share = (foot: Float64Array) =>
      over(
        foot.filter((_, i) => i % 3 === 1),
        0,
        0.09,
      ) / over(vertical, 0, 0.09);
    expectClose(share(left!.force) + share(right!.force), 1, 1e-12, 'shares');
    // Force plate 1 carries 456 of 890 N before the jump: 0.513 (their bias against each other is not known).
    expectClose(share(right!.force), 0.513, 0.001, 'right');
    const z = (track: ForcePlateTrack) => mean(track.centreOfPressure.filter((_, i) => i % 3 === 2).subarray(0, 40));
    expect(z(forcePlates[0])).toBeGreaterThan(z(forcePlates[1]) + 0.2);
  });

  test('empty in the air is no steady offset: nothing is told', () => {
    const notes: string[] = [];
    readForcePlate({ file: forcePlates[0].file, foot: 'right', frameRateHz: RATE, unit: 'm', offsetS: 0 }, null, notes);
    expect(notes).toEqual([]);
  });
});
