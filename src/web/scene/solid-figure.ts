import {
  type BufferGeometry,
  CircleGeometry,
  CylinderGeometry,
  Group,
  type Material,
  Mesh,
  type Object3D,
  SphereGeometry,
  TorusGeometry,
} from 'three';
import { mergeGeometries } from 'three/examples/jsm/utils/BufferGeometryUtils.js';
import { BAR_RADIUS_M, HEAD_RADIUS_M, LIMBS, type Limb, NECK, SLEEVE_RADIUS_M } from './body-parts.ts';
import type { SceneBar } from './payload.ts';
import type { Pose } from './pose.ts';
import type { Paint } from './solid-paint.ts';
import { shoeShape, trunkShape, tube } from './solid-shapes.ts';

/** A lifter with bar, as solids that follow a pose. */
export interface SolidFigure {
  readonly group: Group;
  /** Takes the pose's present points; parts with unknown points are hidden. Allocates nothing. */
  follow(): void;
}

export function solidFigure(pose: Pose, bar: SceneBar | null, paint: Paint): SolidFigure {
  const group = new Group();
  const parts = [
    ...[...LIMBS, NECK].map((limb) => limbPart(group, pose, limb, paint)),
    trunkPart(group, pose, paint.middle),
    headPart(group, pose, paint.middle),
    shoePart(group, pose, 'left', paint.left),
    shoePart(group, pose, 'right', paint.right),
    bar ? barPart(group, pose, bar, paint) : null,
  ].filter((part) => part !== null);
  return {
    group,
    follow: () => {
      for (const part of parts) part();
    },
  };
}

type Part = () => void;

function solid(group: Object3D, geometry: BufferGeometry, material: Material): Mesh {
  const mesh = new Mesh(geometry, material);
  mesh.matrixAutoUpdate = false;
  mesh.frustumCulled = false;
  group.add(mesh);
  return mesh;
}

function limbPart(group: Group, pose: Pose, limb: Limb, paint: Paint): Part | null {
  const from = pose.slot(limb.from);
  const to = pose.slot(limb.to);
  if (from < 0 || to < 0) return null;
  const ballPaint = limb.side === 'left' ? paint.leftJoint : paint[limb.side];
  const shaft = solid(group, tube(limb.fromRadiusM, limb.toRadiusM), paint[limb.side]);
  // A limb that goes on where another ends finds that one's ball there.
  const goesOn = LIMBS.some(({ to: end }) => end === limb.from);
  const first = goesOn ? null : solid(group, ball(limb.fromRadiusM), ballPaint);
  const last = solid(group, ball(limb.toRadiusM), ballPaint);
  return () => {
    stretch(shaft, pose, from, to, true);
    if (first) stand(first, pose, from);
    stand(last, pose, to);
  };
}

const ball = (radiusM: number) => new SphereGeometry(radiusM, 14, 9);

function headPart(group: Group, pose: Pose, paint: Material): Part {
  const skull = solid(group, new SphereGeometry(HEAD_RADIUS_M, 24, 16), paint);
  const nose = solid(group, ball(0.022), paint);
  const [centre, tip] = [pose.slot('head_centre'), pose.slot('nose')];
  return () => {
    stand(skull, pose, centre);
    stand(nose, pose, tip);
  };
}

/** Between hips and shoulders, turned as the line of the shoulders is. */
function trunkPart(group: Group, pose: Pose, paint: Material): Part {
  const mesh = solid(group, trunkShape(), paint);
  const hips = pose.slot('middle_of_hips');
  const shoulders = pose.slot('middle_of_shoulders');
  const [left, right] = [pose.slot('left_shoulder'), pose.slot('right_shoulder')];
  const { at } = pose;
  return () => {
    mesh.visible = pose.known(hips) && pose.known(shoulders);
    if (!mesh.visible) return;
    const ax = at[3 * shoulders] - at[3 * hips];
    const ay = at[3 * shoulders + 1] - at[3 * hips + 1];
    const az = at[3 * shoulders + 2] - at[3 * hips + 2];
    const bx = (at[3 * right] - at[3 * left]) / 2;
    const by = (at[3 * right + 1] - at[3 * left + 1]) / 2;
    const bz = (at[3 * right + 2] - at[3 * left + 2]) / 2;
    // Forward: the trunk's line across the shoulders'.
    const cx = ay * bz - az * by;
    const cy = az * bx - ax * bz;
    const cz = ax * by - ay * bx;
    const c = 1 / Math.sqrt(cx * cx + cy * cy + cz * cz);
    setMatrix(mesh, bx, by, bz, ax, ay, az, c * cx, c * cy, c * cz, pose, hips);
  };
}

/** Where heel and big toe are known; level across. */
function shoePart(group: Group, pose: Pose, side: 'left' | 'right', paint: Material): Part | null {
  const [heel, toe] = [pose.slot(`${side}_heel`), pose.slot(`${side}_big_toe`)];
  if (heel < 0 || toe < 0) return null;
  const mesh = solid(group, shoeShape(), paint);
  const { at } = pose;
  return () => {
    mesh.visible = pose.known(heel) && pose.known(toe);
    if (!mesh.visible) return;
    const ax = at[3 * toe] - at[3 * heel];
    const ay = at[3 * toe + 1] - at[3 * heel + 1];
    const az = at[3 * toe + 2] - at[3 * heel + 2];
    const flat = 1 / Math.sqrt(ax * ax + az * az);
    const length = 1 / Math.sqrt(ax * ax + ay * ay + az * az);
    // Across: level, and at right angles to the foot; up: what is left.
    const bx = -az * flat;
    const bz = ax * flat;
    const cx = -bz * ay * length;
    const cy = (bz * ax - bx * az) * length;
    const cz = bx * ay * length;
    setMatrix(mesh, ax, ay, az, cx, cy, cz, bx, 0, bz, pose, heel);
  };
}

/** Half the thickness of a disc's drawn rim, metres. */
const RIM_M = 0.009;

/** Bar, sleeves and discs at their true size about the middle of the bar. */
function barPart(group: Group, pose: Pose, { lengthM, discs }: SceneBar, paint: Paint): Part {
  const whole = new Group();
  whole.matrixAutoUpdate = false;
  group.add(whole);
  const at = (alongM: number, geometry: BufferGeometry) => geometry.translate(0, lengthM / 2 + alongM, 0);
  const steel = [at(0, new CylinderGeometry(BAR_RADIUS_M, BAR_RADIUS_M, lengthM, 10))];
  if (discs) {
    const { atM, radiusM } = discs;
    const sleeveM = lengthM / 2 - atM;
    const fills: BufferGeometry[] = [];
    for (const end of [-1, 1]) {
      const sleeve = new CylinderGeometry(SLEEVE_RADIUS_M, SLEEVE_RADIUS_M, sleeveM, 12);
      const rim = new TorusGeometry(radiusM - RIM_M, RIM_M, 6, 44).rotateX(Math.PI / 2);
      const hub = new TorusGeometry(0.07, 0.006, 5, 20).rotateX(Math.PI / 2);
      steel.push(at(end * (atM + sleeveM / 2), sleeve), at(end * atM, rim), at(end * atM, hub));
      fills.push(at(end * atM, new CircleGeometry(radiusM - RIM_M, 40).rotateX(Math.PI / 2)));
    }
    solid(whole, mergeGeometries(fills), paint.disc);
  }
  solid(whole, mergeGeometries(steel), paint.bar);
  const [left, right] = [pose.slot('bar_left'), pose.slot('bar_right')];
  return () => stretch(whole, pose, left, right, false);
}

function stand(object: Object3D, pose: Pose, slot: number): void {
  object.visible = pose.known(slot);
  if (object.visible) setMatrix(object, 1, 0, 0, 0, 1, 0, 0, 0, 1, pose, slot);
}

/** Lays an object's Y axis from one point to another; `scaled`: its unit becomes their distance. */
function stretch(object: Object3D, pose: Pose, from: number, to: number, scaled: boolean): void {
  object.visible = pose.known(from) && pose.known(to);
  if (!object.visible) return;
  const { at } = pose;
  let ax = at[3 * to] - at[3 * from];
  let ay = at[3 * to + 1] - at[3 * from + 1];
  let az = at[3 * to + 2] - at[3 * from + 2];
  const length = Math.sqrt(ax * ax + ay * ay + az * az);
  const scale = 1 / length;
  // Across: any direction that is not along it; limbs lie near the plane of X and Y, a bar along Z.
  const alongZ = Math.abs(az) > 0.9 * length;
  let bx = alongZ ? 0 : ay;
  let by = alongZ ? az : -ax;
  let bz = alongZ ? -ay : 0;
  const across = 1 / Math.sqrt(bx * bx + by * by + bz * bz);
  bx *= across;
  by *= across;
  bz *= across;
  const cx = (by * az - bz * ay) * scale;
  const cy = (bz * ax - bx * az) * scale;
  const cz = (bx * ay - by * ax) * scale;
  if (!scaled) {
    ax *= scale;
    ay *= scale;
    az *= scale;
  }
  setMatrix(object, bx, by, bz, ax, ay, az, cx, cy, cz, pose, from);
}

/** Columns: where the object's X, Y and Z axes go; origin at a point of the pose. */
function setMatrix(
  object: Object3D,
  xx: number,
  xy: number,
  xz: number,
  yx: number,
  yy: number,
  yz: number,
  zx: number,
  zy: number,
  zz: number,
  { at }: Pose,
  origin: number,
): void {
  // biome-ignore format: rows of a matrix
  object.matrix.set(
    xx, yx, zx, at[3 * origin],
    xy, yy, zy, at[3 * origin + 1],
    xz, yz, zz, at[3 * origin + 2],
    0, 0, 0, 1,
  );
  object.matrixWorldNeedsUpdate = true;
}
