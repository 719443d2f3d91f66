/**
 * Gravity from an object in free flight, seen by three real cameras with published DLT coefficients.
 *
 *   npx tsx tests/scripts/thrown-object.ts FOLDER
 *
 * FOLDER holds dlt_coefficients.csv (one column a camera, L1 to L11, for undistorted pixels) and object_pixels.csv
 * (cam1_x_px, cam1_y_px, …; 25 Hz; 640 × 512; y counts up from the lower left corner). The data carry no licence and are
 * not part of this package. Whoever has them can check the cameras against the best-known number in mechanics.
 *
 * Each set of cameras gives a quadratic fit to frames 11–23. Then it is asked why cameras 2 + 3 alone do worse: rays,
 * direction in which their error lies, standard error from pixel noise, and how far one pixel of a camera moves gravity.
 */
import { join } from 'node:path';
import { cameraCentre, projectInto, undistortPixels } from '../../src/cameras/camera-model.ts';
import { dltPoint } from '../../src/cameras/dlt.ts';
import { rigFromDltCoefficients } from '../../src/cameras/dlt-coefficients.ts';
import type { Camera, PixelLens } from '../../src/cameras/rig.ts';
import { numberColumn, readCsv } from '../../src/capture/csv.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { readDltCoefficients } from '../../src/cli/calibrate-files.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { leastSquares } from '../../src/numerics/least-squares.ts';
import { eigenSymmetric } from '../../src/numerics/symmetric-eigen.ts';
import { pointProblem, triangulatePoint } from '../../src/reconstruction/triangulate-point.ts';

const WIDTH = 640;
const HEIGHT = 512;
const RATE_HZ = 25;
const FIRST = 11;
const LAST = 23;
const FRAMES = LAST - FIRST + 1;
/** The lens that was removed from the pixels before the coefficients were made; y up, as the coefficients. */
const LENS: PixelLens = { fx: 526, fy: 526, cx: 320, cy: 256, distortion: [-0.3069, 0.1134, 0, 0, 0] };
const SETS: readonly (readonly number[])[] = [
  [0, 1],
  [0, 2],
  [1, 2],
  [0, 1, 2],
];

interface Flight {
  /** 3 × frames, metres, world Y up. */
  readonly position: Float64Array;
  /** Standard deviations for 1 px of white noise in every coordinate, metres, r.m.s. over frames: height, worst direction. */
  readonly heightSdPerPx: number;
  readonly worstSdPerPx: number;
  /** That worst direction, unit vector. */
  readonly worst: readonly number[];
  /** √(Σ squared residuals / degrees of freedom), px. */
  readonly noisePx: number;
}

/** A parabola through the flight: acceleration and its standard error from the scatter, m/s², per world axis. */
interface Parabola {
  readonly acceleration: readonly number[];
  readonly se: readonly number[];
  readonly scatterM: readonly number[];
}

/** Triangulated frames FIRST–LAST. */
function flightOf(cameras: readonly Camera[], pixels: readonly Float64Array[]): Flight {
  const problem = pointProblem(cameras);
  const position = new Float64Array(3 * FRAMES);
  const cofactor = new Float64Array(6);
  let squares = 0;
  let freedom = 0;
  for (let i = 0; i < FRAMES; i++) {
    pixels.forEach((track, c) => {
      problem.pixel.set(track.subarray(2 * (FIRST + i), 2 * (FIRST + i) + 2), 2 * c);
    });
    const status = triangulatePoint(problem);
    if (status !== SampleStatus.seen) throw new Error(`frame ${FIRST + i}: not triangulated (status ${status})`);
    position.set(problem.position, 3 * i);
    for (let k = 0; k < 6; k++) cofactor[k] += problem.cofactor[k] / FRAMES;
    squares += problem.summary[0];
    freedom += problem.summary[2];
  }
  const [xx, xy, xz, yy, yz, zz] = cofactor;
  const { values, vectors } = eigenSymmetric([xx, xy, xz, xy, yy, yz, xz, yz, zz], 3);
  return {
    position,
    heightSdPerPx: Math.sqrt(yy),
    worstSdPerPx: Math.sqrt(values[2]),
    worst: [vectors[2], vectors[5], vectors[8]],
    noisePx: Math.sqrt(squares / freedom),
  };
}

const time = Float64Array.from({ length: FRAMES }, (_, i) => (i - (FRAMES - 1) / 2) / RATE_HZ);

function parabolaOf(position: Float64Array): Parabola {
  const fits = [0, 1, 2].map((axis) =>
    leastSquares(
      {
        residualCount: FRAMES,
        parameterCount: 3,
        residualsInto(out, p) {
          for (let i = 0; i < FRAMES; i++) {
            out[i] = p[0] + p[1] * time[i] + 0.5 * p[2] * time[i] ** 2 - position[3 * i + axis];
          }
        },
      },
      [0, 0, 0],
    ),
  );
  return {
    acceleration: fits.map((fit) => fit.parameters[2]),
    se: fits.map((fit) => fit.standardDeviations[2]),
    scatterM: fits.map((fit) => Math.sqrt(fit.residualSumOfSquares / (FRAMES - 3))),
  };
}

/** Standard error of an acceleration for 1 m of white scatter a frame: √Σw², w the weights of the parabola's curvature. */
function accelerationPerMetre(): number {
  const mean = time.reduce((sum, t) => sum + t * t, 0) / FRAMES;
  return 2 / Math.sqrt(time.reduce((sum, t) => sum + (t * t - mean) ** 2, 0));
}

function rayAngleDeg(a: Camera, b: Camera, point: ArrayLike<number>): number {
  const [p, q] = [a, b].map((camera) => {
    const centre = cameraCentre(camera);
    const v = [0, 1, 2].map((k) => point[k] - centre[k]);
    const length = Math.hypot(...v);
    return v.map((x) => x / length);
  });
  return (Math.acos(p[0] * q[0] + p[1] * q[1] + p[2] * q[2]) * 180) / Math.PI;
}

/**
 * Largest change of gravity, m/s² per px, when one camera's track is off by 1 px: as a whole (a wrong principal point, a
 * small turn of the camera), or bent by 1 px between its middle and its ends (a lens that is not quite the one assumed).
 */
function gravityPerPixel(
  cameras: readonly Camera[],
  pixels: readonly Float64Array[],
  which: number,
  shape: 'whole' | 'bent',
): number {
  const at = (du: number, dv: number) => {
    const moved = pixels[which].map((x, o) => {
      const t = (Math.floor(o / 2) - FIRST) / RATE_HZ + time[0];
      const part = shape === 'whole' ? 1 : (t / time[0]) ** 2;
      return x + part * (o % 2 === 0 ? du : dv);
    });
    return parabolaOf(
      flightOf(
        cameras,
        pixels.map((track, c) => (c === which ? moved : track)),
      ).position,
    ).acceleration[1];
  };
  const h = 0.1;
  return Math.hypot((at(h, 0) - at(-h, 0)) / (2 * h), (at(0, h) - at(0, -h)) / (2 * h));
}

function main(folder: string): void {
  const published = readDltCoefficients(join(folder, 'dlt_coefficients.csv'));
  const rig = rigFromDltCoefficients(published, {
    imageWidth: WIDTH,
    imageHeight: HEIGHT,
    pixelY: 'up',
    unit: 'm',
    axes: { forward: '+x', up: '+z' },
    lens: LENS,
  });
  console.log('Cameras (world: Y up)');
  for (const camera of rig.cameras) {
    const elevation = (Math.asin(camera.rotation[7]) * 180) / Math.PI;
    console.log(
      `  ${camera.name}: focal ${camera.fx.toFixed(1)} / ${camera.fy.toFixed(1)} px, principal point ${camera.cx.toFixed(1)}, ` +
        `${camera.cy.toFixed(1)}, skew ${camera.skew.toFixed(3)}, optical axis ${elevation.toFixed(0)}° above level`,
    );
  }

  const columns = ['cam1', 'cam2', 'cam3'].flatMap((name) => [`${name}_x_px`, `${name}_y_px`]);
  const table = readCsv(join(folder, 'object_pixels.csv'), { required: columns, optional: [] }, null);
  // Image coordinates of the rig count downward: v = height − 1 − y.
  const raw = [0, 1, 2].map((c) => {
    const u = numberColumn(table, columns[2 * c], 'is NaN');
    const y = numberColumn(table, columns[2 * c + 1], 'is NaN');
    return Float64Array.from({ length: 2 * table.rows }, (_, o) =>
      o % 2 === 0 ? u[o / 2] : HEIGHT - 1 - y[(o - 1) / 2],
    );
  });
  const upward = raw.map((track) => track.map((x, o) => (o % 2 === 0 ? x : HEIGHT - 1 - x)));
  const ideal = upward.map((track) => undistortPixels(track, LENS));

  const flights = SETS.map((set) => ({
    set,
    name: setName(set),
    cameras: set.map((c) => rig.cameras[c]),
    tracks: set.map((c) => raw[c]),
    flight: flightOf(
      set.map((c) => rig.cameras[c]),
      set.map((c) => raw[c]),
    ),
  }));

  console.log(`\nGravity from frames ${FIRST}-${LAST} (true ${GRAVITY_M_PER_S2} m/s²)`);
  const gravity = flights.map(({ set, name, flight }) => {
    const { acceleration, se } = parabolaOf(flight.position);
    const linear = -parabolaOf(linearFlight(published, ideal, set)).acceleration[1];
    const bent = -parabolaOf(linearFlight(published, upward, set)).acceleration[1];
    return {
      set: name,
      'refined points': `${(-acceleration[1]).toFixed(3)} ± ${se[1].toFixed(3)}`,
      error: percent(-acceleration[1]),
      'linear DLT': percent(linear),
      'without undistortion': percent(bent),
    };
  });
  console.table(gravity);

  console.log('\nWhat each set can know (for 1 px of noise in every coordinate)');
  const perMetre = accelerationPerMetre();
  console.table(
    flights.map(({ name, cameras, flight }) => {
      const middle = flight.position.subarray(3 * Math.floor(FRAMES / 2), 3 * Math.floor(FRAMES / 2) + 3);
      const angles = cameras.flatMap((a, i) => cameras.slice(i + 1).map((b) => rayAngleDeg(a, b, middle)));
      return {
        set: name,
        'largest ray angle deg': Math.max(...angles).toFixed(1),
        'worst axis mm': (1000 * flight.worstSdPerPx).toFixed(1),
        'its elevation deg': ((Math.asin(Math.abs(flight.worst[1])) * 180) / Math.PI).toFixed(0),
        'height mm': (1000 * flight.heightSdPerPx).toFixed(1),
        'SE of g m/s2': (perMetre * flight.heightSdPerPx).toFixed(2),
        'noise found px': flight.noisePx.toFixed(2),
        'height scatter mm': (1000 * parabolaOf(flight.position).scatterM[1]).toFixed(1),
      };
    }),
  );

  console.log('\nAcceleration against that of set 1+3, and where the difference points');
  const base = flights[1];
  const trusted = parabolaOf(base.flight.position).acceleration;
  console.table(
    flights
      .filter((one) => one !== base)
      .map(({ name, flight }) => {
        const difference = parabolaOf(flight.position).acceleration.map((a, k) => a - trusted[k]);
        const size = Math.hypot(...difference);
        const along = Math.abs(difference.reduce((sum, d, k) => sum + d * flight.worst[k], 0));
        return {
          set: name,
          'difference x, y up, z m/s2': difference.map((d) => d.toFixed(2)).join(', '),
          'along worst axis': `${along.toFixed(2)} of ${size.toFixed(2)}`,
          'm/s2 per px on that axis': (perMetre * flight.worstSdPerPx).toFixed(2),
          'px that explain it': (along / (perMetre * flight.worstSdPerPx)).toFixed(2),
        };
      }),
  );

  console.log('\nHow far 1 px in one camera moves gravity, per cent');
  console.table(
    flights.flatMap(({ set, name, cameras, tracks }) =>
      set.map((c, i) => ({
        set: name,
        camera: c + 1,
        'whole track off': ((100 * gravityPerPixel(cameras, tracks, i, 'whole')) / GRAVITY_M_PER_S2).toFixed(1),
        'track bent': ((100 * gravityPerPixel(cameras, tracks, i, 'bent')) / GRAVITY_M_PER_S2).toFixed(1),
      })),
    ),
  );

  console.log('\nDo the cameras agree? The points of two, seen in the third: px (u, v)');
  console.table(
    flights.slice(0, 3).map(({ set, name, flight }) => {
      const third = [0, 1, 2].find((c) => !set.includes(c))!;
      return { set: name, 'in camera': third + 1, ...offsetIn(rig.cameras[third], flight.position, raw[third]) };
    }),
  );
}

function linearFlight(
  published: readonly { readonly coefficients: ArrayLike<number> }[],
  pixels: readonly Float64Array[],
  set: readonly number[],
): Float64Array {
  const position = new Float64Array(3 * FRAMES);
  for (let i = 0; i < FRAMES; i++) {
    const o = 2 * (FIRST + i);
    const point = dltPoint(
      set.map((c) => published[c].coefficients),
      set.flatMap((c) => [pixels[c][o], pixels[c][o + 1]]),
    );
    // File axes: z up.
    position.set([point[0], point[2], -point[1]], 3 * i);
  }
  return position;
}

function offsetIn(camera: Camera, position: Float64Array, track: Float64Array) {
  const uv = new Float64Array(2);
  const offsets = Array.from({ length: FRAMES }, (_, i) => {
    projectInto(uv, 0, camera, position[3 * i], position[3 * i + 1], position[3 * i + 2]);
    return [uv[0] - track[2 * (FIRST + i)], uv[1] - track[2 * (FIRST + i) + 1]];
  });
  const mean = [0, 1].map((k) => offsets.reduce((sum, one) => sum + one[k], 0) / FRAMES);
  const bend = [0, 1].map((k) => {
    const column = offsets.map((one) => one[k]);
    return 0.5 * (column[0] + column[FRAMES - 1]) - column[(FRAMES - 1) / 2];
  });
  const text = (pair: number[]) => pair.map((x) => x.toFixed(1)).join(', ');
  return { 'mean offset': text(mean), 'ends against middle': text(bend) };
}

const setName = (set: readonly number[]) => set.map((c) => c + 1).join('+');
const percent = (g: number) => {
  const part = 100 * (g / GRAVITY_M_PER_S2 - 1);
  return `${part >= 0 ? '+' : ''}${part.toFixed(1)} %`;
};

const folder = process.argv[2];
if (folder === undefined) {
  console.error(
    'Usage: npx tsx tests/scripts/thrown-object.ts FOLDER   (with dlt_coefficients.csv and object_pixels.csv)',
  );
  process.exitCode = 2;
} else main(folder);
