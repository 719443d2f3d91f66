import { describe, expect, test } from '@jest/globals';
import { frameTime, nearestFrame } from '../../src/capture/frame-time.ts';
import { readFrameTimes } from '../../src/capture/frame-times-csv.ts';
import { loadRecording } from '../../src/capture/load-recording.ts';
import type { ViewSource } from '../../src/capture/recording.ts';
import { frameTimesCsv } from '../../src/capture/video/frame-times.ts';
import { readView } from '../../src/capture/view-track.ts';
import { expectAllClose } from '../expect-close.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const table = (times: readonly number[]) =>
  `frame,time_s\n${times.map((time, frame) => `${frame},${time}`).join('\n')}\n`;
const keypoints = (name: string, frames: number) => {
  const rows = Array.from({ length: frames }, (_, frame) => `${frame},left_hip,${100 + frame},200,0.9`);
  return write(folder, name, `frame,landmark,x_px,y_px,confidence\n${rows.join('\n')}\n`);
};

describe('a table of frame times', () => {
  test('counts from frame 0', () => {
    const file = write(folder, 'times.csv', table([0.021, 0.054, 0.121, 0.154]));
    expectAllClose(readFrameTimes(file, 30, null), [0, 0.033, 0.1, 0.133], 1e-12, 'time, s');
  });

  test('made from a video, read again to the nanosecond', () => {
    const timesS = Float64Array.from({ length: 50 }, (_, n) => (n * 1001) / 60000);
    const file = write(folder, 'made.csv', frameTimesCsv({ file: 'clip.mp4', timesS, slowMotion: null }));
    expectAllClose(readFrameTimes(file, 59.94, null), timesS, 0.51e-9, 'time, s');
  });

  test('slow motion is refused, or taken as filmed when asked', () => {
    const info = {
      file: 'slow.mp4',
      timesS: Float64Array.of(0, 1 / 30, 2 / 30),
      slowMotion: { captureHz: 240, playHz: 30, tag: '' },
    };
    expect(dataError(() => frameTimesCsv(info))).toMatchObject({
      code: 'video-slow-motion',
      facts: { captureHz: 240 },
    });
    const file = write(folder, 'slow.csv', frameTimesCsv(info, { asFilmed: true }));
    expectAllClose(readFrameTimes(file, 240, null), [0, 1 / 240, 2 / 240], 0.51e-9, 'time, s');
  });

  test.each([
    ['a frame left out', 'frame,time_s\n0,0\n2,0.066\n', 'frame-times-not-in-order', { line: 3, frame: 2, due: 1 }],
    ['time that stands still', table([0, 0.03, 0.03]), 'frame-times-not-rising', { line: 4, timeS: 0.03 }],
    ['milliseconds', table([0, 33, 67, 100]), 'frame-times-rate', { statedHz: 30 }],
    ['slow motion', table([0, 0.26, 0.53]), 'frame-times-rate', { limit: 0.1 }],
  ])('%s is refused', (_, text, code, facts) => {
    const file = write(folder, 'wrong.csv', text);
    expect(dataError(() => readFrameTimes(file, 30, null))).toMatchObject({ code, facts: { file, ...facts } });
  });
});

describe('time of a frame, frame of a time', () => {
  const plain = { offsetS: 0.5, frameRateHz: 50 };
  const stamped = { ...plain, frameTimesS: Float64Array.of(0, 0.02, 0.05, 0.06) };

  test('with and without time stamps', () => {
    expectAllClose(
      [0, 1, 2, 3].map((frame) => frameTime(plain, frame)),
      [0.5, 0.52, 0.54, 0.56],
      1e-15,
      'plain, s',
    );
    expectAllClose(
      [0, 1, 2, 3].map((frame) => frameTime(stamped, frame)),
      [0.5, 0.52, 0.55, 0.56],
      1e-15,
      'stamped, s',
    );
  });

  test('the nearest frame', () => {
    const near = [0.4, 0.5, 0.534, 0.536, 0.551, 0.558, 9];
    expect(near.map((timeS) => nearestFrame(stamped, timeS))).toEqual([0, 0, 1, 2, 2, 3, 3]);
    expect(near.slice(0, 4).map((timeS) => nearestFrame(plain, timeS))).toEqual([-5, 0, 2, 2]);
  });
});

describe('a view with frame times', () => {
  const view = (more: Partial<ViewSource>): ViewSource => ({
    camera: 'left',
    keypoints: [keypoints('left.csv', 3)],
    frameRateHz: 30,
    offsetS: null,
    readoutS: null,
    ...more,
  });
  const four = write(folder, 'four.csv', table([1, 1.033, 1.1, 1.133]));

  test('has as many frames as times', () => {
    const track = readView(view({ frameTimes: four }), 0.3, null);
    expect(track.frames).toBe(4);
    expectAllClose(track.frameTimesS!, [0, 0.033, 0.1, 0.133], 1e-12, 'time, s');
    expect('frameTimesS' in readView(view({}), 0.3, null)).toBe(false);
  });

  test.each([
    ['another stated length', { frameTimes: four, frames: 5 }, 'frame-times-count', { times: 4, stated: 5 }],
    [
      'too few times',
      { frameTimes: four, keypoints: [keypoints('six.csv', 6)] },
      'frame-times-too-few',
      { lastFrame: 5 },
    ],
  ])('%s is refused', (_, more, code, facts) => {
    expect(dataError(() => readView(view(more), 0.3, null))).toMatchObject({ code, facts });
  });
});

describe('in a recording file', () => {
  const recording = (name: string, right: string) => {
    const text = [
      'kneeward: 1',
      'recording: timed',
      'athlete: { id: A, mass_kg: 70 }',
      'lift: { kind: front squat }',
      'load: { total_kg: 0 }',
      'rig: rig.json',
      'views:',
      '  - { camera: left, keypoints: [a.csv], frame_rate_hz: 30, frame_times: left-times.csv }',
      `  - { camera: right, keypoints: [b.csv], frame_rate_hz: 30${right} }`,
    ];
    return write(folder, name, `${text.join('\n')}\n`);
  };
  write(folder, 'rig.json', '{}');
  write(folder, 'left-times.csv', table([0, 0.033, 0.1, 0.133]));
  keypoints('a.csv', 4);
  keypoints('b.csv', 5);

  test('the path is taken from its folder, the table is among the inputs', () => {
    const { tracks, inputs } = loadRecording(recording('timed.yaml', ''));
    // Four frames over 0.133 s and five at 30 a second last equally long.
    expect(tracks!.map((track) => track.frames)).toEqual([4, 5]);
    expectAllClose(tracks![0].frameTimesS!, [0, 0.033, 0.1, 0.133], 1e-12, 'time, s');
    expect(inputs.map(({ file }) => file)).toContain('left-times.csv');
  });

  test('views of unequal length must state their shift', () => {
    const error = dataError(() => loadRecording(recording('longer.yaml', ', frames: 8')));
    expect([error.code, error.facts.cameraB]).toEqual(['view-lengths-unequal', 'right']);
    expect(loadRecording(recording('shifted.yaml', ', frames: 8, offset_s: 0')).tracks).toHaveLength(2);
  });
});
