/** Public interface of Kneeward, in the order the data flow: capture, cameras, reconstruction, body, mechanics, lift, study, figures, report. */

// Body and mechanics: segments, moments, ground reaction.
export type * from './body/attitude.ts';
export { bodyAttitudes } from './body/attitudes/body-attitudes.ts';
export * from './body/body-motion.ts';
export { bodyMotion } from './body/body-motion-from-trajectories.ts';
export { jointAngles } from './body/joint-angles/joint-angles.ts';
export { type OffsetTable, offsetTable } from './body/keypoint-offsets.ts';
export { type MarkerCentres, markerCentres } from './body/marker-centres/marker-centres.ts';
export { type SkeletonFit, skeletonFit } from './body/skeleton/skeleton-fit.ts';
export { otherTables, tableFor } from './body/table-for.ts';
// Cameras: how they see and where they stand.
export { gradeRig, type RigLimit, rigLimits } from './cameras/acceptance.ts';
export type { Board, BoardImage } from './cameras/board.ts';
export { calibrationOfBoardRig } from './cameras/board-calibration.ts';
export { fitBoardLens } from './cameras/board-lens.ts';
export { calibrateRigFromBoard } from './cameras/board-rig.ts';
export { solveBundle } from './cameras/bundle.ts';
export type * from './cameras/bundle-problem.ts';
export type * from './cameras/calibration.ts';
export * from './cameras/camera-model.ts';
export { findCharuco } from './cameras/charuco/find-charuco.ts';
export { findChessboard } from './cameras/chessboard/find-chessboard.ts';
export { applyClocks } from './cameras/clocks/apply-clocks.ts';
export { estimateClocks } from './cameras/clocks/estimate-clocks.ts';
export { controlPointCalibration } from './cameras/control-point-calibration.ts';
export { type KnownLensRecord, parseLenses, serialiseLenses } from './cameras/lens-file.ts';
export { rigFromBarbell, rigFromRods } from './cameras/moving-points/moving-points-rig.ts';
export * from './cameras/rig.ts';
export { parseRig, rigJsonSchema, serialiseRig } from './cameras/rig-file.ts';
// Capture: files in, checked and in SI units.
export { type Abilities, abilities } from './capture/abilities.ts';
export { readFindingsFile } from './capture/findings-file.ts';
export { COCO_BODY_AND_FEET_COUNT, COCO_COUNT, isLandmark, LANDMARKS, type Landmark } from './capture/landmarks.ts';
export { loadRecording } from './capture/load-recording.ts';
export { loadStudy } from './capture/load-study.ts';
export { checkPlausibleLifter } from './capture/point-checks.ts';
export * from './capture/recording.ts';
export { isUsable, SampleStatus, type SampleStatusCode, statusName } from './capture/sample-status.ts';
export { recordingJsonSchema, studyJsonSchema } from './capture/schema.ts';
// What can go wrong.
export { DataError, UsageError } from './errors.ts';
export { hipShareAcrossDepth } from './figures/hip-share-across-depth.ts';
export { leanAcrossDepth } from './figures/lean-across-depth.ts';
// Study, figures, report: tables and pictures of what was found.
export { momentAcrossDepth } from './figures/moment-across-depth.ts';
export { postureStrip } from './figures/posture-strip.ts';
export { renderSvg } from './figures/render-svg.ts';
// Lift: repetitions, depth, hip share, measures, grade.
export { type AcceptanceLimit, acceptanceLimits } from './lift/acceptance.ts';
export { describeLift } from './lift/describe-lift.ts';
export { findInLift, type LiftFindings } from './lift/findings/find.ts';
export type { Finding } from './lift/findings/findings.ts';
export { BUILT_IN_RULES } from './lift/findings/rules/index.ts';
export { type RuleSet, rulesFromFile } from './lift/findings/rules-from-file.ts';
export { type Grade, type GradedQuality, gradeLift } from './lift/grade.ts';
export type * from './lift/lift-record.ts';
export { MEASURES } from './lift/measures/index.ts';
export { columnName } from './lift/quantities.ts';
export { type StartWord, startWord } from './lift/start-word.ts';
export * from './mechanics/joint-loads.ts';
export { jointLoads } from './mechanics/joint-loads-from-motion.ts';
export { type SharingAssumptions, USUAL_ASSUMPTIONS } from './mechanics/leg-sharing/assumptions.ts';
export { type LegSharing, legSharing } from './mechanics/leg-sharing/leg-sharing.ts';
export { type LegPowerBalance, legPowerBalance } from './mechanics/power/leg-powers.ts';
export { type ResidualAnalysis, residualAnalysis } from './mechanics/residual/residual-analysis.ts';
export { type SpatialMoment, spatialMoments } from './mechanics/spatial/spatial-moments.ts';
// Reconstruction: trajectories in the lab frame.
export type * from './reconstruction/evidence.ts';
export { type Reconstruction, reconstruct } from './reconstruction/reconstruct.ts';
export { smoothingBias } from './reconstruction/smoothing-bias.ts';
export { smoothingGain } from './reconstruction/smoothing-gain.ts';
export type * from './reconstruction/trajectories.ts';
export { type PointProblem, pointProblem, triangulatePoint } from './reconstruction/triangulate-point.ts';
// Study: the comparison of a whole study, and statistics.
export { type CohortFigure, type CohortInput, cohortFigures } from './report/cohort-figures.ts';
export { liftFigures } from './report/lift-figures.ts';
export { reportHtml } from './report/report.ts';
export { causesTable } from './study/causes-table.ts';
export { checkedComparison } from './study/cohort/checked-comparison.ts';
export { cohortComparison } from './study/cohort/cohort-comparison.ts';
export { type KeptCurve, keptCurvesOf } from './study/cohort/kept-curves.ts';
export { comparisonsTable, differenceOf } from './study/comparisons.ts';
export { combineTables, csvOf } from './study/csv.ts';
export { readPilot } from './study/sample-size/pilot-file.ts';
export { sampleSize } from './study/sample-size/sample-size.ts';
export { sampleSizeLines, sampleSizeTable } from './study/sample-size/sample-size-table.ts';
export { type SetMean, setMeansOf } from './study/set-means.ts';
export { clusterBootstrap } from './study/statistics/cluster-bootstrap.ts';
export { athleteCurves, curveRowsOf } from './study/statistics/curves/athlete-curves.ts';
export { covariateCurves } from './study/statistics/curves/covariate-curves.ts';
export { curveTestLines, curveTestTable } from './study/statistics/curves/curve-test-table.ts';
export { groupCurves } from './study/statistics/curves/group-curves.ts';
export { pairedCurves } from './study/statistics/curves/paired-curves.ts';
export { effectsOfDifference, effectsOfMean, withSharedDoubt } from './study/statistics/curves/shared-doubt.ts';
export { intraclassCorrelations, oneWayIntraclass } from './study/statistics/intraclass-correlation.ts';
export { replicatedAgreement } from './study/statistics/limits-of-agreement.ts';
export { measurementError, oneWayMeasurementError, ratioError } from './study/statistics/measurement-error.ts';
export { caseBootstrap } from './study/statistics/mixed-model/case-bootstrap.ts';
export { contrast } from './study/statistics/mixed-model/contrast.ts';
export type { ModelDescription } from './study/statistics/mixed-model/description.ts';
export { mixedModel } from './study/statistics/mixed-model/fit.ts';
export { jointTest } from './study/statistics/mixed-model/joint-test.ts';
export { likelihoodRatio } from './study/statistics/mixed-model/likelihood-ratio.ts';
export { levelContrasts, marginalMeans } from './study/statistics/mixed-model/marginal-means.ts';
export type * from './study/statistics/mixed-model/mixed-fit.ts';
export type { ModelTable } from './study/statistics/mixed-model/model-rows.ts';
export { parametricBootstrap } from './study/statistics/mixed-model/parametric-bootstrap.ts';
export { type SharedCause, withSharedErrors } from './study/statistics/mixed-model/shared-errors.ts';
export { adjustedProbabilities } from './study/statistics/multiplicity.ts';
export { independentDifference, pairedDifference } from './study/statistics/standardised-difference.ts';
export * from './study/tables.ts';
export { checkTables } from './study/tidy/check-tables.ts';
export { dataPackage } from './study/tidy/data-package.ts';
export { writeParquet } from './study/tidy/parquet.ts';
export { TABLE_SCHEMAS, tableSchema } from './study/tidy/table-schema.ts';
export { tidyStudy } from './study/tidy/tidy-study.ts';
export { wideMeasures } from './study/tidy/wide-measures.ts';
export { sessionMeasuresOf } from './study/weeks/from-recordings.ts';
export { weekChanges } from './study/weeks/week-changes.ts';
// How sure: intervals and what they are made of.
export * from './uncertainty/causes/cause.ts';
export { type LiftUncertainty, liftUncertainty, type UncertaintyOptions } from './uncertainty/lift-uncertainty.ts';
// Before filming: what the numbers will be worth, and which phone to move.
export { placementAdvice } from './uncertainty/placement-advice.ts';
export { planFilming } from './uncertainty/plan.ts';
