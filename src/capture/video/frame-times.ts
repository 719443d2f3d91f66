import { videoSlowMotion } from '../../messages/video.ts';
import type { VideoInfo } from './probe.ts';

/**
 * Table `frame,time_s` of a video's true presentation times, seconds since frame 0, to nanoseconds: what a recording's
 * `frame_times` reads. Throws video-slow-motion for a file whose tags say that it plays slower than it was filmed, unless
 * `asFilmed` asks for its times divided by that factor (which holds only where all of it plays slowly).
 */
export function frameTimesCsv(
  info: Pick<VideoInfo, 'file' | 'timesS' | 'slowMotion'>,
  { asFilmed = false }: { readonly asFilmed?: boolean } = {},
): string {
  const { slowMotion } = info;
  if (slowMotion && !asFilmed) throw videoSlowMotion(info.file, slowMotion.captureHz, slowMotion.playHz);
  const factor = slowMotion ? slowMotion.playHz / slowMotion.captureHz : 1;
  const rows = Array.from(info.timesS, (timeS, frame) => `${frame},${(timeS * factor).toFixed(9)}`);
  return `frame,time_s\n${rows.join('\n')}\n`;
}
