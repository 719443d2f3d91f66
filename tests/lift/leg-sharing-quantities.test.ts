import { expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { type AnalysisSettings, DEFAULT_SETTINGS, LEG_SHARINGS } from '../../src/capture/recording.ts';
import { recordingSchema } from '../../src/capture/schema.ts';
import { applySettings } from '../../src/capture/settings.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import type { MeasureValue } from '../../src/lift/lift-record.ts';
import { columnName } from '../../src/lift/quantities.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { sharingReasons } from '../../src/messages/leg-sharing.ts';
import { LEG_SHARING_QUANTITIES } from '../../src/study/leg-sharing-definitions.ts';
import { lifterPoints, makeRecording, makeTrajectories, type Point, type Posture } from '../body/made-lifter.ts';
import { expectClose } from '../expect-close.ts';
import { NO_TURN } from '../mechanics/made-motion.ts';

const RATE = 25;
const FRAMES = 251;
/** Two slow squats that stay in balance over the feet. */
function posture(frame: number): Posture {
  const depth = (1 - Math.cos((4 * Math.PI * frame) / (FRAMES - 1))) / 2;
  return { shankLean: 0.05 + 0.5 * depth, thighLean: 0.05 + 1.6 * depth, trunkLean: 0.05 + 0.85 * depth };
}
/** Everything but the feet 2 cm to the left. */
const leftward = (frame: number): Record<string, Point> =>
  Object.fromEntries(
    Object.entries(lifterPoints(posture(frame))).map(([name, [x, y, z]]) => [
      name,
      [x, y, /heel|toe|ankle/.test(name) ? z : z - 0.02] as Point,
    ]),
  );
function described(legSharing: AnalysisSettings['legSharing'], without = '') {
  const recording = { ...makeRecording(), settings: { ...DEFAULT_SETTINGS, legSharing } };
  const at = (frame: number) =>
    Object.fromEntries(Object.entries(leftward(frame)).filter(([name]) => name !== without));
  const motion = bodyMotion(makeTrajectories(FRAMES, RATE, at), recording);
  return describeLift(jointLoads(motion, [], NO_TURN), recording);
}
const SHARED = /^(vertical_share_left|.*_shared)/;
const sharedMeasures = (measures: readonly MeasureValue[]) => measures.filter(({ measure }) => SHARED.test(measure));

const record = described('proportional');

test('every column of one leg is shared by name, and defined', () => {
  const found = record.quantities.filter(({ quantity }) => /_shared$|^vertical_share$/.test(quantity)).map(columnName);
  const defined = LEG_SHARING_QUANTITIES.flatMap(({ quantity, unit, sides }) =>
    sides.map((side) => columnName({ quantity, side, unit })),
  );
  expect(found).toEqual(defined);
  expect(found).toContain('hip_moment_shared_left_nm');
  // Without force plates there is no column that could be taken for a measured one.
  expect(record.quantities.map(columnName)).not.toContain('hip_moment_left_nm');
});

test('measures are the columns, read at their places', () => {
  const { bottomFrame } = record.repetitions[0];
  const column = (name: string) => record.quantities.find((one) => columnName(one) === name)!.values;
  const measure = (name: string, at: string, side = '') =>
    record.measures.find((one) => one.measure === name && one.at === at && one.side === side && one.repetition === 1)!;
  const share = measure('vertical_share_left', 'bottom');
  expectClose(share.value, column('vertical_share_left')[bottomFrame], 0, 'share');
  expect(share.value).toBeGreaterThan(0.52);
  expectClose(
    measure('hip_moment_shared_left_minus_right', 'bottom').value,
    column('hip_moment_shared_left_nm')[bottomFrame] - column('hip_moment_shared_right_nm')[bottomFrame],
    1e-12,
    'hip, left less right',
  );
  const [left, right] = (['left', 'right'] as const).map((side) => measure('knee_moment_shared_peak', 'largest', side));
  expectClose(left.value, column('knee_moment_shared_left_nm')[left.frameFirst], 0, 'left knee');
  expect(left.value).toBeGreaterThan(right.value);
  expectClose(
    measure('knee_abductor_moment_shared', 'bottom', 'left').value,
    column('knee_abductor_moment_shared_left_nm')[bottomFrame],
    0,
    'knee from the front',
  );
});

test('switched off: no columns, and the measures say so', () => {
  const none = described('none');
  expect(none.legSharing).toBeNull();
  expect(none.quantities.some(({ quantity }) => quantity.includes('shared'))).toBe(false);
  const measures = sharedMeasures(none.measures);
  expect(measures.length).toBe(sharedMeasures(record.measures).length);
  for (const { value, reason } of measures) expect([value, reason]).toEqual([Number.NaN, sharingReasons.switchedOff()]);
});

test('a foot that is not seen is named', () => {
  for (const { value, reason } of sharedMeasures(described('least effort', 'left_heel').measures))
    expect([value, reason]).toEqual([Number.NaN, sharingReasons.needsFeet(['left_heel'])]);
});

test('the setting in words: read from a file, kept where none is written, refused where unknown', () => {
  expect(DEFAULT_SETTINGS.legSharing).toBe('proportional');
  for (const leg_sharing of LEG_SHARINGS) {
    const settings = recordingSchema.shape.settings.parse({ leg_sharing });
    expect(applySettings(DEFAULT_SETTINGS, settings).legSharing).toBe(leg_sharing);
  }
  const base = { ...DEFAULT_SETTINGS, legSharing: 'none' as const };
  expect(applySettings(base, {}).legSharing).toBe('none');
  expect(recordingSchema.shape.settings.safeParse({ leg_sharing: 'equal' }).success).toBe(false);
});
