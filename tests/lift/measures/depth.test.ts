import { describe, expect, test } from '@jest/globals';
import { describeLift } from '../../../src/lift/describe-lift.ts';
import { UNMEASURED_SD, USUAL_UNMEASURED } from '../../../src/lift/unmeasured.ts';
import { USUAL_ASSUMPTIONS } from '../../../src/mechanics/leg-sharing/assumptions.ts';
import { segmentCauses } from '../../../src/uncertainty/causes/body-causes.ts';
import { unchangedBody } from '../../../src/uncertainty/chain.ts';
import { expectClose } from '../../expect-close.ts';
import { DEEP, makeLoads, makeRecording, squats, statics } from '../make-loads.ts';
import { described, measure } from './with-points.ts';

const RAD = Math.PI / 180;
const kneeY = 0.08 + 0.4 * Math.cos(DEEP.shank * RAD);

describe('the crease of the hip above the knee', () => {
  test('is the height of the hip over the knee plus what lies over the joints', () => {
    const record = described(makeLoads(squats(1)));
    const joints = statics(DEEP).hipY - kneeY;
    const { creaseM, kneeTopM } = USUAL_UNMEASURED;
    for (const side of ['both', 'left', 'right'] as const) {
      expectClose(
        measure(record, 'hip_crease_above_knee', 'bottom', side).value,
        joints + creaseM - kneeTopM,
        1e-9,
        side,
      );
    }
    expect(joints).toBeLessThan(-0.1);
  });

  test('another lifter’s flesh is another height, of both legs alike', () => {
    const loads = makeLoads(squats(1));
    const of = (creaseM: number, kneeTopM: number) =>
      measure(
        describeLift(loads, makeRecording(), false, USUAL_ASSUMPTIONS, { ...USUAL_UNMEASURED, creaseM, kneeTopM }),
        'hip_crease_above_knee',
        'bottom',
        'both',
      ).value;
    expectClose(of(0.1, 0.05) - of(0.07, 0.05), 0.03, 1e-12);
    expectClose(of(0.07, 0.06) - of(0.07, 0.05), -0.01, 1e-12);
  });

  test('its doubt is two causes of the athlete’s own, so that it cancels between recordings of one athlete', () => {
    const flesh = segmentCauses({ id: 'A' }).causes.filter((cause) => {
      const body = unchangedBody();
      cause.changeBody?.(body, 1);
      return (
        body.unmeasured.creaseM !== USUAL_UNMEASURED.creaseM || body.unmeasured.kneeTopM !== USUAL_UNMEASURED.kneeTopM
      );
    });
    expect(flesh.map(({ key }) => key)).toEqual(['athlete/A/crease of the hip', 'athlete/A/top of the knee']);
    const body = unchangedBody();
    for (const cause of flesh) cause.changeBody!(body, 2);
    expectClose(body.unmeasured.creaseM, USUAL_UNMEASURED.creaseM + 2 * UNMEASURED_SD.creaseM, 1e-12);
    expectClose(body.unmeasured.kneeTopM, USUAL_UNMEASURED.kneeTopM + 2 * UNMEASURED_SD.kneeTopM, 1e-12);
    // A draw must not change what the next one starts from.
    expect(unchangedBody().unmeasured).toEqual(USUAL_UNMEASURED);
  });
});

test('knee bend at the bottom: thigh 20° below level over a shank 35° forward', () => {
  const record = described(makeLoads(squats(1)));
  // Thigh from knee to hip points 20° below level to the back (180 + 20), the shank from knee to ankle 90 + 35 + 180.
  const bend = 180 - (270 - 35 - (180 + 20));
  for (const side of ['both', 'left', 'right'] as const) {
    expectClose(measure(record, 'knee_flexion_bottom', 'bottom', side).value, bend, 1e-9, side);
  }
});
