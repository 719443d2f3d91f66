import { spawn } from 'node:child_process';
import { chmodSync, existsSync, readFileSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, test } from '@jest/globals';
import { probeVideo } from '../../../src/capture/video/probe.ts';
import { ffmpegVersion, passthrough, runForLines } from '../../../src/capture/video/programs.ts';
import { readVideoFrames } from '../../../src/capture/video/read-frames.ts';
import { temporaryFolder, write } from '../written-files.ts';
import { all, describeWithFfmpeg, HEIGHT, numberedFrames, rejection, WIDTH, writeVideo } from './video-files.ts';

const folder = temporaryFolder();
const onPosix = process.platform === 'win32' ? describe.skip : describe;
afterEach(() => {
  delete process.env.KNEEWARD_FFMPEG;
  delete process.env.KNEEWARD_FFPROBE;
});

/** A program of the shell's, to stand where ffmpeg or ffprobe is looked for. */
function script(name: string, lines: string): string {
  const file = write(folder, name, `#!/bin/sh\n${lines}\n`);
  chmodSync(file, 0o755);
  return file;
}

const isAlive = (pid: number) => {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
};

async function until(done: () => boolean, limitS: number): Promise<boolean> {
  for (let waitedS = 0; waitedS < limitS && !done(); waitedS += 0.02) await new Promise((go) => setTimeout(go, 20));
  return done();
}

const clip = write(folder, 'clip.mp4', 'some bytes');

describe('programs that are not there', () => {
  test('on the path', async () => {
    const path = process.env.PATH;
    process.env.PATH = folder;
    try {
      const error = await rejection(() => probeVideo(clip));
      expect([error.code, error.facts.program]).toEqual(['ffmpeg-missing', 'ffprobe']);
    } finally {
      process.env.PATH = path;
    }
  });

  test('where the variable points; a file that is not a program', async () => {
    process.env.KNEEWARD_FFPROBE = `${folder}/nowhere/ffprobe`;
    const error = await rejection(() => probeVideo(clip));
    expect(error).toMatchObject({
      code: 'ffmpeg-missing',
      facts: { path: `${folder}/nowhere/ffprobe`, reason: 'ENOENT' },
    });
    process.env.KNEEWARD_FFMPEG = clip;
    expect((await rejection(() => ffmpegVersion(clip))).code).toBe('ffmpeg-missing');
  });
});

describe('the option for frames with their own times', () => {
  test.each([
    [[4, 4], '-vsync'],
    [[5, 0], '-vsync'],
    [[5, 1], '-fps_mode'],
    [[7, 1], '-fps_mode'],
    [null, '-fps_mode'],
  ] as const)('version %j: %s', (version, option) => {
    expect(passthrough(version)).toEqual([option, 'passthrough']);
  });
});

onPosix('programs that misbehave', () => {
  test('one that fails: its last words are in the message', async () => {
    process.env.KNEEWARD_FFPROBE = script('fails', 'echo "[mov @ 0x55dffaed3780] no such box" >&2; exit 7');
    const error = await rejection(() => probeVideo(clip));
    expect(error).toMatchObject({ code: 'video-unreadable', facts: { file: clip, lastWords: 'mov: no such box' } });
  });

  test('one that is silent is ended', async () => {
    process.env.KNEEWARD_FFPROBE = script('silent', `echo $$ > ${folder}/silent.pid; exec sleep 60`);
    const error = await rejection(() => runForLines(clip, 'ffprobe', [], () => {}, 0.5));
    expect(error).toMatchObject({ code: 'video-stalled', facts: { program: 'ffprobe', limitS: 0.5 } });
    expect(isAlive(Number(readFileSync(`${folder}/silent.pid`, 'utf8')))).toBe(false);
  });

  test('an interrupt ends the program too', async () => {
    // Whether it still runs is told by its heartbeat: a dead process keeps its number until somebody asks after it.
    const beat = `${folder}/beat`;
    const slow = script('slow', `i=0; while [ $i -lt 1200 ]; do i=$((i+1)); echo >> ${beat}; sleep 0.05; done`);
    const source = fileURLToPath(new URL('../../../src/capture/video/programs.ts', import.meta.url));
    const main = write(folder, 'main.mts', `import { start } from ${JSON.stringify(source)};\nstart('ffmpeg', []);\n`);
    const tsx = fileURLToPath(new URL('../../../node_modules/tsx/dist/loader.mjs', import.meta.url));
    const child = spawn(process.execPath, ['--import', tsx, main], {
      env: { ...process.env, KNEEWARD_FFMPEG: slow },
      stdio: 'ignore',
    });
    const ended = new Promise((resolve) => child.on('exit', (_, signal) => resolve(signal)));
    const beats = () => (existsSync(beat) ? statSync(beat).size : 0);
    const beatsOn = async () => {
      const before = beats();
      return until(() => beats() > before, 3);
    };
    try {
      expect(await until(() => beats() > 1, 60)).toBe(true);
      expect(await beatsOn()).toBe(true);
    } finally {
      child.kill('SIGTERM');
    }
    expect(await ended).toBe('SIGTERM');
    expect(await beatsOn()).toBe(false);
  });
});

describeWithFfmpeg('leaving early', () => {
  const video = writeVideo(`${folder}/long.mp4`, numberedFrames(300), { width: WIDTH, height: HEIGHT });
  const pidFile = `${folder}/decoder.pid`;
  // The first call asks for the version; the last one to write its number is the decoder.
  const wrapped = () => script('ffmpeg', `echo $$ > ${pidFile}; exec ffmpeg "$@"`);

  test('the loop left after one frame: the decoder ends', async () => {
    process.env.KNEEWARD_FFMPEG = wrapped();
    for await (const { index } of readVideoFrames(video)) {
      expect(index).toBe(0);
      break;
    }
    const pid = Number(readFileSync(pidFile, 'utf8'));
    expect(await until(() => !isAlive(pid), 5)).toBe(true);
  });

  test('a decoder that stops in the middle is ended and said', async () => {
    // One frame's bytes without the line that tells its time, then silence.
    const half = `case "$1" in -version) echo "ffmpeg version 5.1";; *) head -c ${WIDTH * HEIGHT} /dev/zero; exec sleep 60;; esac`;
    process.env.KNEEWARD_FFMPEG = script('half', half);
    const error = await rejection(() => all(readVideoFrames(video, { longestSilenceS: 0.5 })));
    expect(error.code).toBe('video-stalled');
  });
});
