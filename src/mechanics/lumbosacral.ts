import type { BodyMotion, SegmentMotion } from '../body/body-motion.ts';
import { along, unknownSeries } from '../body/point-series.ts';
import { demandAdder, zeroDemand } from './body-wrenches.ts';
import { type Cut, extensorMoment } from './cut-moments.ts';
import type { MomentSeries } from './loaded-joints.ts';
import { addWrenchInto, copyWrench } from './wrench.ts';

/**
 * Height of the lumbosacral joint (L5/S1) on the line from mid-hip to mid-shoulder, share of its length. Dumas et al. (2007)
 * J Biomech 40:543, pelvis lengths 94 mm (men) and 107 mm (women) (from memory), over the mid-hip to mid-shoulder distances
 * of de Leva (1996) Table 4, 515.5 and 497.9 mm: 0.18 and 0.21.
 */
export const LUMBOSACRAL_SHARE = 0.2;

/** The pelvis below that joint: share of body mass, and its centre from the joint towards mid-hip as a share of that distance (Dumas et al. 2007, mean of women and men). */
const PELVIS_MASS_SHARE = 0.144;
const PELVIS_CENTRE_SHARE = 0.256;

/** Moment at L5/S1 and the cut it comes from. */
export interface LumbosacralLoad {
  /** `3 * frame`, metres. */
  readonly point: Float64Array;
  /** What the part below L5/S1 gives the part above it. */
  readonly cut: Cut;
  /** About lab +Z, extensor positive. */
  readonly moment: MomentSeries;
}

/**
 * The load at the lumbosacral joint, from above: the hips' cut less the pelvis.
 *
 * The pelvis is taken off as a point mass on the trunk's line; its own rotational inertia (about 0.1 kg·m²; 0.5 N·m at 5
 * rad/s²) stays with the trunk. Null without hips and shoulders.
 */
export function lumbosacralLoad(motion: BodyMotion, hipCut: Cut): LumbosacralLoad | null {
  const { mid_hip: hip, mid_shoulder: shoulder } = motion.joints;
  if (!hip || !shoulder) return null;
  const point = along(hip, shoulder, LUMBOSACRAL_SHARE);
  const pelvis: SegmentMotion = {
    name: 'trunk',
    massKg: PELVIS_MASS_SHARE * motion.bodyMassKg,
    centre: along(hip, shoulder, LUMBOSACRAL_SHARE * (1 - PELVIS_CENTRE_SHARE)),
    axis: unknownSeries(motion.frames),
    transverseInertiaKgM2: 0,
    lengthM: Number.NaN,
    lengthVariation: Number.NaN,
    placedBy: null,
  };
  const demand = zeroDemand(motion.frames);
  demandAdder(motion)(demand, pelvis);
  const total = copyWrench(hipCut.total);
  addWrenchInto(total, demand.total, -1);
  const gravity = hipCut.gravity && copyWrench(hipCut.gravity);
  if (gravity) addWrenchInto(gravity, demand.gravity, -1);
  const cut = { total, gravity };
  return { point, cut, moment: extensorMoment(cut, point, 1, motion.frames) };
}
