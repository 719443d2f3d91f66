import { gunzipSync } from 'node:zlib';
import { describe, expect, test } from '@jest/globals';
import type { Finding } from '../../src/lift/findings/findings.ts';
import { scenePayload, sceneText, viewOfMeasure } from '../../src/report/scene-data.ts';
import { unpackScene } from '../../src/web/scene/packed-scene.ts';
import { poseOf } from '../../src/web/scene/pose.ts';
import { makeRecord, makeRecording } from '../study/make-record.ts';

const record = makeRecord();
const recording = makeRecording();
const payload = scenePayload(record, recording);

const point = (name: string, frame: number) => {
  const p = payload.points.indexOf(name);
  return [...payload.position.slice(3 * (frame * payload.points.length + p)).slice(0, 3)];
};

describe('what the scene is drawn from', () => {
  test('joint centres stand at their joints, other landmarks where they were measured; the floor is at 0', () => {
    const { motion } = record.loads;
    const { landmarks, position, floorHeightM } = motion.trajectories;
    const frame = record.repetitions[0].bottomFrame;
    const ankles = ['left_ankle', 'right_ankle'].map((name) => point(name, frame));
    // Ankles stand still in this lift: the origin lies between them.
    expect((ankles[0][0] + ankles[1][0]) / 2).toBeCloseTo(0, 5);
    const origin = [0, floorHeightM, 0].map((floor, axis) => {
      const left = motion.joints.left_ankle ?? null;
      return axis === 1 ? floor : left ? left[3 * frame + axis] - ankles[0][axis] : 0;
    });
    const elbow = landmarks.indexOf('left_elbow');
    point('left_elbow', frame).forEach((value, axis) => {
      const measured =
        motion.joints.left_elbow?.[3 * frame + axis] ?? position[3 * (frame * landmarks.length + elbow) + axis];
      expect(value).toBeCloseTo(measured - origin[axis], 5);
    });
    point('left_knee', frame).forEach((value, axis) => {
      const joint = motion.joints.left_knee!;
      expect(value).toBeCloseTo(joint[3 * frame + axis] - origin[axis], 5);
    });
  });

  test('values are those of the tables, frame by frame; missing ones stay missing', () => {
    const hip = record.quantities.find(({ quantity, side }) => quantity === 'hip_moment' && side === 'both')!;
    const back = unpackScene(gunzipSync(Buffer.from(sceneText(payload), 'base64')));
    const off = Array.from(hip.values, (value, f) => {
      const shown = back.series.hip_moment![f];
      if (Number.isNaN(value) !== Number.isNaN(shown)) return Number.POSITIVE_INFINITY;
      return Number.isNaN(value) ? 0 : Math.abs(shown - value);
    });
    expect(Math.max(...off)).toBeLessThanOrEqual(0.0501);
    expect(back.series.measured_force_y).toBeUndefined();
  });

  test('repetitions are those that were found', () => {
    expect(payload.repetitions).toHaveLength(record.repetitions.length);
    const [mine, its] = [payload.repetitions[0], record.repetitions[0]];
    expect(mine).toMatchObject({
      bottom: its.bottomFrame,
      top: its.topFrame,
      parallelDescent: its.parallelDescentFrame,
      parallelAscent: its.parallelAscentFrame,
      sticking: its.stickingFrame,
      descent: [its.descent!.from, its.descent!.to],
    });
  });

  test('a bar that was not seen says so; discs only where there are some; nothing carried, no bar', () => {
    expect(payload.bar).toEqual({ lengthM: 2.01, discs: { atM: 0.655, radiusM: 0.225 }, tracked: false });
    const empty = { ...recording, load: { ...recording.load, bar: { ...recording.load.bar, massKg: 80 } } };
    expect(scenePayload(record, empty).bar?.discs).toBeNull();
    const without = scenePayload(makeRecord({ withBar: false }), recording);
    expect(without.bar).toBeNull();
    expect(without.points).not.toContain('bar');
  });

  test('without feet there is no foot: nothing is drawn in its place', () => {
    const footless = scenePayload(makeRecord({ withFeet: false }), recording);
    const pose = poseOf(footless);
    pose.moveTo(100);
    expect(pose.slot('left_heel')).toBe(-1);
    expect(pose.known(pose.slot('left_midfoot'))).toBe(false);
    expect(footless.series.com_along_foot).toBeUndefined();
  });

  test('the same lift gives the same text', () => {
    expect(sceneText(scenePayload(makeRecord(), makeRecording()))).toBe(sceneText(payload));
  });

  test('places to go to: findings that are shown or suggested, of a repetition, from where they are best seen', () => {
    const finding = (word: Finding['word'], repetition: number, measure: string): Finding =>
      ({ rule: { title: 'A title', measure }, repetition, word, frameFirst: 100 + repetition }) as unknown as Finding;
    const { marks } = scenePayload(record, recording, [
      finding('shown', 0, 'trunk_lean'),
      finding('shown', 1, 'knee_track'),
      finding('suggested', 2, 'trunk_lean'),
      finding('open', 2, 'trunk_lean'),
      finding('unknown', 1, 'trunk_lean'),
    ]);
    expect(marks.map(({ frame, view }) => [frame, view])).toEqual([
      [101, 'front'],
      [102, 'side'],
    ]);
    expect(viewOfMeasure('bar_turn')).toBe('top');
  });
});
