import { describe, expect, test } from '@jest/globals';
import { ascentComesFirst, barIsPlaced, edgeOfRecording, needsBar, needsLandmarks } from '../../../src/messages.ts';
import { expectClose } from '../../expect-close.ts';
import {
  blend,
  DEEP,
  HEEL_X,
  hold,
  makeLoads,
  mirrored,
  moveEvenly,
  type Posture,
  STANDING,
  squats,
  TOE_X,
} from '../make-loads.ts';
import { deadlift, FLOOR, PULL } from './pulled.ts';
import { described, measure, type Placed, shoulderOf, withPoints } from './with-points.ts';

const RAD = Math.PI / 180;
const BACK: Posture = { ...STANDING, trunk: -6 };
const EVEN = [...hold(BACK, 150), ...moveEvenly(BACK, DEEP, 157), ...moveEvenly(DEEP, BACK, 143), ...hold(BACK, 150)];
const PARALLEL = blend(BACK, DEEP, 90 / 110);

/** Ears above the shoulders, eyes 0.09 m further on, at a tilt that follows the trunk: 14° in the stand, less by half of the lean. */
function head(postures: readonly Posture[]): Placed {
  const place = (z: number, aheadM: number) => (f: number) => {
    const [x, y] = shoulderOf(postures[f]);
    const tilt = (14 - postures[f].trunk / 2) * RAD;
    return [x + 0.05 + aheadM * Math.cos(tilt), y + 0.2 + aheadM * Math.sin(tilt), z] as const;
  };
  return {
    left_ear: place(-0.08, 0),
    right_ear: place(0.08, 0),
    left_eye: place(-0.03, 0.09),
    right_eye: place(0.03, 0.09),
  };
}

describe('the stand', () => {
  const record = described(makeLoads(EVEN));

  test('leaning back by 6° puts the hips ahead of the shoulders by the sine of the trunk', () => {
    expectClose(measure(record, 'lean_back', 'start').value, 6, 1e-9);
    expectClose(measure(record, 'pelvis_ahead', 'start').value, 0.5 * Math.sin(6 * RAD), 1e-9);
    const { topFrame } = record.repetitions[0];
    for (const name of ['lean_back', 'pelvis_ahead']) {
      const { frameFirst, frameLast } = measure(record, name, 'start');
      expect([frameFirst, frameLast]).toEqual([topFrame, topFrame]);
    }
  });

  test('leaning forward is negative', () => {
    const forward = described(makeLoads(squats(1, DEEP, { ...STANDING, trunk: 5 })));
    expectClose(measure(forward, 'lean_back', 'start').value, -5, 1e-9);
    expectClose(measure(forward, 'pelvis_ahead', 'start').value, -0.5 * Math.sin(5 * RAD), 1e-9);
  });

  test('without shoulders: needs them', () => {
    const found = described(makeLoads(EVEN, { without: ['left_shoulder'] }));
    expect(measure(found, 'pelvis_ahead', 'start').reason).toBe(needsLandmarks(['left_shoulder']));
    // trunk_lean is made of mid-shoulder, which names both.
    expect(measure(found, 'lean_back', 'start').reason).toBe(needsLandmarks(['left_shoulder', 'right_shoulder']));
  });

  test('a stand within the edge of the recording is not read', () => {
    const found = described(makeLoads(EVEN, { edgeFrames: 175 }));
    for (const name of ['lean_back', 'pelvis_ahead']) {
      expect(measure(found, name, 'start').reason).toBe(edgeOfRecording());
    }
  });

  test('a pull begins with no stand', () => {
    const pulled = described(makeLoads(PULL), deadlift());
    for (const name of ['lean_back', 'pelvis_ahead']) {
      expect(measure(pulled, name, 'start').reason).toBe(ascentComesFirst());
    }
  });
});

describe('head tilt', () => {
  const record = described(withPoints(makeLoads(EVEN), head(EVEN)));

  test('is the angle the head was given, at start, parallel and bottom', () => {
    expectClose(measure(record, 'head_tilt', 'start').value, 17, 1e-9);
    for (const at of ['parallel descent', 'parallel ascent', 'parallel']) {
      expectClose(measure(record, 'head_tilt', at).value, 14 - PARALLEL.trunk / 2, 1e-9, at);
    }
    expectClose(measure(record, 'head_tilt', 'bottom').value, 14 - DEEP.trunk / 2, 1e-9);
  });

  test('face down is negative; a mirror changes nothing', () => {
    const down = withPoints(makeLoads(EVEN), {
      ...head(EVEN),
      left_eye: (f) => [shoulderOf(EVEN[f])[0] + 0.13, shoulderOf(EVEN[f])[1] + 0.15, -0.03],
      right_eye: (f) => [shoulderOf(EVEN[f])[0] + 0.13, shoulderOf(EVEN[f])[1] + 0.15, 0.03],
    });
    const tilt = measure(described(down), 'head_tilt', 'bottom').value;
    expectClose(tilt, Math.atan2(-0.05, 0.08) / RAD, 1e-9);
    expectClose(measure(described(mirrored(down)), 'head_tilt', 'bottom').value, tilt, 1e-9);
  });

  test('needs ears and eyes', () => {
    const { reason } = measure(described(makeLoads(EVEN)), 'head_tilt', 'start');
    expect(reason).toBe(needsLandmarks(['left_ear', 'right_ear', 'left_eye', 'right_eye']));
    const { left_eye: _, ...oneEye } = head(EVEN);
    expect(measure(described(withPoints(makeLoads(EVEN), oneEye)), 'head_tilt', 'start').reason).toBe(
      needsLandmarks(['left_eye']),
    );
  });

  test('a pull has a head too', () => {
    const pulled = described(withPoints(makeLoads(PULL), head(PULL)), deadlift());
    expectClose(measure(pulled, 'head_tilt', 'start').value, 14 - FLOOR.trunk / 2, 1);
  });
});

describe('bar over mid-foot', () => {
  const middle = (HEEL_X + TOE_X) / 2;
  const record = described(makeLoads(EVEN));
  // The bar of the hand-made lifter lies at mid-shoulder.
  const ahead = (p: Posture) => shoulderOf(p)[0] - middle;

  test('is its distance ahead of the middle of heels and toes', () => {
    expectClose(measure(record, 'bar_over_midfoot', 'start').value, ahead(BACK), 1e-9);
    expectClose(measure(record, 'bar_over_midfoot', 'bottom').value, ahead(DEEP), 1e-9);
    // 0.7° a frame between two frames: the chord of an arc of half a metre is off by less than 1e-5.
    expectClose(measure(record, 'bar_over_midfoot', 'parallel').value, ahead(PARALLEL), 1e-4);
  });

  test('one foot 4 cm ahead moves the middle by 2 cm', () => {
    const staggered = described(
      makeLoads(EVEN, {
        moved: (name, [x, y, z]) => (/^left_(heel|big_toe)$/.test(name) ? [x + 0.04, y, z] : [x, y, z]),
      }),
    );
    expectClose(measure(staggered, 'bar_over_midfoot', 'start').value, ahead(BACK) - 0.02, 1e-9);
  });

  test('a bar that is only placed, none at all, and missing feet are said', () => {
    const reason = (options: Parameters<typeof makeLoads>[1]) =>
      measure(described(makeLoads(EVEN, options)), 'bar_over_midfoot', 'bottom').reason;
    expect(reason({ barPlacedBy: 'at the shoulders' })).toBe(barIsPlaced('at the shoulders'));
    expect(reason({ barMassKg: 0 })).toBe(needsBar());
    expect(reason({ without: ['right_heel', 'left_big_toe'] })).toBe(needsLandmarks(['right_heel', 'left_big_toe']));
  });

  test('at the start of a pull: where the bar stands over the feet on the floor', () => {
    const pulled = described(makeLoads(PULL), deadlift());
    expectClose(measure(pulled, 'bar_over_midfoot', 'bottom').value, shoulderOf(FLOOR)[0] - middle, 1e-3);
    expect(measure(pulled, 'bar_over_midfoot', 'start').reason).toBe('');
  });
});
