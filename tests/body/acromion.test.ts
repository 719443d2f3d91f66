import { describe, expect, test } from '@jest/globals';
import { ACROMION_ARM_RATIO, armRatio, jointBelowMarkerM } from '../../src/body/acromion.ts';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { deLevaLengths } from '../../src/body/de-leva-1996.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { lifterPoints, makeRecording, makeTrajectories, type Point, squatPosture } from './made-lifter.ts';

/*
 * Shoulder points of a marker system: at the joint, or on the acromion above it. What tells them apart is the upper arm against
 * the forearm: joint centre to joint centre it is 1.04–1.05 (de Leva 1996, Table 4).
 */

const RATE = 100;
const FRAMES = 51;

/** The made lifter with de Leva's arms, leaning up to 80°; shoulder points `aboveM` up the trunk's line. */
function lifter(f: number, aboveM: number): Record<string, Point> {
  const points: Record<string, Point> = { ...lifterPoints({ ...squatPosture(0), trunkLean: (1.4 * f) / FRAMES }) };
  for (const side of ['left', 'right']) {
    const [shoulder, hip] = [points[`${side}_shoulder`], points[`${side}_hip`]];
    const [x, y] = [shoulder[0] - hip[0], shoulder[1] - hip[1]];
    const scale = aboveM / Math.hypot(x, y);
    points[`${side}_shoulder`] = [shoulder[0] + scale * x, shoulder[1] + scale * y, shoulder[2]];
  }
  return points;
}

const bodyOf = (aboveM: number, views = 0) => {
  const trajectories = makeTrajectories(FRAMES, RATE, (f) => lifter(f, aboveM));
  return bodyMotion({ ...trajectories, quality: { ...trajectories.quality, views } }, makeRecording());
};
const said = (body: ReturnType<typeof bodyOf>) => body.quality.notes.some((note) => note.includes('acromion'));

describe('shoulder points on the acromion', () => {
  test('people of the published tables, joint to joint, are never taken for it; a tenth of an arm above, always', () => {
    for (const sex of ['female', 'male'] as const) {
      const { upperArmM, forearmM } = deLevaLengths(sex);
      expect(upperArmM / forearmM).toBeLessThan(ACROMION_ARM_RATIO - 0.09);
      // From the acromion the arm is longer by 10.4 % of itself, and by a marker's height.
      expect((upperArmM / (1 - 0.104) + 0.01) / forearmM).toBeGreaterThan(ACROMION_ARM_RATIO);
    }
  });

  test('how far the joint lies below', () => {
    const at = (x: number, y: number) => Float64Array.of(x, y, 0);
    const arm = { shoulder: at(0, 0.6), elbow: at(0, 0.25), wrist: at(0, 0) };
    expectClose(armRatio([arm, arm]), 1.4, 1e-12);
    expectClose(jointBelowMarkerM(arm), 0.104 * 0.35 + 0.01, 1e-12, 'm');
  });

  test('points at the joints stay, whatever the lean', () => {
    const body = bodyOf(0);
    expect(said(body)).toBe(false);
    expectAllClose(body.joints.left_shoulder!.subarray(60, 63), lifter(20, 0).left_shoulder, 1e-12, 'm');
  });

  test('points above them are moved down the trunk to within a centimetre of the joint, and the note says so', () => {
    const body = bodyOf(0.05);
    expect(said(body)).toBe(true);
    for (const f of [0, 25, 50]) {
      const truth = lifter(f, 0).right_shoulder;
      const found = body.joints.right_shoulder!.subarray(3 * f, 3 * f + 3);
      expect(Math.hypot(...found.map((value, k) => value - truth[k]))).toBeLessThan(0.01);
    }
  });

  test('what it is worth: 5 cm of the line at 80° of lean would carry the trunk’s mass 28 mm forward', () => {
    const [straight, moved] = [bodyOf(0), bodyOf(0.05)];
    const trunk = (body: ReturnType<typeof bodyOf>) => body.segments.find(({ name }) => name === 'trunk')!;
    const last = 3 * (FRAMES - 1);
    const apart = trunk(moved).centre[last] - trunk(straight).centre[last];
    expect(Math.abs(apart)).toBeLessThan(0.006);
  });

  test('views: a detector aims at the joint, whatever length an arm comes out with', () => {
    const body = bodyOf(0.05, 2);
    expect(said(body)).toBe(false);
    expectAllClose(body.joints.left_shoulder!.subarray(60, 63), lifter(20, 0.05).left_shoulder, 1e-12, 'm');
  });
});
