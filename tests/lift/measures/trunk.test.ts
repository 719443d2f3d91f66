import { describe, expect, test } from '@jest/globals';
import type { Landmark } from '../../../src/capture/landmarks.ts';
import { describeLift } from '../../../src/lift/describe-lift.ts';
import type { JointLoads } from '../../../src/mechanics/joint-loads.ts';
import { ascentComesFirst, needsLandmarks, pelvisTiltUnseen } from '../../../src/messages.ts';
import { expectClose } from '../../expect-close.ts';
import {
  blend,
  DEEP,
  hold,
  makeLoads,
  makeRecording,
  mirrored,
  move,
  moveEvenly,
  type Point,
  type Posture,
  STANDING,
  squats,
  statics,
} from '../make-loads.ts';
import { beforeFit } from './before-fit.ts';
import { depthOf, EVEN, HELD_DEPTH } from './even-squat.ts';
import { deadlift, PULL } from './pulled.ts';
import { described, measure, type Placed, shoulderOf, withPoints } from './with-points.ts';

const RAD = Math.PI / 180;

describe('depth of the largest lean', () => {
  /** Leans most at 20° above parallel and keeps its lean from there to the bottom, less by `lessDeg`. */
  const most: Posture = { ...blend(STANDING, DEEP, 70 / 110), trunk: 45 };
  const leaning = (lessDeg: number) => {
    const deep = { ...DEEP, trunk: 45 - lessDeg };
    return [
      ...hold(STANDING, 150),
      ...moveEvenly(STANDING, most, 80),
      ...moveEvenly(most, deep, 60),
      ...moveEvenly(deep, most, 60),
      ...moveEvenly(most, STANDING, 80),
      ...hold(STANDING, 150),
    ];
  };

  test('is the thigh elevation where the trunk leans most, on the way down and up alike', () => {
    const postures = leaning(15);
    const record = described(makeLoads(postures));
    const { descent, ascent } = record.repetitions[0];
    let weights = 0;
    let sum = 0;
    for (const { trunk, thigh } of postures.slice(descent!.from, ascent!.to)) {
      const weight = Math.max(0, trunk - 43);
      weights += weight;
      sum += weight * thigh;
    }
    const { value, frameFirst, frameLast } = measure(record, 'largest_lean_depth', 'largest');
    expectClose(value, sum / weights, 1e-9);
    // 2° below the largest lean lie 4° of thigh above and 5° below it, weighed to about a third.
    expectClose(value, 20, 2, 'near the elevation it was given');
    expect(postures[frameFirst].trunk).toBeGreaterThan(43);
    expect(postures[frameLast].trunk).toBeGreaterThan(43);
    expect(frameLast).toBeGreaterThan(record.repetitions[0].bottomFrame);
  });

  test('a lean that grows to the bottom is largest there', () => {
    const { value } = measure(described(makeLoads(EVEN)), 'largest_lean_depth', 'largest');
    // Within 2° of lean lie 7.3° of thigh; weighed, a third of them.
    expectClose(value, DEEP.thigh + (2 * (110 / 30)) / 3, 0.5);
  });

  test('noise of half a degree moves it by little where the one largest frame would jump from side to side', () => {
    const found = [1, 2, 3, 4, 5, 6].map((seed) => {
      const noisy = described(makeLoads(leaning(0.5), { noiseM: 0.003, seed }));
      return measure(noisy, 'largest_lean_depth', 'largest').value;
    });
    expect(Math.max(...found) - Math.min(...found)).toBeLessThan(12);
  });

  test('needs hips, knees and shoulders; a pull has one too', () => {
    const reason = (absent: Landmark) =>
      measure(described(makeLoads(EVEN, { without: [absent] })), 'largest_lean_depth', 'largest').reason;
    expect(reason('left_knee')).toBe(needsLandmarks(['left_knee']));
    // trunk_lean is made of mid-shoulder, which names both.
    expect(reason('left_shoulder')).toBe(needsLandmarks(['left_shoulder', 'right_shoulder']));
    expect(measure(described(makeLoads(PULL), deadlift()), 'largest_lean_depth', 'largest').reason).toBe('');
  });
});

describe('the line of the trunk shortens', () => {
  /** The shoulders sink along the trunk by a share of its length that grows evenly with depth to 10 %. */
  const sunk = (postures: readonly Posture[]) => (name: string, place: Point, f: number) => {
    if (!name.endsWith('shoulder')) return place;
    const { hipX, hipY } = statics(postures[f]);
    const [x, y] = shoulderOf(postures[f]);
    const left = 1 - 0.1 * depthOf(postures[f]);
    return [hipX + left * (x - hipX), hipY + left * (y - hipY), place[2]] as const;
  };

  test('by the share that was taken from it; largest as held', () => {
    const record = described(makeLoads(EVEN, { moved: sunk(EVEN) }));
    expectClose(measure(record, 'chord_shortening', 'bottom').value, 0.1, 1e-9);
    expectClose(measure(record, 'chord_shortening', 'largest').value, 0.1 * HELD_DEPTH, 1e-9);
  });

  test('a straight trunk stays as long, a longer one is negative', () => {
    expectClose(measure(described(makeLoads(EVEN)), 'chord_shortening', 'bottom').value, 0, 1e-12);
    const longer = (name: string, place: Point, f: number) => {
      const [x, y, z] = sunk(EVEN)(name, place, f);
      return [2 * place[0] - x, 2 * place[1] - y, z] as const;
    };
    const found = described(makeLoads(EVEN, { moved: longer }));
    expectClose(measure(found, 'chord_shortening', 'bottom').value, -0.1, 1e-9);
  });

  test('is read from the points before limbs were fitted', () => {
    const at = (z: number) => (f: number) => {
      const [x, y] = sunk(EVEN)('left_shoulder', [0, 0, z], f);
      return [x, y, z] as const;
    };
    const loads = beforeFit(makeLoads(EVEN), { left_shoulder: at(-0.18), right_shoulder: at(0.18) });
    expectClose(measure(described(loads), 'chord_shortening', 'bottom').value, 0.1, 1e-9);
  });

  test('unknown in a pull, and without shoulders', () => {
    const pulled = described(makeLoads(PULL), deadlift());
    const bare = described(makeLoads(EVEN, { without: ['right_shoulder'] }));
    for (const at of ['bottom', 'largest']) {
      expect(measure(pulled, 'chord_shortening', at).reason).toBe(ascentComesFirst());
      expect(measure(bare, 'chord_shortening', at).reason).toBe(needsLandmarks(['right_shoulder']));
    }
  });
});

describe('rounding of the back', () => {
  /** mid_back half-way up the trunk, neck_base at an angle beyond it that grows evenly with depth from 8 to 28°. */
  const back = (postures: readonly Posture[]): Placed => {
    const middle = (f: number) => {
      const { hipX, hipY } = statics(postures[f]);
      const lean = postures[f].trunk * RAD;
      return [hipX + 0.25 * Math.sin(lean), hipY + 0.25 * Math.cos(lean), 0] as const;
    };
    return {
      mid_back: middle,
      neck_base: (f) => {
        const [x, y] = middle(f);
        const lean = (postures[f].trunk + 8 + 20 * depthOf(postures[f])) * RAD;
        return [x + 0.27 * Math.sin(lean), y + 0.27 * Math.cos(lean), 0];
      },
    };
  };
  const loads = withPoints(makeLoads(EVEN), back(EVEN));

  test('is the bend at mid-back that the squat adds to the stand; largest as held', () => {
    const record = described(loads);
    expectClose(measure(record, 'trunk_rounding', 'bottom').value, 20, 1e-9);
    expectClose(measure(record, 'trunk_rounding', 'largest').value, 20 * HELD_DEPTH, 1e-9);
    expectClose(measure(described(mirrored(loads)), 'trunk_rounding', 'bottom').value, 20, 1e-9);
  });

  test('needs mid_back and neck_base; unknown in a pull', () => {
    const { mid_back: _, ...neckOnly } = back(EVEN);
    for (const at of ['bottom', 'largest']) {
      expect(measure(described(makeLoads(EVEN)), 'trunk_rounding', at).reason).toBe(
        needsLandmarks(['mid_back', 'neck_base']),
      );
      expect(measure(described(withPoints(makeLoads(EVEN), neckOnly)), 'trunk_rounding', at).reason).toBe(
        needsLandmarks(['mid_back']),
      );
      const pulled = described(withPoints(makeLoads(PULL), back(PULL)), deadlift());
      expect(measure(pulled, 'trunk_rounding', at).reason).toBe(ascentComesFirst());
    }
  });
});

describe('pelvic tuck', () => {
  /** A pelvis tilted forward by 12° in the stand and by 12° less `tuck` at the bottom, evenly between. */
  const tucked = (postures: readonly Posture[], tuck: number): JointLoads => {
    const asis = (z: number) => (f: number) =>
      [statics(postures[f]).hipX + 0.08, statics(postures[f]).hipY + 0.1, z] as const;
    const loads = withPoints(makeLoads(postures), { left_asis: asis(-0.12), right_asis: asis(0.12) });
    const labFromPart = new Float64Array(9 * loads.frames);
    postures.forEach((p, f) => {
      const tilt = (12 - tuck * depthOf(p)) * RAD;
      // Front down: X of the pelvis points forward and down.
      labFromPart.set([Math.cos(tilt), Math.sin(tilt), 0, -Math.sin(tilt), Math.cos(tilt), 0, 0, 0, 1], 9 * f);
    });
    const pelvis = { labFromPart, fixedBy: 'made', unknownBecause: 'made' };
    return { ...loads, motion: { ...loads.motion, attitudes: { pelvis } } };
  };

  test('is how much less the pelvis is tilted forward at the bottom than in the stand', () => {
    expectClose(measure(described(tucked(EVEN, 9)), 'pelvic_tuck', 'bottom').value, 9, 1e-9);
    expectClose(measure(described(tucked(EVEN, -5)), 'pelvic_tuck', 'bottom').value, -5, 1e-9);
  });

  test('hips alone do not show it; a pull has no stand before it', () => {
    expect(measure(described(makeLoads(EVEN)), 'pelvic_tuck', 'bottom').reason).toBe(pelvisTiltUnseen());
    const pulled = described(tucked(PULL, 5), deadlift());
    expect(measure(pulled, 'pelvic_tuck', 'bottom').reason).toBe(ascentComesFirst());
  });

  test('the reason without markers is that of the frame quantity', () => {
    const record = describeLift(makeLoads(EVEN), makeRecording());
    const tilt = record.quantities.find(({ quantity }) => quantity === 'pelvis_tilt')!;
    expect(measure(record, 'pelvic_tuck', 'bottom').reason).toBe(tilt.reason);
  });
});

test('a squat that is only a bow has its largest lean where it was put', () => {
  const bow: Posture = { shank: 5, thigh: 20, trunk: 60 };
  const postures = [...squats(1, bow).slice(0, 310), ...move(bow, STANDING, 120), ...hold(STANDING, 150)];
  const { value } = measure(described(makeLoads(postures)), 'largest_lean_depth', 'largest');
  expectClose(value, bow.thigh, 1.5);
});
