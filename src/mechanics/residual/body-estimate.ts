import type { BodyMotion, SegmentMotion } from '../../body/body-motion.ts';
import { leastSquares } from '../../numerics/least-squares.ts';
import { rms } from '../../numerics/statistics.ts';
import { bodiesOf, demandAdder, zeroDemand } from '../body-wrenches.ts';
import type { JointLoads } from '../joint-loads.ts';
import { framesPerIndependentValue } from './correlated-count.ts';
import type { ResidualSeries } from './residual-series.ts';

/** One number with its standard uncertainty. */
export interface Estimated {
  readonly value: number;
  readonly standardUncertainty: number;
  readonly credible: boolean;
}

/** What the force plates say of a body whose movement is known. Never applied by itself. */
export interface BodyEstimate {
  /** Mass of the lifter, kg; the load is taken as stated. */
  readonly massKg: Estimated;
  /** Centre of mass of the trunk against where the model has it, metres: up its line, and forward square to it. */
  readonly trunkUpM: Estimated;
  readonly trunkForwardM: Estimated;
  /** Standard deviation of what is left, of the vertical and forward force (N) and the moment about mid-hip (N·m). */
  readonly leftOver: { readonly up: number; readonly forward: number; readonly moment: number };
  /** Frames used, and how many independent values they are worth in the channel that has the fewest. */
  readonly frames: number;
  readonly independentValues: number;
}

/** What is believed of the three before the force plates are read; absent = nothing. */
export interface EstimatePriors {
  readonly massSdKg?: number;
  readonly trunkUpSdM?: number;
  readonly trunkForwardSdM?: number;
}

/** Body mass further off than this share of the stated one is a mistake of the entry or of the force plates. Common practice, no source. */
export const CREDIBLE_MASS_SHARE = 0.05;
/**
 * Trunk centre further up or down than published tables differ, share of the trunk's length: 0.500 (Winter 2009) to 0.622 (de
 * Leva 1996, women).
 */
export const CREDIBLE_TRUNK_UP_SHARE = 0.122;
/** Trunk centre further forward or back than two standard deviations of where people's vertebrae lie (Gangnet et al. 2003), metres. */
export const CREDIBLE_TRUNK_FORWARD_M = 0.04;

const CHANNELS = 3;
/** Fewer independent values than parameters tell nothing. */
const FEWEST_INDEPENDENT = 3;
const PASSES = 3;

/**
 * Mass of the lifter and place of the trunk's centre of mass that fit the measured ground reaction best.
 *
 * Least squares on vertical force, forward force and moment about mid-hip, each weighted by the scatter that is left over;
 * repeated until the weights stand. The trunk's centre is moved with the trunk, as one body; its acceleration follows. Residuals of
 * neighbouring frames are alike: each channel counts as frames / (frames per independent value), so the uncertainty does not
 * fall with the frame rate. It says how well the force plates tell the three numbers if all else is right; errors of points,
 * of other segments and of the force plates' place are not in it. Null where fewer than three independent values are left.
 */
export function bodyEstimate(
  loads: JointLoads,
  series: ResidualSeries,
  priors: EstimatePriors = {},
): BodyEstimate | null {
  const { motion, measuredForce } = loads;
  const frames = [...series.counts.keys()].filter((k) => series.counts[k]);
  const trunk = motion.segments.find(({ name }) => name === 'trunk');
  if (!trunk || !measuredForce || frames.length < FEWEST_INDEPENDENT) return null;
  const model = residualModel(motion, trunk, series, frames);
  const priorRows = [
    { parameter: 0, sd: priors.massSdKg === undefined ? undefined : priors.massSdKg / motion.bodyMassKg },
    { parameter: 1, sd: priors.trunkUpSdM },
    { parameter: 2, sd: priors.trunkForwardSdM },
  ].filter((row): row is { parameter: number; sd: number } => row.sd !== undefined);
  const count = CHANNELS * frames.length;

  let parameters: Float64Array = new Float64Array(3);
  const left = new Float64Array(count);
  const channel = (c: number) => left.subarray(c * frames.length, (c + 1) * frames.length);
  model(left, parameters);
  let fit: ReturnType<typeof leastSquares> | null = null;
  for (let pass = 0; pass < PASSES; pass++) {
    const scale = [0, 1, 2].map((c) => rms(channel(c)) * Math.sqrt(framesPerIndependentValue(channel(c))) || 1);
    fit = leastSquares(
      {
        residualCount: count + priorRows.length,
        parameterCount: 3,
        residualsInto(out, p) {
          model(out, p);
          for (let c = 0; c < CHANNELS; c++)
            for (let k = c * frames.length; k < (c + 1) * frames.length; k++) out[k] /= scale[c];
          priorRows.forEach(({ parameter, sd }, k) => {
            out[count + k] = p[parameter] / sd;
          });
        },
      },
      parameters,
      { typicalSizes: [0.01, 0.01, 0.01] },
    );
    parameters = fit.parameters;
    model(left, parameters);
  }
  if (!fit) return null;
  const independentValues = Math.min(...[0, 1, 2].map((c) => frames.length / framesPerIndependentValue(channel(c))));
  if (independentValues < FEWEST_INDEPENDENT) return null;
  // The solver scales its covariance by what is left; the rows here are in standard deviations already.
  const freedom = count + priorRows.length - fit.rank;
  const unit = fit.residualSumOfSquares > 0 ? freedom / fit.residualSumOfSquares : 0;
  const uncertainty = [...fit.standardDeviations].map((sd) => sd * Math.sqrt(unit));
  const found = (value: number, standardUncertainty: number, limit: number): Estimated => ({
    value,
    standardUncertainty,
    credible: Math.abs(value) <= limit && standardUncertainty <= limit,
  });
  const mass = found(parameters[0], uncertainty[0], CREDIBLE_MASS_SHARE);
  return {
    massKg: {
      value: motion.bodyMassKg * (1 + mass.value),
      standardUncertainty: motion.bodyMassKg * mass.standardUncertainty,
      credible: mass.credible,
    },
    trunkUpM: found(parameters[1], uncertainty[1], CREDIBLE_TRUNK_UP_SHARE * trunk.lengthM),
    trunkForwardM: found(parameters[2], uncertainty[2], CREDIBLE_TRUNK_FORWARD_M),
    leftOver: { up: rms(channel(0)), forward: rms(channel(1)), moment: rms(channel(2)) },
    frames: frames.length,
    independentValues,
  };
}

/**
 * Returns the function that writes the residual (above minus measured) for [relative change of body mass, trunk up, trunk
 * forward]: vertical force, forward force and moment about mid-hip of the counted frames, one channel after the other. Exact in
 * the parameters, not linearised: the trunk is shifted and its demand computed again.
 */
function residualModel(
  motion: BodyMotion,
  trunk: SegmentMotion,
  series: ResidualSeries,
  frames: readonly number[],
): (out: Float64Array, p: ArrayLike<number>) => void {
  const add = demandAdder(motion);
  const rest = zeroDemand(motion.frames);
  for (const body of bodiesOf(motion)) if (body !== trunk && body.name !== 'barbell') add(rest, body);
  const moved = { ...trunk, centre: trunk.centre.slice() };
  const asModelled = zeroDemand(motion.frames);
  add(asModelled, trunk);
  const midHip = motion.joints.mid_hip!;
  const shifted = zeroDemand(motion.frames);
  const [others, before] = [rest.total, asModelled.total];
  return (out, p) => {
    const [share, up, forward] = [p[0], p[1], p[2]];
    for (let i = 0; i < moved.centre.length; i += 3) {
      const [x, y, z] = [trunk.axis[i], trunk.axis[i + 1], trunk.axis[i + 2]];
      const scale = forward / Math.sqrt(x * x + y * y);
      moved.centre[i] = trunk.centre[i] + up * x + scale * y;
      moved.centre[i + 1] = trunk.centre[i + 1] + up * y - scale * x;
      moved.centre[i + 2] = trunk.centre[i + 2] + up * z;
    }
    shifted.total.force.fill(0);
    shifted.total.moment.fill(0);
    add(shifted, moved);
    const n = frames.length;
    const { force, moment } = shifted.total;
    for (let k = 0; k < n; k++) {
      const i = 3 * frames[k];
      const fx = (1 + share) * force[i] - before.force[i] + share * others.force[i];
      const fy = (1 + share) * force[i + 1] - before.force[i + 1] + share * others.force[i + 1];
      const mz = (1 + share) * moment[i + 2] - before.moment[i + 2] + share * others.moment[i + 2];
      out[k] = series.force[i + 1] + fy;
      out[n + k] = series.force[i] + fx;
      out[2 * n + k] = series.momentAboutMidHip[i + 2] + mz - (midHip[i] * fy - midHip[i + 1] * fx);
    }
  };
}
