import { gradeRig } from '../cameras/acceptance.ts';
import type { Calibration } from '../cameras/calibration.ts';
import { serialiseRig } from '../cameras/rig-file.ts';
import type { InputDigest } from '../capture/recording.ts';
import { calibrationFigures } from '../report/calibration-figures.ts';
import { calibrationPage } from '../report/calibration-page.ts';
import { calibrationPointsCsv, calibrationViewsCsv } from '../study/calibration-tables.ts';
import { jsonText } from '../study/json-text.ts';
import { rigGradeLimits, toolVersion } from './package-files.ts';

/** Every file of a calibration's result, name inside its folder → content, and how the rig was graded. */
export async function calibrationFiles(
  calibration: Calibration,
  settings: Readonly<Record<string, unknown>>,
  inputs: readonly InputDigest[],
): Promise<{ files: Map<string, string>; graded: ReturnType<typeof gradeRig> }> {
  const graded = gradeRig(calibration.rig, rigGradeLimits());
  const tables = new Map([
    ['calibration-points.csv', calibrationPointsCsv(calibration)],
    ['calibration-views.csv', calibrationViewsCsv(calibration)],
  ]);
  const beside = ['rig.json', ...tables.keys(), 'provenance.json'];
  const page = calibrationPage({
    calibration,
    graded,
    figures: await calibrationFigures(calibration),
    toolVersion: toolVersion(),
    files: beside,
  });
  const provenance = { tool: 'kneeward', tool_version: toolVersion(), settings, inputs };
  return {
    files: new Map([
      ['rig.json', serialiseRig(calibration.rig)],
      ['report.html', page],
      ...tables,
      ['provenance.json', jsonText(provenance)],
    ]),
    graded,
  };
}
