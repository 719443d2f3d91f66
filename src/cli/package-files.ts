import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type RigLimit, rigLimits } from '../cameras/acceptance.ts';
import { type AcceptanceLimit, acceptanceLimits } from '../lift/acceptance.ts';
import { demoDataMissing } from '../messages.ts';

const inPackage = (path: string) => fileURLToPath(new URL(`../../${path}`, import.meta.url));

/** Version of the tool, for the provenance record. */
export function toolVersion(): string {
  return JSON.parse(readFileSync(inPackage('package.json'), 'utf8')).version;
}

const ACCEPTANCE = 'calibration/acceptance.json';

/** The limits that grade a recording: "limits" of calibration/acceptance.json. */
export function gradeLimits(): readonly AcceptanceLimit[] {
  return acceptanceLimits(JSON.parse(readFileSync(inPackage(ACCEPTANCE), 'utf8')), ACCEPTANCE);
}

/** The limits that grade a rig: "rig_limits" of calibration/acceptance.json. */
export function rigGradeLimits(): readonly RigLimit[] {
  return rigLimits(JSON.parse(readFileSync(inPackage(ACCEPTANCE), 'utf8')), ACCEPTANCE);
}

/** The demo study that comes with the package. */
export function demoStudy(): string {
  const file = inPackage('datasets/demo-study/study.yaml');
  if (!existsSync(file)) throw demoDataMissing('datasets/demo-study');
  return file;
}
