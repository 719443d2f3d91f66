import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import type { C3dFile } from '../../src/capture/c3d/c3d-file.ts';
import { forcePlatform, forcePlatformCount, zeroFrames } from '../../src/capture/c3d/force-platforms.ts';
import { platformWrench } from '../../src/capture/c3d/platform-wrench.ts';
import { parseC3d, readC3d } from '../../src/capture/c3d/read-c3d.ts';
import { channelValues } from '../../src/capture/c3d/read-data.ts';
import { writeC3d } from '../../src/capture/c3d/write-c3d.ts';
import { pressurePointInto } from '../../src/capture/force-plate-geometry.ts';
import { reference } from '../reference.ts';

/**
 * Checks the reader on the open sample files of c3d.org (one trial in six encodings, Eb015*; force plates, TYPE-*) and any
 * other C3D file of a folder:  npx tsx tests/scripts/c3d-files.ts FOLDER
 * Those files may not be committed; the numbers of their worked sheet are in tests/references/c3d-force-plate-sheet.json.
 */
const folder = process.argv[2];
if (folder === undefined) {
  process.stderr.write('Usage: npx tsx tests/scripts/c3d-files.ts FOLDER\n');
  process.exit(2);
}
const paths = readdirSync(folder)
  .filter((name) => /\.c3d(\.gz)?$/i.test(name))
  .sort()
  .map((name) => join(folder, name));
const files = paths.map((path) => readC3d(path, null));
const say = (text: string) => process.stdout.write(`${text}\n`);
const nameOf = (c3d: C3dFile) => basename(c3d.file);
let failed = 0;
const check = (what: string, good: boolean) => {
  if (!good) failed++;
  say(`${good ? 'ok  ' : 'FAIL'} ${what}`);
};

say('read → write → read, bit for bit');
for (const c3d of files) {
  const again = parseC3d('again', writeC3d(c3d));
  const pairs = [
    [c3d.points.position, again.points.position],
    [c3d.points.residual, again.points.residual],
    [c3d.points.cameras, again.points.cameras],
    [c3d.analog.stored, again.analog.stored],
    [c3d.analog.scale, again.analog.scale],
    [c3d.analog.offset, again.analog.offset],
  ];
  const bits = (values: ArrayBufferView) => Buffer.from(values.buffer, values.byteOffset, values.byteLength);
  const same = pairs.every(([a, b]) => bits(a).equals(bits(b)));
  const size = `${c3d.frames} frames, ${c3d.points.count} points, ${c3d.analog.channels} channels`;
  check(`${nameOf(c3d)}: ${c3d.processor} ${c3d.storage}, ${size}`, same);
}

const six = files.filter((c3d) => /^eb015/i.test(nameOf(c3d)));
if (six.length > 1) {
  say(`\n${six.length} encodings of one trial against ${nameOf(six[0])}`);
  for (const other of six.slice(1)) {
    const pointMm = largestDifference(six[0].points.position, other.points.position);
    const analog = largestDifference(allChannels(six[0]), allChannels(other));
    check(
      `${nameOf(other)}: points ${pointMm} mm (limit 0.0001), analog ${analog} in its units`,
      pointMm <= 1e-4 && analog <= 1e-4,
    );
  }
}

const sheet = reference('c3d-force-plate-sheet');
const type4 = files.find((c3d) => /^type-4\.c3d/i.test(nameOf(c3d)));
if (type4) {
  const stored = forcePlatform(type4, 1).calibration!;
  const matrix = (sheet.calibration_matrix as number[][]).flat();
  const signs = matrix.filter((value, k) => Math.abs(value + stored[k]) < Math.abs(value - stored[k]) - 0.001);
  const worst = Math.max(...matrix.map((value, k) => Math.abs(Math.abs(value) - Math.abs(stored[k]))));
  say('\nthe matrix of the worked sheet (the inverse of its sensitivity matrix) against that of its file');
  check(`TYPE-4: largest difference of size ${worst.toExponential(2)} (the file has three decimals)`, worst <= 5.1e-4);
  say(
    `     ${signs.length} of 36 with the other sign in the file: ${signs.map((value) => value.toFixed(3)).join(', ')}`,
  );
}

say('\nforce plates, no offset taken off / offset of FORCE_PLATFORM:ZERO taken off');
// Of the six encodings the first stands for all.
for (const c3d of files.filter((one) => !six.slice(1).includes(one))) {
  for (let number = 1; number <= forcePlatformCount(c3d); number++) {
    const platform = forcePlatform(c3d, number);
    const zero = zeroFrames(c3d);
    const perFrame = c3d.analog.samplesPerFrame;
    const stretches = [null, ...(zero ? [{ from: zero[0] * perFrame, to: (zero[1] + 1) * perFrame }] : [])];
    for (const unloaded of stretches) {
      const wrench = platformWrench(c3d, platform, 'mm', unloaded);
      const { mean, largest, loaded, outside, nearestM } = summary(c3d, number, wrench);
      const text =
        `${nameOf(c3d)} plate ${number} type ${platform.type}${unloaded ? ', offset off' : ''}: ${loaded} samples over 100 N, mean ${mean.toFixed(1)} N, ` +
        `largest ${largest.toFixed(1)} N, ${outside} outside the surface, nearest foot point ${(1000 * nearestM).toFixed(0)} mm (median), notes ${wrench.notes.length}`;
      say(`     ${text}`);
    }
  }
}

for (const [a, b] of [
  ['type-2.c3d', 'type-4.c3d'],
  ['type-2a.c3d', 'type-4a.c3d'],
]) {
  const [first, second] = [a, b].map((name) => files.find((c3d) => nameOf(c3d).toLowerCase() === name));
  if (!first || !second) continue;
  say(`\n${a} (main diagonal only) against ${b} (whole calibration matrix), one trial`);
  for (let number = 1; number <= forcePlatformCount(first); number++) {
    const [u, v] = [first, second].map((c3d) => platformWrench(c3d, forcePlatform(c3d, number), 'mm', null));
    const rms = (x: Float64Array, y: Float64Array) =>
      Math.sqrt(x.reduce((sum, value, i) => sum + (value - y[i]) ** 2, 0) / x.length);
    say(
      `     plate ${number}: force rms ${rms(u.force, v.force).toFixed(2)} N, moment rms ${rms(u.moment, v.moment).toFixed(2)} N·m`,
    );
  }
}
process.exitCode = failed > 0 ? 1 : 0;

function allChannels({ analog }: C3dFile): Float64Array {
  return Float64Array.from(Array.from({ length: analog.channels }, (_, k) => [...channelValues(analog, k)]).flat());
}

/** Infinity where one is missing and the other is not. */
function largestDifference(a: ArrayLike<number>, b: ArrayLike<number>): number {
  if (a.length !== b.length) return Number.POSITIVE_INFINITY;
  let worst = 0;
  for (let i = 0; i < a.length; i++) {
    if (Number.isNaN(a[i]) !== Number.isNaN(b[i])) return Number.POSITIVE_INFINITY;
    if (!Number.isNaN(a[i])) worst = Math.max(worst, Math.abs(a[i] - b[i]));
  }
  return worst;
}

/** Where the centre of pressure lies, against the surface and against the points of feet and ankles in the same frame. */
function summary(c3d: C3dFile, number: number, wrench: ReturnType<typeof platformWrench>) {
  const { axes, halfX, halfY } = forcePlatform(c3d, number).surface;
  const { count, labels, position } = c3d.points;
  const feet = labels.flatMap((label, k) => (/ANK|HEE|TOE|FT\d|FOO|^[LR][AD]$/.test(label.trim()) ? [k] : []));
  const place = new Float64Array(3);
  let [sum, loaded, outside, largest] = [0, 0, 0, 0];
  const nearest: number[] = [];
  for (let s = 0, i = 0; s < wrench.samples; s++, i += 3) {
    const vertical = [0, 1, 2].reduce((total, k) => total + wrench.up[k] * wrench.force[i + k], 0);
    largest = Math.max(largest, vertical);
    if (vertical < 100) continue;
    loaded++;
    sum += vertical;
    pressurePointInto(place, 0, wrench.force, wrench.moment, i, wrench.up, 20);
    const along = (column: number) => 1000 * [0, 1, 2].reduce((total, k) => total + axes[3 * k + column] * place[k], 0);
    if (Math.abs(along(0)) > halfX || Math.abs(along(1)) > halfY) outside++;
    const frame = Math.floor(s / c3d.analog.samplesPerFrame);
    const distances = feet.map((point) => {
      const at = 3 * (frame * count + point);
      return Math.hypot(...[0, 1, 2].map((k) => position[at + k] / 1000 - wrench.centre[k] - place[k]));
    });
    const known = distances.filter(Number.isFinite);
    if (known.length > 0) nearest.push(Math.min(...known));
  }
  nearest.sort((a, b) => a - b);
  return { mean: sum / loaded, largest, loaded, outside, nearestM: nearest[nearest.length >> 1] ?? Number.NaN };
}
