import { gzipSync } from 'node:zlib';
import { describe, expect, test } from '@jest/globals';
import fc from 'fast-check';
import { cocoLandmarks, readKeypointJson } from '../../src/capture/keypoint-json.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { DataError } from '../../src/errors.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { cocoResults } from './stick-lifter.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const order = reference<{ index: number; landmark: Landmark }>('capture-coco-order');

const read = (results: unknown, firstImageId = 0) =>
  readKeypointJson(write(folder, 'view.json', JSON.stringify(results)), firstImageId, null);

describe('order of the keypoints (COCO; COCO-WholeBody)', () => {
  test.each(order.cases)('$index is $landmark', ({ index, landmark }) => {
    for (const count of [17, 23, 133] as const) {
      const found = cocoLandmarks(count).find(({ at }) => at === index)?.landmark;
      expect(found).toBe(index < count ? landmark : undefined);
    }
  });

  test.each([17, 23, 133] as const)('%i keypoints: every landmark gets its own pixels', (count) => {
    const track = read(cocoResults(3, count));
    const expected = order.cases.filter(({ index }) => index < count);
    expect([...track.landmarks].sort()).toEqual(expected.map(({ landmark }) => landmark).sort());
    for (const { index, landmark } of expected) {
      const sample = 2 * track.landmarks.length + track.landmarks.indexOf(landmark);
      expectClose(track.pixel[2 * sample], 100 + index, 0, landmark);
      expectClose(track.pixel[2 * sample + 1], 202, 0, landmark);
      expectClose(track.confidence[sample], 0.9, 0, landmark);
    }
  });
});

describe('images and people', () => {
  const [one] = cocoResults(1, 17) as { keypoints: number[] }[];
  const person = (image_id: unknown, x: number, score?: number) => ({
    image_id,
    keypoints: one.keypoints.map((value, i) => (i % 3 === 0 ? x : value)),
    score,
  });

  test('absent images are missing frames; order in the file does not matter', () => {
    const track = read([person(5, 55, 1), person(2, 22, 1)]);
    expect(track.frames).toBe(6);
    expect(Array.from({ length: 6 }, (_, frame) => track.pixel[2 * frame * 17])).toEqual([NaN, NaN, 22, NaN, NaN, 55]);
  });

  test.each([
    [12, 10, 2],
    ['left_000012', 10, 2],
    ['cam2/left_000012.png', 10, 2],
    ['000003.JPG', 0, 3],
  ])('image id %j, first %i: frame %i', (id, first, frame) => {
    expect(read([person(id, 1, 1)], first).frames).toBe(frame + 1);
  });

  test('of several people the highest score is kept, the mean of the keypoints standing in for none', () => {
    expect(read([person(0, 1, 0.3), person(0, 2, 0.9), person(0, 3, 0.5)]).pixel[0]).toBe(2);
    expect(read([person(0, 1, 0.3), person(0, 2)]).pixel[0]).toBe(2);
  });

  test('0, 0, 0 and null are not found; hand annotations 1 and 2 count as sure', () => {
    const keypoints: (number | null)[] = [...one.keypoints];
    keypoints.splice(0, 12, 0, 0, 0, null, 7, 0.9, 8, 9, 2, 8, 9, 1);
    const track = read([{ image_id: 0, keypoints, score: 1 }]);
    expect([...track.pixel.slice(0, 8)]).toEqual([NaN, NaN, NaN, NaN, 8, 9, 8, 9]);
    expect([...track.confidence.slice(0, 4)]).toEqual([0, 0, 1, 1]);
  });

  test('compressed', () => {
    const path = write(folder, 'view.json.gz', gzipSync(JSON.stringify(cocoResults(2, 23))));
    expect(readKeypointJson(path, 0, null).frames).toBe(2);
  });

  test.each([
    ['an object', { annotations: [] }, 0, 'not-keypoint-results', {}],
    ['null', null, 0, 'not-keypoint-results', {}],
    ['an empty list', [], 0, 'no-detections', {}],
    ['no keypoints', [{ image_id: 0 }], 0, 'keypoints-missing', { entry: 1 }],
    ['null for an entry', [person(0, 1, 1), null], 0, 'keypoints-missing', { entry: 2 }],
    ['another number of keypoints', [{ image_id: 0, keypoints: [1, 2, 3] }], 0, 'keypoint-count', { numbers: 3 }],
    ['two kinds in one file', [...cocoResults(1, 17), ...cocoResults(1, 23)], 0, 'keypoint-count', { entry: 2 }],
    ['an image without number', [person('left', 1, 1)], 0, 'image-id', { entry: 1 }],
    ['an entry without an image', [{ keypoints: one.keypoints }], 0, 'image-id', { entry: 1, value: '' }],
    ['half an image', [person(0.5, 1, 1)], 0, 'image-id', { entry: 1 }],
    ['an image before the first', [person(3, 1, 1)], 5, 'frame-before-first', { imageId: 3, firstImageId: 5 }],
    ['a date for an image', [person(139000012, 1, 1)], 0, 'too-many-frames', { frame: 139000012 }],
    [
      'text for a coordinate',
      [{ ...person(0, 1, 1), keypoints: ['1', ...one.keypoints.slice(1)] }],
      0,
      'keypoint-not-a-number',
      { landmark: 'nose' },
    ],
    ['per cent', cocoResults(1, 17, 87), 0, 'confidence-range', { value: 87 }],
    ['a negative score', cocoResults(1, 17, -0.1), 0, 'confidence-range', { value: -0.1 }],
  ])('%s is refused', (_, results, first, code, facts) => {
    const error = dataError(() => read(results, first));
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject(facts);
    expect(error.message).toContain('view.json');
  });
});

describe('whatever happens to a file, it is read or refused with a reason', () => {
  const text = JSON.stringify(cocoResults(2, 17));
  const outcome = (mutated: string) => {
    try {
      readKeypointJson(write(folder, 'mutated.json', mutated), 0, null);
      return 'read';
    } catch (error) {
      if (!(error instanceof DataError)) throw error;
      return 'refused';
    }
  };

  test('300 files with a stretch of text replaced', () => {
    const seen = new Set<string>();
    const piece = fc.constantFrom(
      '',
      '"',
      '[',
      ']',
      '{',
      '}',
      ',',
      ':',
      'null',
      'NaN',
      '-',
      '1e999',
      '1e5',
      '\\',
      'true',
      '\u0000',
    );
    fc.assert(
      fc.property(fc.nat(text.length), fc.nat(20), piece, (at, length, put) => {
        seen.add(outcome(text.slice(0, at) + put + text.slice(at + length)));
      }),
      { numRuns: 300, seed: 17 },
    );
    expect([...seen].sort()).toEqual(['read', 'refused']);
  });

  test('300 files with one value replaced by another', () => {
    const seen = new Set<string>();
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 2 }), fc.nat(60), (value, target) => {
        let count = 0;
        const mutated = JSON.stringify(JSON.parse(text), (_, old) => (count++ === target ? value : old));
        seen.add(outcome(mutated ?? 'null'));
      }),
      { numRuns: 300, seed: 18 },
    );
    expect(seen).toContain('refused');
  });
});
