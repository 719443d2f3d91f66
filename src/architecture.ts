/**
 * The order of the layers, as data. A folder imports the foundation, its own files and folders above it in this list;
 * never one below it. `tests/architecture.test.ts` walks every import and fails on an arrow that runs up or in a circle.
 */
export const LAYERS = [
  { folder: 'numerics', owns: 'rotations, least squares, splines, zero-lag filters, distributions; no domain word' },
  { folder: 'capture', owns: 'landmark names, file readers, manifests' },
  { folder: 'cameras', owns: 'camera model, distortion, DLT, calibration, rigs' },
  { folder: 'reconstruction', owns: 'triangulation, gaps, smoothing' },
  { folder: 'body', owns: 'segment tables, barbell, body motion' },
  { folder: 'mechanics', owns: 'centre of mass, ground reaction, joint moments' },
  { folder: 'lift', owns: 'repetitions, depth, hip-to-knee, technique measures' },
  { folder: 'predict', owns: 'static balance model' },
  { folder: 'uncertainty', owns: 'seeded draws through the whole chain' },
  { folder: 'study', owns: 'tidy tables, comparison, statistics' },
  { folder: 'figures', owns: 'Vega-Lite specifications' },
  { folder: 'web', owns: 'what runs in the browser, inside the page: scene, curves, downloads' },
  { folder: 'report', owns: 'self-contained HTML, wording, cautions' },
  { folder: 'cli', owns: 'arguments, files, progress' },
] as const;

/** Files directly in `src/` that every layer may import; they import nothing but each other (and `messages/`). */
export const FOUNDATION = ['errors.ts', 'messages.ts', 'messages/'] as const;

/** Files directly in `src/` that may import every layer; no layer imports them. */
export const SURFACE = ['index.ts', 'architecture.ts'] as const;
