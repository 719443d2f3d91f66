/**
 * Every text a user can meet, as named functions, by the layer that speaks. Errors carry a code and facts; tests assert
 * on those and never on prose.
 */

export * from './messages/acceptance.ts';
export * from './messages/angles.ts';
export * from './messages/boards.ts';
export * from './messages/body.ts';
export * from './messages/c3d.ts';
export * from './messages/calibrate.ts';
export * from './messages/cameras.ts';
export * from './messages/capture.ts';
export * from './messages/changes.ts';
export * from './messages/cli.ts';
export * from './messages/clocks.ts';
export * from './messages/cohort.ts';
export * from './messages/cohort-curves.ts';
export * from './messages/compare.ts';
export * from './messages/curve-tests.ts';
export * from './messages/findings.ts';
export * from './messages/force-plates.ts';
export * from './messages/images.ts';
export * from './messages/leg-sharing.ts';
export * from './messages/lenses.ts';
export * from './messages/lift.ts';
export * from './messages/mechanics.ts';
export * from './messages/mixed-model.ts';
export * from './messages/moving-points.ts';
export * from './messages/plan.ts';
export * from './messages/reconstruction.ts';
export * from './messages/reliability.ts';
export * from './messages/residual.ts';
export * from './messages/sample-size.ts';
export * from './messages/skeleton.ts';
export * from './messages/still-moments.ts';
export * from './messages/stills.ts';
export * from './messages/study-run.ts';
export * from './messages/technique.ts';
export * from './messages/tidy.ts';
export * from './messages/trunk.ts';
export * from './messages/uncertainty.ts';
export * from './messages/validate.ts';
export * from './messages/video.ts';
export * from './messages/weeks.ts';
