/**
 * Open recordings on force plates: squat jumps with a force plate under each foot, and walking with 45 markers.
 *
 *   npx tsx tests/scripts/jumps-and-gait.ts FOLDER OUT
 *
 * FOLDER holds jumps_two_force_plates (person_1_force_plate_1.csv.gz and _2, 1000 Hz, y up, x forward, z to the right;
 * person_1_phases.csv, samples) and gait_full_body (markers_200Hz_m.csv.gz, grf_1000Hz_N.csv, z up, the walker faces −x; no
 * centre of pressure). Both were published under the MIT licence; they are not part of this project. Writes OUT/gait*.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { analyseRecording } from '../../src/cli/analyse-recording.ts';
import { gradeLimits } from '../../src/cli/package-files.ts';
import { zeroLagLowPass } from '../../src/numerics/butterworth.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { correlation, mean, rms } from '../../src/numerics/statistics.ts';

const [folder, out] = process.argv.slice(2);
if (!folder || !out) {
  console.error('Usage: npx tsx tests/scripts/jumps-and-gait.ts FOLDER OUT');
  process.exit(2);
}
const PLATE_HZ = 1000;
const G = GRAVITY_M_PER_S2;
/** Samples of quiet standing at the end of the jump file. */
const STILL = 500;

interface Table {
  readonly header: readonly string[];
  readonly rows: readonly (readonly string[])[];
}
function table(path: string): Table {
  const bytes = readFileSync(join(folder, path));
  const text = (path.endsWith('.gz') ? gunzipSync(bytes) : bytes).toString('utf8');
  const [header, ...rows] = text
    .trim()
    .split(/\r?\n/)
    .map((line) => line.split(','));
  return { header, rows };
}
function column({ header, rows }: Table, name: string): Float64Array {
  const at = header.indexOf(name);
  if (at < 0) throw new Error(`no column ${name}`);
  return Float64Array.from(rows, (row) => Number(row[at]));
}

jumps();
gait();

/** Share and mean of the vertical force, and the height of each jump two ways that need no body model: impulse and flight. */
function jumps(): void {
  const at = (name: string) => join('jumps_two_force_plates', name);
  const plates = [1, 2].map((n) => table(at(`person_1_force_plate_${n}.csv.gz`)));
  const [left, right] = plates.map((plate) => column(plate, 'fy_n'));
  const sideways = plates.map((plate) => mean(column(plate, 'copz_m').slice(0, 300)));
  const phases = table(at('person_1_phases.csv'));
  const marks = (name: string) =>
    phases.rows
      .find(([what]) => what === name)!
      .slice(1)
      .map(Number);
  const [events, down, up] = ['Event', 'Eccentric Phase', 'Concentric Phase'].map(marks);
  const total = left.map((force, k) => force + right[k]);
  console.log(
    `Squat jumps, person 1: ${left.length} samples; centres of pressure ${(100 * (sideways[1] - sideways[0])).toFixed(0)} cm apart, plate 2 to the right`,
  );
  for (let jump = 0; 2 * jump < events.length; jump++) {
    const [from, to] = [events[2 * jump], events[2 * jump + 1]];
    if (to > total.length) {
      console.log(`  jump ${jump + 1}: marked from ${from} to ${to}, beyond the file`);
      continue;
    }
    const share = (a: number, b: number) => mean(right.slice(a, b)) / mean(total.slice(a, b));
    const [start, bottom, end] = [down[2 * jump], down[2 * jump + 1], up[2 * jump + 1]];
    // The jumper stands still again in the last half second of the file; before the mark of the start the weight shifts already.
    const weightN = mean(total.slice(-STILL));
    let takeOff = end;
    while (takeOff < to && total[takeOff] > 20) takeOff++;
    let landing = takeOff;
    while (landing < to && total[landing] < 20) landing++;
    let impulse = 0;
    for (let k = 0; k < takeOff; k++) impulse += (total[k] - weightN) / PLATE_HZ;
    const speed = (impulse * G) / weightN;
    const flightS = (landing - takeOff) / PLATE_HZ;
    console.log(
      `  jump ${jump + 1}: standing ${weightN.toFixed(1)} N (${(weightN / G).toFixed(1)} kg); share of plate 2: standing ${share(total.length - STILL, total.length).toFixed(3)}, ` +
        `down ${share(start, bottom).toFixed(3)}, up ${share(bottom, end).toFixed(3)}; mean vertical down and up ${mean(total.slice(start, end)).toFixed(1)} N; ` +
        `height from impulse ${((100 * speed ** 2) / (2 * G)).toFixed(1)} cm, from ${flightS.toFixed(3)} s of flight ${((100 * G * flightS ** 2) / 8).toFixed(1)} cm`,
    );
  }
}

/** The walker's ground force from the movement against the measured one; the mass is what the force plates say on average. */
function gait(): void {
  mkdirSync(out, { recursive: true });
  const markers = table(join('gait_full_body', 'markers_200Hz_m.csv.gz'));
  const forces = table(join('gait_full_body', 'grf_1000Hz_N.csv'));
  const measured = column(forces, 'Fz');
  const meanN = mean(measured);
  const point = (name: string) => ['x', 'y', 'z'].map((axis) => column(markers, `${name}_${axis}`));
  const one: Record<string, string> = {
    neck_base: 'C7',
    mid_back: 'T10',
    sternum_notch: 'STERNSUP',
    xiphoid: 'STERNINF',
  };
  const between: Record<string, readonly [string, string]> = {};
  for (const [side, S] of [
    ['left', 'L'],
    ['right', 'R'],
  ] as const) {
    Object.assign(one, {
      [`${side}_ear`]: `HEAD${S}`,
      [`${side}_shoulder`]: `${S}SHO`,
      [`${side}_asis`]: `${S}ASI`,
      [`${side}_psis`]: `${S}PSI`,
      [`${side}_heel`]: `${S}CAL2`,
      [`${side}_big_toe`]: `${S}DMT1`,
      [`${side}_small_toe`]: `${S}DMT5`,
      [`${side}_elbow_medial`]: `${S}ELM`,
      [`${side}_elbow_lateral`]: `${S}ELL`,
      [`${side}_knee_medial`]: `${S}FME`,
      [`${side}_knee_lateral`]: `${S}FLE`,
      [`${side}_ankle_medial`]: `${S}MMAL`,
      [`${side}_ankle_lateral`]: `${S}LMAL`,
    });
    between[`${side}_wrist`] = [`${S}WRR`, `${S}WRU`];
    between[`${side}_hand`] = [`${S}DMC2`, `${S}DMC5`];
  }
  const landmarks: [string, readonly Float64Array[]][] = [
    ...Object.entries(one).map(([landmark, name]): [string, Float64Array[]] => [landmark, point(name)]),
    ...Object.entries(between).map(([landmark, [a, b]]): [string, Float64Array[]] => {
      const [p, q] = [point(a), point(b)];
      return [landmark, p.map((series, axis) => series.map((value, k) => (value + q[axis][k]) / 2))];
    }),
  ];
  const frames = markers.rows.length;
  const lines = ['frame,landmark,x,y,z'];
  for (let k = 0; k < frames; k++)
    for (const [landmark, axes] of landmarks) lines.push([k, landmark, ...axes.map((series) => series[k])].join(','));
  writeFileSync(join(out, 'gait_points.csv'), `${lines.join('\n')}\n`);
  const file = join(out, 'gait.yaml');
  writeFileSync(
    file,
    `kneeward: 1
recording: gait
athlete: { id: "G01", sex: unknown, mass_kg: ${(meanN / G).toFixed(3)} }
lift: { kind: walking }
load: { total_kg: 0 }
landmarks_3d: { file: gait_points.csv, frame_rate_hz: 200, unit: m, axes: { forward: "-x", up: "+z" } }
settings: { points: free }
`,
  );
  console.log(
    `\nWalking: mean vertical force ${meanN.toFixed(1)} N over ${measured.length} samples = ${(meanN / G).toFixed(2)} kg`,
  );
  for (const hz of [3, 6]) {
    const { record } = analyseRecording(file, undefined, gradeLimits(), {
      smoothing: { kind: 'fixed', legsHz: hz, trunkHz: hz, barHz: hz },
    });
    const { loads } = record;
    const smooth = (name: string) => zeroLagLowPass(column(forces, name), PLATE_HZ, hz);
    const edge = Math.ceil(loads.frameRateHz / hz);
    for (const [axis, name, sign, words] of [
      [1, 'Fz', 1, 'vertical'],
      [0, 'Fx', -1, 'forward'],
      [2, 'Fy', 1, 'sideways'],
    ] as const) {
      const plate = smooth(name);
      const found: number[] = [];
      const told: number[] = [];
      for (let k = edge; k < loads.frames - edge; k++) {
        const value = loads.groundForce![3 * k + axis];
        if (!Number.isFinite(value)) continue;
        found.push(value);
        told.push(sign * plate[Math.round((k * PLATE_HZ) / loads.frameRateHz)]);
      }
      const misses = found.map((value, k) => value - told[k]);
      console.log(
        `  ${hz} Hz, ${words}: from above mean ${mean(found).toFixed(1)}, measured ${mean(told).toFixed(1)} N; rms difference ${rms(misses).toFixed(1)} N = ` +
          `${((100 * rms(misses)) / meanN).toFixed(2)} % body weight; r ${correlation(found, told).toFixed(3)} (${found.length} frames)`,
      );
    }
    if (hz === 6) for (const note of loads.motion.quality.notes) console.log(`  ${note}`);
  }
  console.log('  Moments of each leg need a centre of pressure, which these data do not have.');
}
