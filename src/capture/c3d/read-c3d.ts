import { type InputLedger, readUnpacked } from '../input-file.ts';
import type { C3dFile } from './c3d-file.ts';
import { readEvents } from './events.ts';
import { readHeader } from './header.ts';
import { layoutOf } from './layout.ts';
import { readParameters } from './parameters.ts';
import { readAnalogData, readPointData } from './read-data.ts';

/** Reads a C3D file (`.gz` too). Throws a DataError where it is missing, foreign, cut short or contradicts itself. */
export function readC3d(path: string, ledger: InputLedger | null): C3dFile {
  return parseC3d(path, readUnpacked(path, ledger));
}

/** Header, parameters, data: integers or floats of all three processors. `file` is named in messages only. */
export function parseC3d(file: string, bytes: Uint8Array): C3dFile {
  const { header, numbers } = readHeader(file, bytes);
  const groups = readParameters(file, numbers, header);
  const layout = layoutOf(file, header, groups, bytes.length);
  return {
    file,
    processor: header.processor,
    storage: layout.storage,
    frameRateHz: layout.frameRateHz,
    frames: layout.frames,
    firstFrame: layout.firstFrame,
    filledGapFrames: header.filledGapFrames,
    points: readPointData(groups, numbers, layout),
    analog: readAnalogData(file, groups, numbers, layout),
    events: readEvents(file, groups, layout.firstFrame, layout.frameRateHz),
    headerEvents: header.events,
    groups,
  };
}
