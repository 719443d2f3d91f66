import { type AnalysisSettings, DEFAULT_SETTINGS, type Smoothing } from './recording.ts';
import type { RecordingFile } from './schema.ts';

type WrittenSettings = RecordingFile['settings'];
type WrittenSmoothing = NonNullable<NonNullable<WrittenSettings>['smoothing']>;

/** Settings written in a file, laid over those that hold without it. */
export function applySettings(base: AnalysisSettings, written: WrittenSettings): AnalysisSettings {
  return {
    smoothing: written?.smoothing ? smoothingOf(base.smoothing, written.smoothing) : base.smoothing,
    points: written?.points ?? base.points,
    trunk: written?.trunk ?? base.trunk,
    gapLimitS: written?.gap_limit_s ?? base.gapLimitS,
    minimumConfidence: written?.minimum_confidence ?? base.minimumConfidence,
    legSharing: written?.leg_sharing ?? base.legSharing,
    momentAxes: written?.moments?.axes ?? base.momentAxes,
    momentUnit: written?.moments?.unit ?? base.momentUnit,
    momentsFrom: written?.moments?.from ?? base.momentsFrom,
    seed: base.seed,
  };
}

/**
 * One number holds for all groups; a group left out keeps the cut-off it had, or the default where none was fixed. A method
 * or a cut-off left out stays as it was.
 */
function smoothingOf(base: Smoothing, written: WrittenSmoothing): Smoothing {
  const method = written.method ?? (base.kind === 'none' ? undefined : base.method);
  const named = method === undefined ? {} : { method };
  const cutoff = written.cutoff_hz;
  if (cutoff === 'none' || (cutoff === undefined && base.kind === 'none')) return { kind: 'none' };
  if (cutoff === undefined) return { ...base, ...named } as Smoothing;
  if (cutoff === 'residual') return { kind: 'residual', ...named };
  if (typeof cutoff === 'number') return { kind: 'fixed', legsHz: cutoff, trunkHz: cutoff, barHz: cutoff, ...named };
  const before = base.kind === 'fixed' ? base : (DEFAULT_SETTINGS.smoothing as Extract<Smoothing, { kind: 'fixed' }>);
  return {
    kind: 'fixed',
    legsHz: cutoff.legs ?? before.legsHz,
    trunkHz: cutoff.trunk ?? before.trunkHz,
    barHz: cutoff.bar ?? before.barHz,
    ...named,
  };
}
