import { rms } from '../../numerics/statistics.ts';
import type { PowerBalanceQuality } from '../joint-loads.ts';
import { LOADED_JOINTS } from '../loaded-joints.ts';
import type { PowerBudget } from './joint-powers.ts';

/** Fewest frames a balance is judged from; common practice, no source. */
const FEWEST_FRAMES = 10;

/** How a budget adds up, over the frames that are not an edge of a filter (`edge`, one a frame); null where too few are known. */
export function powerBalanceQuality(budget: PowerBudget, edge: Uint8Array): PowerBalanceQuality | null {
  const { joints, rest } = budget;
  const { upperBody, besideThePlane, energyRate } = rest;
  const error: number[] = [];
  const upper: number[] = [];
  const beside: number[] = [];
  let peakW = 0;
  for (let f = 0; f < energyRate.length; f++) {
    const parts = LOADED_JOINTS.reduce((sum, joint) => sum + joints[joint][f], upperBody[f] + besideThePlane[f]);
    if (edge[f] || !Number.isFinite(parts + energyRate[f])) continue;
    error.push(parts - energyRate[f]);
    upper.push(upperBody[f]);
    beside.push(besideThePlane[f]);
    peakW = Math.max(peakW, Math.abs(energyRate[f]));
  }
  if (error.length < FEWEST_FRAMES || peakW === 0) return null;
  const pct = (values: readonly number[]) => (100 * rms(values)) / peakW;
  return { peakW, errorPct: pct(error), upperBodyPct: pct(upper), besideThePlanePct: pct(beside) };
}
