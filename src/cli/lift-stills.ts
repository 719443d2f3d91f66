import sharp from 'sharp';
import { nearestFrame } from '../capture/frame-time.ts';
import type { KeypointTrack } from '../capture/recording.ts';
import { probeVideo } from '../capture/video/probe.ts';
import { readColourFramesAt } from '../capture/video/read-frames.ts';
import { DataError } from '../errors.ts';
import { stillsWithoutConsent, stillsWithoutRepetition, stillsWithoutVideo } from '../messages/stills.ts';
import type { LiftStills, Still } from '../report/stills.ts';
import { shownRepetition } from '../study/postures.ts';
import type { Analysis } from './analyse-recording.ts';

/** Longer side of a still, pixels: enough to know a posture, and small in a file that is handed on. */
const LONGEST_SIDE_PX = 480;
/** Views whose stills are shown. */
const MOST_VIEWS = 2;
/** JPEG quality, 1–100 (common practice, no source). */
const QUALITY = 78;

/**
 * Pictures of the user's own videos at parallel and bottom of the repetition that stands for the set. Only where the
 * recording asks for them and states consent: otherwise no video is opened. null where none were asked for; a video that
 * cannot be used is a reason, not an end of the analysis.
 */
export async function liftStills({ data, record }: Pick<Analysis, 'data' | 'record'>): Promise<LiftStills | null> {
  const { recording, tracks } = data;
  if (!recording.stills) return null;
  if (!recording.stills.consent) return { shown: false, reason: stillsWithoutConsent() };
  const repetition = shownRepetition(record);
  if (!repetition) return { shown: false, reason: stillsWithoutRepetition() };
  const { source } = recording;
  const views = source.kind === 'views' ? source.views.filter(({ video }) => video) : [];
  if (views.length === 0 || !tracks) return { shown: false, reason: stillsWithoutVideo() };
  const { startS, frameRateHz } = record.loads;
  const places = (
    [
      ['parallel', repetition.parallelDescentFrame],
      ['bottom', repetition.bottomFrame],
    ] as const
  )
    .filter(([, frame]) => frame >= 0)
    .map(([posture, frame]) => ({ posture, timeS: startS + frame / frameRateHz }));
  try {
    const stills: Still[] = [];
    for (const { camera, video } of views.slice(0, MOST_VIEWS)) {
      const track = tracks.find((one) => one.camera === camera);
      if (track && video) stills.push(...(await stillsOf(video, track, places)));
    }
    return { shown: true, stills };
  } catch (error) {
    if (!(error instanceof DataError)) throw error;
    return { shown: false, reason: error.message.replace(/\.$/, '') };
  }
}

interface Place {
  readonly posture: Still['posture'];
  /** On the recording's common clock, seconds. */
  readonly timeS: number;
}

async function stillsOf(video: string, track: KeypointTrack, places: readonly Place[]): Promise<Still[]> {
  const info = await probeVideo(video);
  const { width, height } = info.uprightSize;
  const widest = Math.round(Math.min(LONGEST_SIDE_PX, (LONGEST_SIDE_PX * width) / height));
  // A row in the middle of the picture is read half the readout time after its first one.
  const frames = places.map(({ timeS }) => nearestFrame(track, timeS - track.readoutS / 2));
  const stills: Still[] = [];
  for await (const { index, timeS, width: w, height: h, rgb } of readColourFramesAt(info, frames, widest)) {
    const jpeg = await sharp(rgb, { raw: { width: w, height: h, channels: 3 } })
      .jpeg({ quality: QUALITY })
      .toBuffer();
    for (const [i, { posture }] of places.entries()) {
      if (frames[i] !== index) continue;
      stills.push({
        posture,
        camera: track.camera,
        timeS,
        width: w,
        height: h,
        jpegBase64: jpeg.toString('base64'),
      });
    }
  }
  return stills;
}
