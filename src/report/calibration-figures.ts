import type { Calibration } from '../cameras/calibration.ts';
import { imageCoverage } from '../figures/image-coverage.ts';
import type { Figure } from '../figures/look.ts';
import { renderSvg } from '../figures/render-svg.ts';
import { residualFactor, residualVectors } from '../figures/residual-vectors.ts';
import { rigPlan } from '../figures/rig-plan.ts';
import { scaleBudget } from '../figures/scale-budget.ts';
import { viewResiduals } from '../figures/view-residuals.ts';

/** The figures of a calibration as SVG texts; null, or not in the map, where there is nothing to draw. */
export interface CalibrationFigures {
  /** How much longer than in the picture residuals are drawn. */
  readonly residualFactor: number;
  readonly residuals: ReadonlyMap<string, string>;
  readonly coverage: ReadonlyMap<string, string>;
  readonly fromAbove: string | null;
  readonly fromSide: string | null;
  readonly views: string | null;
  readonly scale: string | null;
}

/** Draws every figure. Deterministic: the same calibration gives the same bytes. */
export async function calibrationFigures(calibration: Calibration): Promise<CalibrationFigures> {
  const { rig, observations, points, views } = calibration;
  const { cameras, quality } = rig;
  const factor = residualFactor(cameras, observations);
  const draw = async (figure: Figure | null) => (figure === null ? null : renderSvg(figure));
  const each = async (of: (camera: (typeof cameras)[number]) => Figure | null) => {
    const drawn = new Map<string, string>();
    for (const camera of cameras) {
      const svg = await draw(of(camera));
      if (svg !== null) drawn.set(camera.name, svg);
    }
    return drawn;
  };
  const floorKnown = (quality.measured?.vertical ?? null) !== null;
  const scale = quality.measured?.scale ?? null;
  return {
    residualFactor: factor,
    residuals: await each((camera) => residualVectors(camera, observations, factor)),
    coverage: await each((camera) => imageCoverage(camera, observations)),
    fromAbove: await draw(rigPlan(cameras, points, 'from above', floorKnown)),
    fromSide: await draw(rigPlan(cameras, points, 'from the side', floorKnown)),
    views: await draw(viewResiduals(views)),
    scale: await draw(scale === null ? null : scaleBudget(scale)),
  };
}
