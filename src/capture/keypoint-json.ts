import {
  confidenceOutOfRange,
  frameBeforeFirst,
  imageIdNotANumber,
  keypointCount,
  keypointNotANumber,
  keypointsMissing,
  noDetections,
  notAnArrayOfResults,
  tooManyFrames,
} from '../messages/capture.ts';
import type { InputLedger } from './input-file.ts';
import { readJson } from './json-file.ts';
import type { KeypointSamples } from './keypoint-samples.ts';
import { MOST_CONFIDENCE } from './keypoint-samples.ts';
import { COCO_BODY_AND_FEET_COUNT, COCO_COUNT, COCO_WHOLEBODY_COUNT, LANDMARKS, type Landmark } from './landmarks.ts';
import { MOST_FRAMES } from './tidy-samples.ts';

/**
 * Third knuckles in COCO-WholeBody: each hand has 21 points, wrist first and then four a finger from the thumb, so the
 * middle finger's knuckle is number 9 of its hand (Jin et al. 2020; order within the hand from memory).
 */
const LEFT_HAND_AT = 91;
const RIGHT_HAND_AT = 112;
const THIRD_KNUCKLE = 9;

const ACCEPTED = [COCO_COUNT, COCO_BODY_AND_FEET_COUNT, COCO_WHOLEBODY_COUNT];

/** Where each landmark of ours sits among `count` COCO keypoints. */
export function cocoLandmarks(count: number): readonly { readonly landmark: Landmark; readonly at: number }[] {
  const body = LANDMARKS.slice(0, Math.min(count, COCO_BODY_AND_FEET_COUNT)).map((landmark, at) => ({ landmark, at }));
  if (count < COCO_WHOLEBODY_COUNT) return body;
  return [
    ...body,
    { landmark: 'left_hand', at: LEFT_HAND_AT + THIRD_KNUCKLE },
    { landmark: 'right_hand', at: RIGHT_HAND_AT + THIRD_KNUCKLE },
  ];
}

interface Detection {
  readonly entry: number;
  readonly frame: number;
  readonly keypoints: readonly unknown[];
  /** Score of the person; the mean of the keypoints' scores where the file gives none. */
  readonly score: number;
}

/**
 * Reads COCO keypoint results: an array of `{image_id, keypoints: [x, y, score] × K, score}`, K = 17, 23 or 133, one entry
 * a person. Frame = image id (or the digits at its end) − `firstImageId`. Of several people in one image the one with the
 * highest score is kept. An image without an entry is occluded. Other members of an entry are ignored.
 */
export function readKeypointJson(path: string, firstImageId: number, ledger: InputLedger | null): KeypointSamples {
  const results = readJson(path, ledger);
  if (!Array.isArray(results)) throw notAnArrayOfResults(path, typeof results);
  if (results.length === 0) throw noDetections(path);
  const count = keypointTotal(path, results[0], 0);
  const best = new Map<number, Detection>();
  let frames = 0;
  results.forEach((entry, index) => {
    const found = detection(path, entry, index, count, firstImageId);
    const rival = best.get(found.frame);
    if (!rival || found.score > rival.score) best.set(found.frame, found);
    frames = Math.max(frames, found.frame + 1);
  });
  return gather(path, [...best.values()], count, frames);
}

function keypointTotal(path: string, entry: unknown, index: number): number {
  const keypoints = isObject(entry) ? entry.keypoints : undefined;
  if (!Array.isArray(keypoints)) throw keypointsMissing(path, index);
  const count = keypoints.length / 3;
  if (!ACCEPTED.includes(count)) throw keypointCount(path, index, keypoints.length, ACCEPTED);
  return count;
}

function detection(path: string, entry: unknown, index: number, count: number, firstImageId: number): Detection {
  const found = keypointTotal(path, entry, index);
  if (found !== count) throw keypointCount(path, index, 3 * found, [count]);
  const { image_id, keypoints, score } = entry as { image_id: unknown; keypoints: unknown[]; score: unknown };
  const id = imageNumber(image_id);
  if (id === null) throw imageIdNotANumber(path, index, image_id === undefined ? null : shown(image_id));
  const frame = id - firstImageId;
  if (frame < 0) throw frameBeforeFirst(path, index, id, firstImageId);
  if (frame >= MOST_FRAMES) throw tooManyFrames(path, `entry ${index + 1}`, frame, MOST_FRAMES);
  return { entry: index, frame, keypoints, score: typeof score === 'number' ? score : meanScore(keypoints) };
}

/** A whole number, or the digits at the end of a name such as `left_000123` or `left_000123.png`; null for anything else. */
function imageNumber(id: unknown): number | null {
  if (typeof id === 'number') return Number.isSafeInteger(id) ? id : null;
  if (typeof id !== 'string') return null;
  const digits = /(\d+)$/.exec(id.replace(/\.(png|jpe?g|bmp|tiff?|webp)$/i, ''));
  return digits && Number.isSafeInteger(Number(digits[1])) ? Number(digits[1]) : null;
}

function meanScore(keypoints: readonly unknown[]): number {
  let sum = 0;
  for (let i = 2; i < keypoints.length; i += 3) sum += Number(keypoints[i]) || 0;
  return (3 * sum) / keypoints.length;
}

function gather(path: string, people: readonly Detection[], count: number, frames: number): KeypointSamples {
  const columns = cocoLandmarks(count);
  const width = columns.length;
  const pixel = new Float64Array(2 * frames * width).fill(Number.NaN);
  const confidence = new Float64Array(frames * width);
  for (const person of people) {
    for (let column = 0; column < width; column++) {
      const { landmark, at } = columns[column];
      const x = coordinate(path, person, 3 * at, landmark);
      const y = coordinate(path, person, 3 * at + 1, landmark);
      const score = coordinate(path, person, 3 * at + 2, landmark);
      if (score < 0 || score > MOST_CONFIDENCE) {
        throw confidenceOutOfRange(path, `entry ${person.entry + 1}, ${landmark}`, score);
      }
      // No score, or no place: the point was not found. COCO writes 0, 0, 0.
      if (!(score > 0) || Number.isNaN(x) || Number.isNaN(y)) continue;
      const sample = person.frame * width + column;
      pixel[2 * sample] = x;
      pixel[2 * sample + 1] = y;
      confidence[sample] = Math.min(1, score);
    }
  }
  return { file: path, frames, landmarks: columns.map(({ landmark }) => landmark), pixel, confidence };
}

/** A number, or NaN for null. */
function coordinate(path: string, person: Detection, at: number, landmark: Landmark): number {
  const value = person.keypoints[at];
  if (value === null) return Number.NaN;
  if (typeof value === 'number' && Number.isFinite(value)) return value;
  throw keypointNotANumber(path, person.entry, landmark, shown(value));
}

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;

/** A value as the file has it; JSON numbers beyond the largest double are read as infinite. */
const shown = (value: unknown): string =>
  typeof value === 'number' && !Number.isFinite(value)
    ? 'a number beyond 1.8e308'
    : (JSON.stringify(value) ?? String(value)).slice(0, 40);
