import {
  c3dEmpty,
  c3dLabelMissing,
  c3dLabelTwice,
  c3dNotes,
  c3dPointShared,
  c3dRate,
  c3dTooLarge,
  c3dUnitContradicted,
  c3dUnitUnknown,
} from '../../messages/c3d.ts';
import { nothingSeen } from '../../messages/capture.ts';
import { labFromFile, metresPer, turnTriplesInPlace } from '../axes.ts';
import { LANDMARKS, type Landmark } from '../landmarks.ts';
import { editDistance, nearestName } from '../nearest-name.ts';
import type { LengthUnit, PointsSource, PointTrack } from '../recording.ts';
import { SampleStatus } from '../sample-status.ts';
import { MOST_FRAMES } from '../tidy-samples.ts';
import type { C3dFile } from './c3d-file.ts';
import { lengthUnit } from './units.ts';

/** Frame rates taken, Hz: those of `frame_rate_hz` of every other source. */
export const C3D_RATE_RANGE_HZ = [10, 2000] as const;

/** Labels that a message offers in place of one that is not there. */
const NEAREST_SHOWN = 3;

/** Unit of length: POINT:UNITS, or what the recording states where the file states none. */
export function c3dUnit({ file, points }: C3dFile, stated: LengthUnit | null): LengthUnit {
  const own = lengthUnit(points.unit);
  if (own !== null && stated !== null && own !== stated) throw c3dUnitContradicted(file, own, stated);
  const unit = own ?? stated;
  if (unit === null) throw c3dUnitUnknown(file, 'POINT:UNITS', points.unit, ['mm', 'cm', 'm']);
  return unit;
}

/**
 * The landmarks of a C3D file by the map of the recording: metres, lab axes. A landmark with several labels is their mean,
 * known where all of them are. A point that was not measured (negative residual), or lies exactly at 0, 0, 0 as some
 * writers put a missing one, is occluded. What was left out or taken is said in `notes`.
 */
export function pointsFromC3d(c3d: C3dFile, source: PointsSource, notes: string[]): PointTrack {
  const { file, frames, frameRateHz, points } = c3d;
  const map = source.c3d!.labels;
  const unit = c3dUnit(c3d, source.c3d!.unit);
  if (points.count === 0) throw c3dEmpty(file, 'point');
  if (frames > MOST_FRAMES) throw c3dTooLarge(file, 'frames', frames, MOST_FRAMES);
  const [low, high] = C3D_RATE_RANGE_HZ;
  if (!(frameRateHz >= low && frameRateHz <= high)) throw c3dRate(file, frameRateHz, low, high);
  const landmarks = LANDMARKS.filter((name) => map[name] !== undefined);
  const places = landmarks.map((landmark) => map[landmark]!.map((label) => placeOf(c3d, landmark, label)));
  checkNotShared(c3d, landmarks, places);
  const position = new Float64Array(3 * frames * landmarks.length).fill(Number.NaN);
  const status = new Uint8Array(frames * landmarks.length).fill(SampleStatus.occluded);
  const zeros = new Uint32Array(points.count);
  let seen = 0;
  for (let frame = 0; frame < frames; frame++) {
    landmarks.forEach((_, column) => {
      const sample = frame * landmarks.length + column;
      if (!meanInto(position, 3 * sample, c3d, frame, places[column], zeros)) return;
      status[sample] = SampleStatus.seen;
      seen++;
    });
  }
  if (seen === 0) throw nothingSeen(file);
  turnTriplesInPlace(position, labFromFile(source.axes), metresPer(unit));
  sayWhatWasDone(c3d, landmarks, places, zeros, notes);
  return { file, frameRateHz, frames, landmarks, position, status, sdM: source.sdM };
}

/** Index of the point with this label. `label#2` is the second of that label, where no point is called so. */
function placeOf({ file, points: { labels } }: C3dFile, landmark: Landmark, label: string): number {
  const wanted = label.trim();
  const found = indices(labels, wanted);
  if (found.length === 1) return found[0];
  const numbered = /^(.*)#(\d+)$/.exec(wanted);
  const nth = numbered ? indices(labels, numbered[1])[Number(numbered[2]) - 1] : undefined;
  if (found.length === 0 && nth !== undefined) return nth;
  if (found.length > 1) {
    const numbers = found.map((point) => point + 1);
    throw c3dLabelTwice(file, landmark, wanted, numbers);
  }
  const known = [...new Set(labels.filter((name) => name !== ''))];
  throw c3dLabelMissing(file, landmark, wanted, nearest(wanted, known), known);
}

const indices = (labels: readonly string[], wanted: string): number[] =>
  labels.flatMap((label, point) => (label === wanted ? [point] : []));

/** The likely one first, then those that take the fewest edits. */
function nearest(wanted: string, known: readonly string[]): string[] {
  const likely = nearestName(wanted, known);
  const byDistance = [...known].sort((a, b) => editDistance(wanted, a) - editDistance(wanted, b));
  return [...new Set([...(likely === null ? [] : [likely]), ...byDistance])].slice(0, NEAREST_SHOWN);
}

/** One point cannot be two landmarks; as a part of two means it may serve. */
function checkNotShared({ file, points }: C3dFile, landmarks: readonly Landmark[], places: readonly number[][]): void {
  const owner = new Map<number, Landmark>();
  places.forEach((place, column) => {
    if (place.length > 1) return;
    const other = owner.get(place[0]);
    if (other !== undefined) throw c3dPointShared(file, points.labels[place[0]], other, landmarks[column]);
    owner.set(place[0], landmarks[column]);
  });
}

function meanInto(
  out: Float64Array,
  offset: number,
  { points }: C3dFile,
  frame: number,
  place: readonly number[],
  zeros: Uint32Array,
): boolean {
  let [x, y, z] = [0, 0, 0];
  let known = true;
  for (const point of place) {
    const at = 3 * (frame * points.count + point);
    const px = points.position[at];
    const py = points.position[at + 1];
    const pz = points.position[at + 2];
    if (px === 0 && py === 0 && pz === 0) {
      zeros[point]++;
      known = false;
    }
    x += px;
    y += py;
    z += pz;
  }
  if (!known || !Number.isFinite(x + y + z)) return false;
  out[offset] = x / place.length;
  out[offset + 1] = y / place.length;
  out[offset + 2] = z / place.length;
  return true;
}

function sayWhatWasDone(
  { points: { labels } }: C3dFile,
  landmarks: readonly Landmark[],
  places: readonly number[][],
  zeros: Uint32Array,
  notes: string[],
): void {
  places.forEach((place, column) => {
    if (place.length < 2) return;
    const names = place.map((point) => labels[point]);
    notes.push(c3dNotes.mean(landmarks[column], names));
  });
  zeros.forEach((frames, point) => {
    if (frames > 0) notes.push(c3dNotes.zeros(labels[point], frames));
  });
  const used = new Set(places.flat());
  const ignored = labels.filter((_, point) => !used.has(point));
  if (ignored.length > 0) notes.push(c3dNotes.ignored(ignored));
}
