import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { CameraRig } from '../../src/cameras/rig.ts';
import { parseRig } from '../../src/cameras/rig-file.ts';
import { loadRecording } from '../../src/capture/load-recording.ts';
import type { RecordingData } from '../../src/capture/recording.ts';
import type { Course } from '../synthetic/course.ts';
import { courseOf } from '../synthetic/course.ts';
import { DEMO_BUILDS, demoFilming, demoRecording, equipmentOf, HIP_LED } from '../synthetic/demo.ts';
import { type FilmedView, film } from '../synthetic/film.ts';
import { virtualLift } from '../synthetic/lift.ts';
import { lifterOf } from '../synthetic/lifter.ts';
import { BAR_ENDS, keypointCsv, recordingFiles, rigFile, type SyntheticFile } from '../synthetic/write.ts';

/** One set of the benchmarks: three repetitions in 12 s, 26 landmarks, two views with distorted lenses. */
export const SET_S = 12;
const CSV_LANDMARKS = [...BAR_ENDS, 'head'] as const;

/**
 * Files of an invented recording that holds the same set of three repetitions `sets` times over, one behind the other, with
 * the noise of a detector. No one was filmed.
 */
export function madeRecordingFiles(frameRateHz: number, sets = 1): SyntheticFile[] {
  const [, build] = DEMO_BUILDS;
  const plan = {
    repetitions: 3,
    descentS: 1.4,
    pauseS: 0.2,
    ascentS: 1.4,
    leadInS: 1,
    restS: 0.5,
    leadOutS: 1.5,
    sticking: 0.35,
  };
  const course = courseOf(plan, 12);
  const setup = { lifter: lifterOf(build, 'outside'), style: HIP_LED, equipment: equipmentOf(build.sex, 100, 'flat') };
  const filming = demoFilming(demoRecording('A02-hips-flat'));
  const views = film(virtualLift(setup, course), {
    ...filming,
    frameRateHz,
    landmarks: [...filming.landmarks, 'head'],
  });
  const repeated: Course = { ...course, repetitions: Array(sets).fill(course.repetitions).flat() };
  const tiled = views.map((view) => tile(view, sets));
  const header = {
    id: 'made',
    date: null,
    condition: { sets: `${sets}` },
    rig: 'rig.json',
    settings: [],
    forcePlates: false,
  };
  const files = recordingFiles(virtualLift(setup, repeated), tiled, header).map((file) => {
    const view = tiled.find(({ camera }) => file.path === `${camera.name}-bar.csv.gz`);
    return view ? { path: file.path, text: keypointCsv(view, CSV_LANDMARKS, 2) } : file;
  });
  return [...files, { path: 'rig.json', text: rigFile(views.map(({ camera }) => camera)) }];
}

/** The first SET_S seconds of a view, `times` over. */
function tile(view: FilmedView, times: number): FilmedView {
  const frames = SET_S * view.frameRateHz;
  const count = frames * view.landmarks.length;
  const pixel = new Float64Array(2 * count * times);
  const confidence = new Float64Array(count * times);
  for (let k = 0; k < times; k++) {
    pixel.set(view.pixel.subarray(0, 2 * count), 2 * count * k);
    confidence.set(view.confidence.subarray(0, count), count * k);
  }
  return { ...view, frames: frames * times, pixel, confidence };
}

/** Calls `use` with the path of a recording.yaml of `files` in a folder that is removed afterwards. */
export function withFiles<T>(files: readonly SyntheticFile[], use: (recordingFile: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), 'made-recording-'));
  try {
    for (const { path, text } of files) {
      const target = join(folder, path);
      mkdirSync(dirname(target), { recursive: true });
      writeFileSync(target, path.endsWith('.gz') ? gzipSync(text, { level: 1 }) : text);
    }
    return use(join(folder, 'recording.yaml'));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** What a command reads of one recording. */
export function readMade(recordingFile: string): { readonly data: RecordingData; readonly rig: CameraRig } {
  const data = loadRecording(recordingFile);
  return { data, rig: parseRig(data.rigJson, recordingFile) };
}
