import { type AnalysisSettings, DEFAULT_SETTINGS, type Smoothing } from './recording.ts';
import type { RecordingFile } from './schema.ts';

type WrittenSettings = RecordingFile['settings'];
type WrittenCutoff = NonNullable<NonNullable<WrittenSettings>['smoothing']>['cutoff_hz'];

/** Settings written in a file, laid over those that hold without it. */
export function applySettings(base: AnalysisSettings, written: WrittenSettings): AnalysisSettings {
  return {
    smoothing: written?.smoothing ? smoothingOf(base.smoothing, written.smoothing.cutoff_hz) : base.smoothing,
    points: written?.points ?? base.points,
    gapLimitS: written?.gap_limit_s ?? base.gapLimitS,
    minimumConfidence: written?.minimum_confidence ?? base.minimumConfidence,
    seed: base.seed,
  };
}

/** One number holds for all groups; a group left out keeps the cut-off it had, or the default where none was fixed. */
function smoothingOf(base: Smoothing, written: WrittenCutoff): Smoothing {
  if (written === 'residual' || written === 'none') return { kind: written };
  if (typeof written === 'number') return { kind: 'fixed', legsHz: written, trunkHz: written, barHz: written };
  const before = base.kind === 'fixed' ? base : (DEFAULT_SETTINGS.smoothing as Extract<Smoothing, { kind: 'fixed' }>);
  return {
    kind: 'fixed',
    legsHz: written.legs ?? before.legsHz,
    trunkHz: written.trunk ?? before.trunkHz,
    barHz: written.bar ?? before.barHz,
  };
}
