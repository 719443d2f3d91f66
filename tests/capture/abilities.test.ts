import { describe, expect, test } from '@jest/globals';
import { abilities } from '../../src/capture/abilities.ts';
import { LANDMARKS, type Landmark } from '../../src/capture/landmarks.ts';
import {
  type BarPosition,
  DEFAULT_SETTINGS,
  type ForcePlateTrack,
  type KeypointTrack,
  type RecordingData,
} from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';

const COCO = LANDMARKS.slice(0, 17);
const FEET = LANDMARKS.slice(17, 23);
const LEGS = LANDMARKS.slice(11, 17);

function data(
  seen: readonly (readonly Landmark[])[],
  feet: readonly ('left' | 'right' | 'both')[] = [],
  totalKg = 60,
  position: BarPosition = 'front rack',
): RecordingData {
  const track = (landmarks: readonly Landmark[]) =>
    ({ landmarks, status: new Uint8Array(landmarks.length).fill(SampleStatus.seen) }) as unknown as KeypointTrack;
  return {
    recording: { load: { totalKg, bar: { position } }, settings: DEFAULT_SETTINGS },
    tracks: seen.map(track),
    points: null,
    forcePlates: feet.map((foot) => ({ foot }) as ForcePlateTrack),
  } as unknown as RecordingData;
}
const both = (landmarks: readonly Landmark[], ...rest: [('left' | 'right' | 'both')[]?, number?, BarPosition?]) =>
  abilities(data([landmarks, landmarks], ...rest));
const why = (found: ReturnType<typeof abilities>, what: string) =>
  found.cannot.find((entry) => entry.what.includes(what))?.why;
const can = (found: ReturnType<typeof abilities>, what: string) => found.can.some((entry) => entry.includes(what));

describe('what a recording allows', () => {
  test('17 COCO points have no heel or toe: no foot measures', () => {
    const found = both(COCO);
    expect(why(found, 'foot measures')).toMatch(/left_heel, right_heel, left_big_toe, right_big_toe.*17 COCO/);
    expect(can(found, 'summed from the bar down')).toBe(true);
    expect(can(both([...COCO, ...FEET]), 'foot measures')).toBe(true);
  });

  test('one view gives nothing in 3D', () => {
    const found = abilities(data([COCO]));
    expect(found.can).toHaveLength(1);
    expect(why(found, 'anything in 3D')).toMatch(/one view/);
  });

  test('a landmark counts where two views see it', () => {
    const found = abilities(data([[...COCO, ...FEET], COCO]));
    expect(why(found, 'foot measures')).toMatch(/left_heel/);
    const unseen = data([COCO, COCO]);
    unseen.tracks![1].status[COCO.indexOf('left_knee')] = SampleStatus.lowConfidence;
    expect(why(abilities(unseen), 'joint moments')).toBe('needs left_knee');
  });

  test('legs and force plates, no upper body: from below only', () => {
    const found = both([...LEGS, ...FEET], ['left', 'right']);
    expect(can(found, 'measured ground force up')).toBe(true);
    expect(can(found, 'moments of each leg')).toBe(true);
    expect(can(found, 'summed from the bar down')).toBe(false);
    expect(why(found, 'summed from above')).toMatch(/left_shoulder, right_shoulder/);
    expect(why(found, 'trunk lean')).toMatch(/shoulder/);
  });

  test('legs alone: no joint moment at all', () => {
    expect(why(both(LEGS), 'any joint moment')).toMatch(/neither/);
  });

  test.each([
    [[], /no force plates/],
    [['both'], /sum/],
    [['left'], /only the left foot/],
  ] as const)('force plates under %j do not measure each leg', (feet, reason) => {
    expect(why(both(COCO, [...feet]), 'each leg')).toMatch(reason);
  });

  test('one force plate under both feet allows the check against force', () => {
    expect(can(both(COCO, ['both']), 'check of the moments')).toBe(true);
    expect(can(both(COCO, ['left']), 'check of the moments')).toBe(false);
  });

  test('no bar ends: the bar is placed, and the reader is told where', () => {
    expect(why(both(COCO), 'bar path')).toMatch(/offset from the shoulders/);
    expect(why(both(COCO, [], 60, 'hands'), 'bar path')).toMatch(/offset from the hands/);
    expect(why(both(COCO, [], 0, 'none'), 'bar path')).toBeUndefined();
    expect(can(both([...COCO, 'bar_left_end', 'bar_right_end']), 'bar path')).toBe(true);
    expect(why(both([...COCO, 'bar_left_end']), 'bar path')).toMatch(/needs bar_right_end/);
  });

  test('rounding of the back needs mid_back and neck_base; pelvic tuck needs the pelvis', () => {
    expect(why(both(COCO), 'rounding')).toBe('needs mid_back, neck_base');
    expect(can(both([...COCO, 'mid_back', 'neck_base']), 'rounding')).toBe(true);
    expect(why(both(COCO), 'pelvic tuck')).toMatch(/pelvis/);
    expect(can(both(LANDMARKS), 'pelvic tuck')).toBe(true);
  });

  test('head and arms that are not seen are put somewhere, and that is said', () => {
    const found = both([...LEGS, 'left_shoulder', 'right_shoulder']);
    expect(why(found, 'place of the head')).toMatch(/head or ears/);
    expect(why(found, 'place of the arms')).toMatch(/left_elbow, right_elbow, left_wrist, right_wrist/);
    expect(why(both(COCO), 'place of the')).toBeUndefined();
  });

  test('3D points are taken as measured', () => {
    const seen = data([COCO]);
    const points = seen.tracks![0] as unknown as RecordingData['points'];
    expect(can(abilities({ ...seen, tracks: null, points }), '17 landmarks, as measured')).toBe(true);
  });
});
