import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from '@jest/globals';
import sharp from 'sharp';
import type { KeypointTrack, Recording } from '../../src/capture/recording.ts';
import { liftStills } from '../../src/cli/lift-stills.ts';
import { stillsWithoutConsent, stillsWithoutVideo } from '../../src/messages/stills.ts';
import type { LiftStills } from '../../src/report/stills.ts';
import { describeWithFfmpeg, ffmpeg } from '../capture/video/video-files.ts';
import { makeRecord, makeRecording } from '../study/make-record.ts';

const RATE = 60;
const OFFSET_S = 0.25;
const record = makeRecord({ repetitions: 1 });
const { parallelDescentFrame, bottomFrame } = record.repetitions[0];

function stillsOf(stills: Recording['stills'], video: string | null): Promise<LiftStills | null> {
  const view = { camera: 'left', keypoints: [], frameRateHz: RATE, offsetS: OFFSET_S, readoutS: null, video };
  const track = {
    camera: 'left',
    files: [],
    frameRateHz: RATE,
    offsetS: OFFSET_S,
    readoutS: 0,
  } as unknown as KeypointTrack;
  const recording: Recording = {
    ...makeRecording(),
    source: { kind: 'views', rig: 'rig.json', views: [view] },
    ...(stills && { stills }),
  };
  const data = { recording, tracks: [track] } as unknown as Parameters<typeof liftStills>[0]['data'];
  return liftStills({ data, record });
}

test('not asked for: nothing; without consent, or without a video: the reason, and no video is opened', async () => {
  expect(await stillsOf(undefined, 'nowhere.mp4')).toBeNull();
  expect(await stillsOf({ consent: false }, 'nowhere.mp4')).toEqual({ shown: false, reason: stillsWithoutConsent() });
  expect(await stillsOf({ consent: true }, null)).toEqual({ shown: false, reason: stillsWithoutVideo() });
});

test('a video that is not there is a reason, not an end', async () => {
  const found = await stillsOf({ consent: true }, 'nowhere.mp4');
  expect(found).toMatchObject({ shown: false, reason: expect.stringContaining('nowhere.mp4') });
});

describeWithFfmpeg('stills of a video', () => {
  const folder = mkdtempSync(join(tmpdir(), 'kneeward-stills-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  /** Frame n of the invented video is green by 8 n (of 256) and red by 200: its number can be read off its colour. */
  test('are the frames of parallel and bottom by the common clock, in colour, at most 480 px', async () => {
    const video = join(folder, 'left.mp4');
    const colour = `geq=r=200:g='mod(8*N\\,256)':b=40`;
    ffmpeg([
      ...['-f', 'lavfi', '-i', `color=black:s=960x540:r=${RATE}:d=${record.loads.frames / RATE}`],
      ...['-vf', colour, '-c:v', 'mpeg4', '-q:v', '1', '-bf', '0', video],
    ]);
    const found = await stillsOf({ consent: true }, video);
    if (!found?.shown) throw new Error(JSON.stringify(found));
    expect(found.stills.map(({ posture, width, height }) => [posture, width, height])).toEqual([
      ['parallel', 480, 270],
      ['bottom', 480, 270],
    ]);
    for (const [i, frame] of [parallelDescentFrame, bottomFrame].entries()) {
      const { jpegBase64, timeS } = found.stills[i];
      const own = frame - OFFSET_S * RATE;
      expect(timeS).toBeCloseTo(own / RATE, 3);
      const { channels } = await sharp(Buffer.from(jpegBase64, 'base64')).stats();
      // Coding as MPEG-4 and JPEG moves a flat colour by a few levels; the next frame is 8 levels on.
      expect(Math.abs(channels[1].mean - ((8 * own) % 256))).toBeLessThan(4);
      expect(channels[0].mean).toBeGreaterThan(150);
      expect(channels[2].mean).toBeLessThan(90);
    }
  });
});
