import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type AcceptanceLimit, acceptanceLimits } from '../lift/acceptance.ts';
import { demoDataMissing } from '../messages.ts';

const inPackage = (path: string) => fileURLToPath(new URL(`../../${path}`, import.meta.url));

/** Version of the tool, for the provenance record. */
export function toolVersion(): string {
  return JSON.parse(readFileSync(inPackage('package.json'), 'utf8')).version;
}

/** The limits that grade a recording: calibration/acceptance.json. */
export function gradeLimits(): readonly AcceptanceLimit[] {
  const file = inPackage('calibration/acceptance.json');
  return acceptanceLimits(JSON.parse(readFileSync(file, 'utf8')), 'calibration/acceptance.json');
}

/** The demo study that comes with the package. */
export function demoStudy(): string {
  const file = inPackage('datasets/demo-study/study.yaml');
  if (!existsSync(file)) throw demoDataMissing('datasets/demo-study');
  return file;
}
