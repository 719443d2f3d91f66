import { type ChildProcessByStdio, spawn } from 'node:child_process';
import type { Readable } from 'node:stream';
import { ffmpegMissing, videoProgramFailed, videoStalled } from '../../messages/video.ts';

export type VideoProgram = 'ffmpeg' | 'ffprobe';

const VARIABLES = { ffmpeg: 'KNEEWARD_FFMPEG', ffprobe: 'KNEEWARD_FFPROBE' } as const;

/** Silence after which a program is ended, seconds: a decoder gives something long before (common practice, no source). */
export const LONGEST_SILENCE_S = 120;

/** Lines of a program's error output that a message quotes. */
const TAIL_LINES = 3;

/** A program at work: bytes from its standard output, lines from its error output. */
export interface RunningProgram {
  readonly program: VideoProgram;
  readonly child: ChildProcessByStdio<null, Readable, Readable>;
  /** Last lines of the error output, for messages. */
  lastWords(): string;
  /** All lines kept that tell of errors. */
  complaints(): readonly string[];
  /** Resolves with a description of the exit once the program has ended and all output is read: null = went well. */
  readonly ended: Promise<string | null>;
  kill(): void;
}

/** Where a program is looked for: the environment variable, else the path. */
export function programPath(program: VideoProgram): { readonly path: string; readonly variable: string | null } {
  const named = process.env[VARIABLES[program]];
  return named ? { path: named, variable: VARIABLES[program] } : { path: program, variable: null };
}

/**
 * Starts a program without a shell and without input. `onLine` sees each line of the error output first; a line for which
 * it returns true is not kept. A program that cannot be started is told by `ended` throwing ffmpeg-missing.
 */
export function start(
  program: VideoProgram,
  args: readonly string[],
  onLine?: (line: string) => boolean,
): RunningProgram {
  const { path, variable } = programPath(program);
  const child = spawn(path, args, {
    stdio: ['ignore', 'pipe', 'pipe'],
    windowsHide: true,
    env: { ...process.env, AV_LOG_FORCE_NOCOLOR: '1' },
  });
  const tail: string[] = [];
  let rest = '';
  const take = (line: string) => {
    if (line.trim() === '' || onLine?.(line)) return;
    tail.push(line.trim());
    if (tail.length > 50) tail.shift();
  };
  child.stderr.setEncoding('utf8');
  child.stderr.on('data', (text: string) => {
    const lines = (rest + text).split(/\r\n|\n|\r/);
    rest = lines.pop() ?? '';
    for (const line of lines) take(line);
  });
  watch(child);
  const ended = new Promise<string | null>((resolve, reject) => {
    child.on('error', (error) => {
      const { code } = error as NodeJS.ErrnoException;
      if (child.pid === undefined) reject(ffmpegMissing(program, path, variable, code ?? error.message));
    });
    child.on('close', (code, signal) => {
      take(rest);
      if (child.pid !== undefined) resolve(code === 0 ? null : (signal ?? `exit code ${code}`));
    });
  });
  // Whoever waits sees the error; nobody waiting must not end the whole process.
  ended.catch(() => {});
  return {
    program,
    child,
    lastWords: () => tail.slice(-TAIL_LINES).map(plainLine).join(' | '),
    complaints: () => tail.map(plainLine),
    ended,
    kill: () => void child.kill('SIGKILL'),
  };
}

/** A log line without the address of the part that wrote it, which differs at each run. */
const plainLine = (line: string): string =>
  line.replace(/^\[([^\]@]*?)\s*@ 0x[0-9a-f]+\] /, '$1: ').replace(/^\[\w+\] /, '');

/** Runs a program to its end, handing over whole lines of its output. Throws ffmpeg-missing, video-stalled, video-program-failed. */
export async function runForLines(
  file: string,
  program: VideoProgram,
  args: readonly string[],
  onLine: (line: string) => void,
  silenceS = LONGEST_SILENCE_S,
): Promise<{ readonly failure: string | null; readonly lastWords: string; readonly complaints: readonly string[] }> {
  const running = start(program, args);
  let rest = '';
  let stalled = false;
  const alarm = setTimeout(() => {
    stalled = true;
    running.kill();
  }, 1000 * silenceS);
  running.child.stdout.setEncoding('utf8');
  running.child.stdout.on('data', (text: string) => {
    alarm.refresh();
    const lines = (rest + text).split(/\r?\n/);
    rest = lines.pop() ?? '';
    for (const line of lines) onLine(line);
  });
  try {
    const failure = await running.ended;
    if (stalled) throw videoStalled(file, program, silenceS);
    if (rest !== '') onLine(rest);
    return { failure, lastWords: running.lastWords(), complaints: running.complaints() };
  } finally {
    clearTimeout(alarm);
  }
}

/** The error for a program that ended badly. */
export const programFailure = (file: string, running: RunningProgram, exit: string) =>
  videoProgramFailed(file, running.program, exit, running.lastWords());

// Programs still running when this process is ended are ended with it.

type Child = ChildProcessByStdio<null, Readable, Readable>;
const children = new Set<Child>();
const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

function watch(child: Child): void {
  if (children.size === 0) {
    process.on('exit', killAll);
    for (const signal of SIGNALS) process.on(signal, interrupted);
  }
  children.add(child);
  const forget = () => {
    if (!children.delete(child) || children.size > 0) return;
    process.off('exit', killAll);
    for (const signal of SIGNALS) process.off(signal, interrupted);
  };
  child.once('close', forget);
  child.once('error', () => child.pid === undefined && forget());
}

function killAll(): void {
  for (const child of children) child.kill('SIGKILL');
}

/** Ends the children; then the signal does to this process what it would have done without us. */
function interrupted(signal: NodeJS.Signals): void {
  killAll();
  if (process.listenerCount(signal) > 1) return;
  process.off(signal, interrupted);
  process.kill(process.pid, signal);
}

/** The option that hands every frame on with its own time stamp, neither doubled nor dropped; its name changed with ffmpeg 5.1. */
export function passthrough(version: readonly [number, number] | null): string[] {
  const isNew = version === null || version[0] > 5 || (version[0] === 5 && version[1] >= 1);
  return isNew ? ['-fps_mode', 'passthrough'] : ['-vsync', 'passthrough'];
}

const versions = new Map<string, Promise<readonly [number, number] | null>>();

/** Version of the ffmpeg program, or null for a build that carries none (built from the latest source). */
export function ffmpegVersion(file: string): Promise<readonly [number, number] | null> {
  const { path } = programPath('ffmpeg');
  const known = versions.get(path);
  if (known) return known;
  const asked = askVersion(file);
  versions.set(path, asked);
  asked.catch(() => versions.delete(path));
  return asked;
}

async function askVersion(file: string): Promise<readonly [number, number] | null> {
  let version: readonly [number, number] | null = null;
  const { failure, lastWords } = await runForLines(file, 'ffmpeg', ['-version'], (line) => {
    const found = /^ffmpeg version n?(\d+)\.(\d+)/.exec(line);
    if (found) version = [Number(found[1]), Number(found[2])];
  });
  if (failure !== null) throw videoProgramFailed(file, 'ffmpeg', failure, lastWords);
  return version;
}
