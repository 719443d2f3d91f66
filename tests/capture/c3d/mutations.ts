import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { C3dFile } from '../../../src/capture/c3d/c3d-file.ts';
import { forcePlatform, forcePlatformCount } from '../../../src/capture/c3d/force-platforms.ts';
import { platformWrench } from '../../../src/capture/c3d/platform-wrench.ts';
import { parseC3d } from '../../../src/capture/c3d/read-c3d.ts';
import { writeC3d } from '../../../src/capture/c3d/write-c3d.ts';
import { LOADED_N, readForcePlate } from '../../../src/capture/force-plate-csv.ts';
import { loadRecording } from '../../../src/capture/load-recording.ts';
import type { ForcePlateTrack, RecordingData } from '../../../src/capture/recording.ts';
import { isUsable } from '../../../src/capture/sample-status.ts';
import { DataError } from '../../../src/errors.ts';
import { hashSeed, type Random, seededRandom } from '../../../src/numerics/random.ts';
import { footLoad, LABELS, lifterC3d } from './lifter-file.ts';
import { ENCODINGS, madeBytes } from './made-files.ts';

/*
 * C3D and force files spoilt at random, and what may come of them: a value without a trace of NaN where a number is
 * promised, or a DataError. Seeded: mutation k is the same everywhere.
 */

export interface MutationResult {
  readonly read: number;
  readonly refused: ReadonlyMap<string, number>;
  readonly faults: readonly string[];
  readonly slowestS: number;
}

const pick = <T>(random: Random, from: readonly T[]): T => from[random.integer(from.length)];

/** A place: anywhere, or (more often than their share) in header and parameters, where the lies are. */
const place = (random: Random, length: number): number =>
  random.integer(3) === 0 ? random.integer(length) : random.integer(Math.min(length, 3000));

const WORDS = [0, 1, 2, 0x7f, 0xff, 0x100, 0x7fff, 0x8000, 0xfffe, 0xffff] as const;
const FLOATS = [Number.NaN, Number.POSITIVE_INFINITY, -0, 3e38, -3e38, 1e-38, 1e-45, 0.1, -1, 65536] as const;

type ByteMutant = (random: Random, bytes: Uint8Array) => Uint8Array;

const edited = (bytes: Uint8Array, edit: (copy: Uint8Array, view: DataView) => void): Uint8Array => {
  const copy = bytes.slice();
  edit(copy, new DataView(copy.buffer));
  return copy;
};

const BYTE_MUTANTS: readonly ByteMutant[] = [
  (random, bytes) =>
    edited(bytes, (copy) => {
      for (let n = 1 + random.integer(4); n > 0; n--) copy[place(random, copy.length)] ^= 1 << random.integer(8);
    }),
  (random, bytes) =>
    edited(bytes, (copy) => {
      copy[place(random, copy.length)] = random.integer(256);
    }),
  (random, bytes) =>
    edited(bytes, (_, view) => {
      view.setUint16(place(random, bytes.length - 2), pick(random, WORDS), random.integer(2) === 0);
    }),
  (random, bytes) =>
    edited(bytes, (_, view) => {
      view.setFloat32(place(random, bytes.length - 4), pick(random, FLOATS), random.integer(2) === 0);
    }),
  (random, bytes) => bytes.slice(0, random.integer(bytes.length)),
  (random, bytes) => bytes.slice(0, bytes.length - 1 - random.integer(600)),
  (random, bytes) => {
    const tail = Uint8Array.from({ length: 1 + random.integer(2000) }, () => random.integer(256));
    return Uint8Array.from([...bytes, ...tail]);
  },
  (random, bytes) => {
    const at = place(random, bytes.length);
    return Uint8Array.from([...bytes.slice(0, at), ...bytes.slice(at + 1 + random.integer(40))]);
  },
  (random, bytes) => {
    const at = place(random, bytes.length);
    return Uint8Array.from([...bytes.slice(0, at), ...bytes.slice(Math.max(0, at - random.integer(40)))]);
  },
  (random, bytes) =>
    edited(bytes, (copy) => {
      const at = place(random, copy.length);
      copy.fill(pick(random, [0, 0xff, 0x7f, 0x80]), at, at + 1 + random.integer(64));
    }),
  (random, bytes) =>
    edited(bytes, (copy) => {
      const [a, b] = [random.integer(copy.length / 512), random.integer(copy.length / 512)];
      const kept = copy.slice(512 * a, 512 * a + 512);
      copy.copyWithin(512 * a, 512 * b, 512 * b + 512);
      copy.set(kept, 512 * b);
    }),
];

const TEXT_VALUES = [
  '',
  'NaN',
  'nan',
  'inf',
  '-1e309',
  '1e308',
  '1,5',
  'abc',
  '"',
  '0',
  '-0',
  '1e-320',
  '99999999999999999999',
  '☃',
];

type TextMutant = (random: Random, text: string) => string | Uint8Array;

const lines = (text: string, edit: (all: string[]) => void): string => {
  const all = text.split('\n');
  edit(all);
  return all.join('\n');
};

const TEXT_MUTANTS: readonly TextMutant[] = [
  (random, text) => BYTE_MUTANTS[0](random, Buffer.from(text)),
  (random, text) => text.slice(0, random.integer(text.length)),
  (random, text) => lines(text, (all) => void all.splice(random.integer(all.length), 1 + random.integer(4))),
  (random, text) => lines(text, (all) => void all.splice(random.integer(all.length), 0, pick(random, all))),
  (random, text) =>
    lines(text, (all) => {
      const [a, b] = [random.integer(all.length), random.integer(all.length)];
      [all[a], all[b]] = [all[b], all[a]];
    }),
  (random, text) =>
    lines(text, (all) => {
      const row = random.integer(all.length);
      const cells = all[row].split(',');
      cells[random.integer(cells.length)] = pick(random, TEXT_VALUES);
      all[row] = cells.join(',');
    }),
  (random, text) =>
    lines(text, (all) => {
      const column = random.integer(8);
      const factor = pick(random, [0, -1, 1000, 1e30, 1e-30]);
      all.forEach((line, row) => {
        const cells = line.split(',');
        if (row > 0 && cells.length > column) cells[column] = String(Number(cells[column]) * factor);
        all[row] = cells.join(',');
      });
    }),
];

/** Faults of a plain C3D file: numbers that are promised and are none. */
function faultsOfFile(c3d: C3dFile): string[] {
  const faults: string[] = [];
  const { position, residual } = c3d.points;
  for (let sample = 0; sample < residual.length; sample++) {
    const known = Number.isFinite(residual[sample]);
    for (let k = 0; k < 3; k++) {
      if (Number.isFinite(position[3 * sample + k]) !== known) faults.push(`point sample ${sample} is half a number`);
    }
  }
  const { frameRateHz, frames, analog, events, headerEvents } = c3d;
  const facts = [frameRateHz, frames, analog.rateHz, analog.generalScale, ...analog.scale, ...analog.offset];
  const times = [...events, ...headerEvents].map(({ timeS }) => timeS);
  if (![...facts, ...times].every(Number.isFinite)) faults.push('a fact of the file is no number');
  for (let number = 1; number <= Math.min(4, forcePlatformCount(c3d)); number++) {
    try {
      const { force, moment } = platformWrench(c3d, forcePlatform(c3d, number), 'mm', null);
      if (!force.every(Number.isFinite) || !moment.every(Number.isFinite)) faults.push(`force plate ${number} has NaN`);
    } catch (error) {
      if (!(error instanceof DataError)) throw error;
    }
  }
  return faults;
}

function faultsOfForce({ force, centreOfPressure, freeMoment, timeS, file }: ForcePlateTrack): string[] {
  const faults: string[] = [];
  if (![force, freeMoment, timeS].every((values) => values.every(Number.isFinite))) faults.push(`NaN in ${file}`);
  for (let i = 0; i < force.length; i += 3) {
    const known = [0, 1, 2].every((k) => Number.isFinite(centreOfPressure[i + k]));
    if (known && force[i + 1] < LOADED_N) faults.push(`a centre of pressure without load in ${file}`);
  }
  return faults;
}

function faultsOfRecording({ points, forcePlates, recording }: RecordingData): string[] {
  const faults = forcePlates.flatMap(faultsOfForce);
  const { position, status, frameRateHz } = points!;
  status.forEach((code, sample) => {
    const known = [0, 1, 2].every((k) => Number.isFinite(position[3 * sample + k]));
    if (known !== isUsable(code)) faults.push(`sample ${sample} of the points: status ${code}`);
  });
  if (!Number.isFinite(frameRateHz)) faults.push('no frame rate');
  if (recording.forcePlates.some((one) => !Number.isFinite(one.frameRateHz))) faults.push('no force plate rate');
  return faults;
}

/** `count` mutations: six encodings with all four types of force plates, a lifter through the whole input, force CSV. */
export function runMutations(seed: number, count: number, progress: (done: number) => void = () => {}): MutationResult {
  const folder = mkdtempSync(join(tmpdir(), 'kneeward-c3d-'));
  try {
    return mutations(folder, seed, count, progress);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function mutations(folder: string, seed: number, count: number, progress: (done: number) => void): MutationResult {
  const bases = ENCODINGS.map(madeBytes);
  const lifter = lifterC3d({ frames: 30 });
  const csv = forceCsv(60);
  const labels = Object.entries(LABELS)
    .map(([name, label]) => `${name}: ${label}`)
    .join(', ');
  writeFileSync(
    join(folder, 'r.yaml'),
    `kneeward: 1\nrecording: r\nathlete: { id: X, mass_kg: 78 }\nlift: { kind: squat }\nload: { total_kg: 0 }\n` +
      `c3d: { file: r.c3d, labels: { ${labels} }, axes: { forward: "-y", up: "+z" }, force_plates: [{ number: 1, foot: left }, { number: 2, foot: right }] }\n`,
  );
  /** What is read; gives back its faults. */
  const readers: readonly ((random: Random, k: number) => string[])[] = [
    (random, k) => {
      const c3d = parseC3d('mutant.c3d', pick(random, BYTE_MUTANTS)(random, bases[k % bases.length]));
      const again = parseC3d('again.c3d', writeC3d(c3d));
      return [...faultsOfFile(c3d), ...(again.frames === c3d.frames ? [] : ['written otherwise than read'])];
    },
    (random) => {
      writeFileSync(join(folder, 'r.c3d'), pick(random, BYTE_MUTANTS)(random, lifter));
      return faultsOfRecording(loadRecording(join(folder, 'r.yaml')));
    },
    (random) => {
      const file = join(folder, 'force.csv');
      writeFileSync(file, pick(random, TEXT_MUTANTS)(random, csv));
      return faultsOfForce(readForcePlate({ file, foot: 'left', frameRateHz: 100, unit: 'm', offsetS: 0 }, null));
    },
  ];
  let read = 0;
  let slowestS = 0;
  const refused = new Map<string, number>();
  const faults: string[] = [];
  for (let k = 0; k < count; k++) {
    const begun = performance.now();
    try {
      for (const fault of readers[k % readers.length](
        seededRandom(hashSeed(seed, k)),
        Math.floor(k / readers.length),
      )) {
        faults.push(`mutation ${k}: ${fault}`);
      }
      read++;
    } catch (error) {
      if (!(error instanceof DataError)) faults.push(`mutation ${k}: ${error instanceof Error ? error.stack : error}`);
      else {
        if (/undefined|\[object|NaN.*NaN/.test(error.message)) faults.push(`mutation ${k}: ${error.message}`);
        refused.set(error.code, (refused.get(error.code) ?? 0) + 1);
      }
    }
    slowestS = Math.max(slowestS, (performance.now() - begun) / 1000);
    progress(k + 1);
  }
  return { read, refused, faults, slowestS };
}

/** A force plate as a CSV, lab axes, 100 Hz. */
function forceCsv(samples: number): string {
  const rows = Array.from({ length: samples }, (_, frame) => {
    const { force, place, freeNm } = footLoad('left', frame);
    return [frame / 100, ...force, ...place, freeNm].map((value) => Number(value.toFixed(5))).join(',');
  });
  return `time_s,fx_n,fy_n,fz_n,copx_m,copy_m,copz_m,free_moment_nm\n${rows.join('\n')}\n`;
}
