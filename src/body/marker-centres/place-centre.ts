import { axesInto } from '../attitudes/axes.ts';

/**
 * A joint centre from its markers at one frame: `markers` holds their places one after another, `3 * markers`, metres; the centre is
 * written to `out`.
 */
export type PlaceCentre = (out: Float64Array, markers: Float64Array) => void;

/** Midway between two markers. */
export const midway: PlaceCentre = (out, markers) => {
  for (let axis = 0; axis < 3; axis++) out[axis] = (markers[axis] + markers[3 + axis]) / 2;
};

/** Scratch: two directions and the axes of the pelvis. */
const across = new Float64Array(3);
const ahead = new Float64Array(3);
const pelvis = new Float64Array(9);

/**
 * The hip at a fixed place of the pelvis. Markers: left ASIS, right ASIS, left PSIS, right PSIS; `hip`: from midway between the
 * ASIS, metres, in the axes of the pelvis (Z along the ASIS, X nearest the line from mid-PSIS to mid-ASIS).
 */
export function hipInPelvis(hip: readonly [number, number, number]): PlaceCentre {
  return (out, markers) => {
    for (let axis = 0; axis < 3; axis++) {
      across[axis] = markers[3 + axis] - markers[axis];
      out[axis] = (markers[axis] + markers[3 + axis]) / 2;
      ahead[axis] = out[axis] - (markers[6 + axis] + markers[9 + axis]) / 2;
    }
    axesInto(pelvis, 0, 2, across, 0, 0, ahead, 0);
    for (let axis = 0; axis < 3; axis++) {
      out[axis] += pelvis[3 * axis] * hip[0] + pelvis[3 * axis + 1] * hip[1] + pelvis[3 * axis + 2] * hip[2];
    }
  };
}
