import { cameraCentre } from '../cameras/camera-model.ts';
import type { Camera } from '../cameras/rig.ts';
import { tapeCameraUnknown, tapeDisagrees } from '../messages/calibrate.ts';
import { usage } from '../messages/cli.ts';

/** A distance between two lenses by tape, metres. */
export interface Tape {
  readonly cameras: readonly [string, string];
  readonly distanceM: number;
}

/** Distances by tape and by the pictures may differ by this share. Common practice, no source. */
const TAPE_LIMIT = 0.02;

/** `--tape FIRST:SECOND=METRES`, once or more. */
export function tapeOption(text: string, before: readonly Tape[] | undefined): readonly Tape[] {
  const parts = /^(.+):(.+)=([\d.]+)$/.exec(text);
  const distanceM = Number(parts?.[3]);
  if (parts === null || !(distanceM > 0)) {
    throw usage(`--tape ${text}: write FIRST:SECOND=METRES, for instance left:right=3.42.`);
  }
  return [...(before ?? []), { cameras: [parts[1], parts[2]], distanceM }];
}

/** A wrong size of square (or bar) shows only against a length from elsewhere. Throws tape-disagrees, tape-camera-unknown. */
export function checkTapes(tapes: readonly Tape[], cameras: readonly Camera[], squareMm: number | null): void {
  for (const { cameras: names, distanceM } of tapes) {
    const [a, b] = names.map((name) => {
      const camera = cameras.find((one) => one.name === name);
      if (camera !== undefined) return cameraCentre(camera);
      throw tapeCameraUnknown(
        name,
        cameras.map((one) => one.name),
      );
    });
    const rigM = Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
    if (Math.abs(rigM / distanceM - 1) > TAPE_LIMIT) {
      throw tapeDisagrees(names, distanceM, rigM, TAPE_LIMIT, squareMm);
    }
  }
}
