import { describe, expect, test } from '@jest/globals';
import type { ViewSource } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { readView } from '../../src/capture/view-track.ts';
import { cocoResults } from './stick-lifter.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const body = write(folder, 'body.json', JSON.stringify(cocoResults(4, 17)));
const bar = write(
  folder,
  'bar.csv',
  'frame,landmark,x_px,y_px,confidence\n0,bar_left_end,7,8,0.9\n4,bar_left_end,9,10,0.2\n',
);
const view = (keypoints: string[], more: Partial<ViewSource> = {}): ViewSource => ({
  camera: 'left',
  keypoints,
  frameRateHz: 60,
  offsetS: null,
  readoutS: null,
  ...more,
});

describe('one view from several files', () => {
  const track = readView(view([body, bar]), 0.3, null);

  test('landmarks in the order of all arrays, frames up to the last one seen', () => {
    expect(track.landmarks).toHaveLength(18);
    expect(track.landmarks.at(-1)).toBe('bar_left_end');
    expect(track.frames).toBe(5);
  });

  test('seen, of low confidence, occluded', () => {
    const ends = [0, 1, 2, 3, 4].map((frame) => frame * 18 + 17);
    const { seen, occluded, lowConfidence } = SampleStatus;
    expect(ends.map((at) => track.status[at])).toEqual([seen, occluded, occluded, occluded, lowConfidence]);
    expect(ends.map((at) => track.pixel[2 * at])).toEqual([7, NaN, NaN, NaN, NaN]);
    expect(track.confidence[ends[4]]).toBe(0.2);
    expect(track.status[4 * 18]).toBe(occluded);
    expect(track.pixel[2 * 3 * 18 + 1]).toBe(203);
  });

  test('clock: what is not stated is 0', () => {
    expect(track).toMatchObject({ offsetS: 0, offsetStated: false, readoutS: 0 });
    const stated = readView(view([body], { offsetS: 0.013, readoutS: 0.018 }), 0.3, null);
    expect(stated).toMatchObject({ offsetS: 0.013, offsetStated: true, readoutS: 0.018 });
  });

  test('a stated length adds frames in which nobody was found', () => {
    expect(readView(view([body], { frames: 10 }), 0.3, null).frames).toBe(10);
  });

  test.each([
    ['a landmark twice', view([body, body]), 0.3, 'landmark-twice', { landmark: 'nose' }],
    ['frames beyond the stated', view([body], { frames: 3 }), 0.3, 'frames-beyond-stated', { lastFrame: 3, frames: 3 }],
    ['nobody sure', view([body]), 0.95, 'no-confident-landmark', { camera: 'left', best: 0.9, limit: 0.95 }],
    ['another kind of file', view([`${folder}/left.txt`]), 0.3, 'keypoint-file-kind', {}],
  ])('%s is refused', (_, source, limit, code, facts) => {
    const error = dataError(() => readView(source, limit, null));
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject(facts);
  });

  test('shares of the image are not pixels', () => {
    const shares = write(folder, 'shares.csv', 'frame,landmark,x_px,y_px,confidence\n0,left_hip,0.4,0.71,0.9\n');
    expect(dataError(() => readView(view([shares]), 0.3, null))).toMatchObject({
      code: 'keypoints-normalised',
      facts: { largest: 0.71 },
    });
  });
});
