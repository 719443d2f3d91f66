import type { Command } from 'commander';
import { frameTimesCsv } from '../capture/video/frame-times.ts';
import { probeVideo } from '../capture/video/probe.ts';
import { frameTimesWritten } from '../messages/calibrate.ts';
import { placeOption } from './place-option.ts';
import { writeFile } from './write-files.ts';

/** Hooks `frame-times` onto the command line. */
export function registerFrameTimes(program: Command): void {
  program
    .command('frame-times')
    .description(
      'True times of a video’s frames, for frame_times in a recording: phones do not film evenly. Needs ffmpeg.',
    )
    .argument('<video>', 'video file, unchanged as the phone wrote it')
    .option('--out <file>', 'CSV frame,time_s to write (default: to stdout)', placeOption)
    .addHelpText('after', '\nExample:\n  kneeward frame-times left.mp4 --out left-times.csv')
    .action(async (video: string, given) => {
      const info = await probeVideo(video);
      const table = frameTimesCsv(info);
      if (given.out === undefined) process.stdout.write(table);
      else {
        writeFile(given.out, table);
        process.stdout.write(`${frameTimesWritten(given.out, info.frames, info.averageHz)}\n`);
      }
    });
}
