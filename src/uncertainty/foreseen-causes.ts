import { tableFor } from '../body/table-for.ts';
import { projectInto, projectWithPointJacobianInto } from '../cameras/camera-model.ts';
import { movedCameras } from '../cameras/moving-points/scale-sd.ts';
import type { Camera } from '../cameras/rig.ts';
import { type LoadedLifter, posturesAsMotion } from '../predict/posture.ts';
import { loadCauses, massCauses, segmentCauses } from './causes/body-causes.ts';
import { CAUSE_GROUPS, type Cause, type CauseGroup } from './causes/cause.ts';
import { ROUND_95 } from './causes/frame-causes.ts';
import { keypointCauses } from './causes/keypoint-causes.ts';
import { applyMapInto } from './causes/pixel-field.ts';
import { drawnTable, unchangedBody } from './chain.ts';
import type { Scene } from './foreseen-scene.ts';
import { VERTICAL_LIMIT_DEG } from './limits.ts';
import { pointMapInto } from './point-map.ts';
import { POSTURE_QUANTITIES, type PostureQuantity, postureQuantityValues } from './posture-sensitivity.ts';
import { gradientAtElevation, pointCovariances, standardDeviation } from './posture-uncertainty.ts';
import {
  PLANNED_CAMERA_SD,
  PLANNED_SCALE_SD,
  STATED_OFFSET_SD_FRAMES,
  STATED_READOUT_SD_S,
  THIGH_SPEED_DEG_PER_S,
} from './priors.ts';

/** Foreseen standard deviation of what is read at parallel: the part of each kind of doubt, and all together. */
export interface ForeseenDoubt {
  readonly quantity: PostureQuantity;
  readonly sd: number;
  /** In the order of CAUSE_GROUPS, without the sharing between the legs. */
  readonly parts: readonly { readonly cause: CauseGroup; readonly sd: number; readonly share: number }[];
}

/** What is foreseen is read of both legs together: how they share has no part in it. */
const FORESEEN: readonly CauseGroup[] = CAUSE_GROUPS.filter((group) => group !== 'leg sharing');

const RAD = Math.PI / 180;
const IDENTITY = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);

/**
 * The whole chain of doubt at parallel, of first order: noise as foreseen for the points; a calibration and a vertical that
 * keep the acceptance limits; clocks as well as they are usually stated; points against joint centres, segments, body mass
 * and load by the same priors as an analysis takes.
 *
 * variances: as in `foresee`. frameRateHz: one a camera. Thigh elevation is what parallel is found by: it has no row.
 */
export function foreseenDoubt(
  scene: Scene,
  cameras: readonly Camera[],
  variances: Float64Array,
  frameRateHz: readonly number[],
): ForeseenDoubt[] {
  const { position, landmarks } = scene.postures.parallel;
  const shifts: Partial<Record<CauseGroup, Float64Array[]>> = {
    calibration: [...cameraShifts(scene, cameras), scaled(position, PLANNED_SCALE_SD)],
    vertical: verticalShifts(position),
    clocks: clockShifts(scene, cameras, frameRateHz),
    keypoints: keypointCauses(
      { detector: null, kind: 'views', athleteId: 'planned' },
      { landmarks, frames: 1 },
    ).causes.map((cause) => shiftOf(cause, position.length)),
  };
  const bodies: Partial<Record<CauseGroup, readonly Cause[]>> = {
    segments: segmentCauses({ id: 'planned' }).causes,
    'body mass': massCauses({ id: 'planned', massKg: scene.lifter.massKg, massSdKg: null }).causes,
    load: loadCauses(
      scene.lifter.load,
      { recordingId: 'planned', athleteId: 'planned' },
      landmarks.includes('bar_left_end'),
    ).causes,
  };
  const covariances = pointCovariances(cameras, variances, position);
  const effects = bodyEffects(scene, bodies);
  return POSTURE_QUANTITIES.filter((name) => name !== 'thigh_elevation_both_deg').map((quantity) => {
    const gradient = gradientAtElevation(scene.sensitivity.parallel, quantity, scene.perDegreeAtParallel[quantity]);
    const variance = FORESEEN.map((group) => {
      if (group === 'noise') return standardDeviation(gradient, covariances) ** 2;
      const byPoints = (shifts[group] ?? []).reduce((sum, shift) => sum + dot(gradient, shift) ** 2, 0);
      return byPoints + (effects[group]?.[quantity] ?? 0);
    });
    const total = variance.reduce((sum, value) => sum + value, 0);
    return {
      quantity,
      sd: Math.sqrt(total),
      parts: FORESEEN.map((cause, g) => ({ cause, sd: Math.sqrt(variance[g]), share: variance[g] / total })),
    };
  });
}

function shiftOf(cause: Cause, length: number): Float64Array {
  const shift = new Float64Array(length);
  cause.movePoints?.(shift, 1);
  return shift;
}

/** Points moved away from the lifter's place on the floor by a share. */
function scaled(position: Float64Array, share: number): Float64Array {
  return position.map((value) => share * value);
}

/** The points turned about X and about Z by one standard deviation of the vertical. */
function verticalShifts(position: Float64Array): Float64Array[] {
  const angle = (VERTICAL_LIMIT_DEG / ROUND_95) * RAD;
  const [forward, sideways] = [new Float64Array(position.length), new Float64Array(position.length)];
  for (let i = 0; i < position.length; i += 3) {
    forward[i] = angle * position[i + 1];
    forward[i + 1] = -angle * position[i];
    sideways[i + 2] = angle * position[i + 1];
    sideways[i + 1] = -angle * position[i + 2];
  }
  return [forward, sideways];
}

/** Displacements of the points for pixels that `shiftInto` shifts; 0 where the cameras do not fix a point. */
function byPixels(
  scene: Scene,
  cameras: readonly Camera[],
  shiftInto: (out: Float64Array, landmark: number, x: number, y: number, z: number) => void,
): Float64Array {
  const { position } = scene.postures.parallel;
  const out = new Float64Array(position.length);
  const map = new Float64Array(6 * cameras.length);
  const weight = new Float64Array(cameras.length).fill(1);
  const shift = new Float64Array(2 * cameras.length);
  for (let l = 0; 3 * l < position.length; l++) {
    const [x, y, z] = position.subarray(3 * l, 3 * l + 3);
    if (!pointMapInto(map, 0, cameras, null, 0, weight, 0, IDENTITY, x, y, z)) continue;
    shift.fill(0);
    shiftInto(shift, l, x, y, z);
    applyMapInto(out, 3 * l, map, 0, shift);
  }
  return out;
}

function cameraShifts(scene: Scene, cameras: readonly Camera[]): Float64Array[] {
  const { focalPx, principalPointPx, turnDeg, placeM } = PLANNED_CAMERA_SD;
  const steps: readonly (readonly [string, number])[] = [
    ['f', focalPx],
    ['cx', principalPointPx],
    ['cy', principalPointPx],
    ...['x', 'y', 'z'].map((axis) => [`turn_${axis}`, turnDeg * RAD] as const),
    ...['x', 'y', 'z'].map((axis) => [`translation_${axis}`, placeM] as const),
  ];
  const [before, after] = [new Float64Array(2), new Float64Array(2)];
  return cameras.flatMap((camera, v) =>
    steps.map(([parameter, sd]) => {
      const moved = movedCameras(cameras, `${camera.name}.${parameter}`, sd)![v];
      return byPixels(scene, cameras, (out, _, x, y, z) => {
        projectInto(before, 0, camera, x, y, z);
        projectInto(after, 0, moved, x, y, z);
        out[2 * v] = before[0] - after[0];
        out[2 * v + 1] = before[1] - after[1];
      });
    }),
  );
}

function clockShifts(scene: Scene, cameras: readonly Camera[], frameRateHz: readonly number[]): Float64Array[] {
  const uv = new Float64Array(2);
  const jacobian = new Float64Array(6);
  const late = (v: number, timeS: (row: number) => number) =>
    byPixels(scene, cameras, (out, l, x, y, z) => {
      projectWithPointJacobianInto(uv, 0, jacobian, 0, cameras[v], x, y, z);
      const time = timeS(uv[1]) * THIGH_SPEED_DEG_PER_S;
      for (let row = 0; row < 2; row++) {
        for (let a = 0; a < 3; a++) out[2 * v + row] += time * jacobian[3 * row + a] * scene.pathAtParallel[3 * l + a];
      }
    });
  return cameras.flatMap(({ imageHeight }, v) => {
    const readout = late(v, (row) => (STATED_READOUT_SD_S * row) / imageHeight);
    return v === 0 ? [readout] : [readout, late(v, () => STATED_OFFSET_SD_FRAMES / frameRateHz[v])];
  });
}

/** Sum of squared effects on each quantity, by kind of doubt, of causes that change body or load. */
function bodyEffects(
  scene: Scene,
  bodies: Partial<Record<CauseGroup, readonly Cause[]>>,
): Partial<Record<CauseGroup, Record<PostureQuantity, number>>> {
  const { lifter, postures } = scene;
  const { landmarks, position } = postures.parallel;
  const table = tableFor(lifter.segments, lifter.sex);
  const values = (cause: Cause | null) => {
    const body = unchangedBody();
    cause?.changeBody?.(body, 1);
    const drawn: LoadedLifter = {
      ...lifter,
      massKg: lifter.massKg + body.massKg,
      load: { ...lifter.load, totalKg: lifter.load.totalKg + body.loadKg },
    };
    return postureQuantityValues(
      posturesAsMotion(drawn, landmarks, position, drawnTable(table, body), body.shifts),
      drawn,
    );
  };
  const asMeasured = values(null);
  return Object.fromEntries(
    Object.entries(bodies).map(([group, causes]) => {
      const sums = Object.fromEntries(POSTURE_QUANTITIES.map((name) => [name, 0])) as Record<PostureQuantity, number>;
      for (const cause of causes) {
        const moved = values(cause);
        for (const name of POSTURE_QUANTITIES) sums[name] += (moved[name][0] - asMeasured[name][0]) ** 2;
      }
      return [group, sums];
    }),
  );
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
