import type { BundleCamera } from '../bundle-problem.ts';
import type { Camera } from '../rig.ts';
import { BOTH_FOCAL_LENGTHS, type BundlePlaces } from './bundle-layout.ts';

/** A camera whose values follow the state without new objects. */
export type MovableCamera = { -readonly [K in keyof Camera]: Camera[K] } & { distortion: number[] };

export function movable(camera: Camera): MovableCamera {
  return {
    name: camera.name,
    imageWidth: camera.imageWidth,
    imageHeight: camera.imageHeight,
    fx: camera.fx,
    fy: camera.fy,
    cx: camera.cx,
    cy: camera.cy,
    skew: camera.skew,
    distortion: [...camera.distortion] as MovableCamera['distortion'],
    pixelLens: camera.pixelLens,
    rotation: camera.rotation.slice(),
    translation: camera.translation.slice(),
  };
}

/** Writes the free values of a state to the cameras. */
export function moveCameras(moving: readonly MovableCamera[], places: BundlePlaces, state: Float64Array): void {
  for (let c = 0; c < moving.length; c++) {
    const camera = moving[c];
    const { poseFree, stateAt, lensState, lens } = places.cameras[c];
    if (poseFree) {
      for (let k = 0; k < 9; k++) camera.rotation[k] = state[stateAt + k];
      for (let k = 0; k < 3; k++) camera.translation[k] = state[stateAt + 9 + k];
    }
    for (let k = 0; k < lens.length; k++) setLens(camera, lens[k], state[stateAt + lensState + k]);
  }
}

function setLens(camera: MovableCamera, code: number, value: number): void {
  if (code === BOTH_FOCAL_LENGTHS || code === 0) camera.fx = value;
  if (code === BOTH_FOCAL_LENGTHS || code === 1) camera.fy = value;
  else if (code === 2) camera.cx = value;
  else if (code === 3) camera.cy = value;
  else if (code === 4) camera.skew = value;
  else if (code > 4) camera.distortion[code - 5] = value;
}

/** The cameras of a state, as new objects; held parts are those of the start. */
export function camerasOf(state: Float64Array, cameras: readonly BundleCamera[], places: BundlePlaces): Camera[] {
  const moving = cameras.map(({ camera }) => movable(camera));
  moveCameras(moving, places, state);
  return moving.map((camera, c) => {
    const { pixelLens, ...rest } = camera;
    const made = rest as unknown as Camera;
    return cameras[c].camera.pixelLens === undefined ? made : { ...made, pixelLens };
  });
}
