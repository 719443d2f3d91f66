import type { FilmingPlan } from '../capture/plan-file.ts';
import { aimed, type BetterPlacement, betterPlacement, type Movable } from './better-placement.ts';
import { cameraOnStand, type Stand } from './camera-stand.ts';
import { type Foreseen, foresee } from './foresee.ts';
import { type ForeseenDoubt, foreseenDoubt } from './foreseen-causes.ts';
import { foreseenScene, type Scene } from './foreseen-scene.ts';
import { fixedCutoff, pixelVariances } from './posture-uncertainty.ts';
import { FASTEST_M_PER_S } from './view-checks.ts';

/** What is foreseen before filming, and how it could be better. */
export interface PlanResult {
  readonly plan: FilmingPlan;
  readonly scene: Scene;
  readonly movables: readonly Movable[];
  /** Of a filtered pixel coordinate, `landmark * cameras + camera`, px². */
  readonly variances: Float64Array;
  readonly foreseen: Foreseen;
  /** The whole chain at parallel, by kind of doubt. */
  readonly doubt: readonly ForeseenDoubt[];
  readonly better: BetterPlacement;
  /** Smear of the fastest point during the shutter time, px, per camera; null where no shutter time is stated. */
  readonly blurPx: readonly (number | null)[];
}

/**
 * Foreseen uncertainty of a set that is going to be filmed, and a better placement of the phones.
 *
 * Linear propagation: pixel noise (white and slow) through triangulation, the low-pass filter, and the derivatives of lean,
 * gravity-only moments and hip share by the points of a foreseen posture (`foreseen`); and at parallel all other kinds of
 * doubt beside it (`doubt`). Hidden points count as seen. docs/method/plan.md.
 */
export function planFilming(plan: FilmingPlan, scene: Scene = foreseenScene(plan)): PlanResult {
  const movables = plan.cameras.map((planned): Movable => {
    const { side, angleDeg, distanceM, heightM, aimHeightM } = planned;
    const stand: Stand = { side, angleDeg, distanceM, heightM, aimHeightM: aimHeightM ?? 0 };
    const pointed = aimHeightM === null ? aimed(scene, stand) : stand;
    return { camera: cameraOnStand(planned.name, pointed, planned, ...scene.middle), stand: pointed };
  });
  const variances = plannedVariances(plan, scene, movables);
  const cameras = movables.map(({ camera }) => camera);
  const foreseen = foresee(scene, cameras, variances);
  const rates = plan.cameras.map(({ frameRateHz }) => frameRateHz);
  return {
    plan,
    scene,
    movables,
    variances,
    foreseen,
    doubt: foreseenDoubt(scene, cameras, variances, rates),
    better: betterPlacement(scene, movables, variances, plan.room),
    blurPx: plan.cameras.map(({ shutterS }, v) =>
      shutterS === null ? null : FASTEST_M_PER_S * foreseen.views[v].pxPerMetre * shutterS,
    ),
  };
}

function plannedVariances(plan: FilmingPlan, scene: Scene, movables: readonly Movable[]): Float64Array {
  const filmings = movables.map(({ camera }, v) => ({
    camera,
    frameRateHz: plan.cameras[v].frameRateHz,
    noise: () => plan.noise,
  }));
  return pixelVariances(scene.postures.parallel.landmarks, filmings, fixedCutoff(plan.smoothing));
}
