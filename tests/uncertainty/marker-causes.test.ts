import { expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { hipRegression, rightHip } from '../../src/body/marker-centres/hip-regressions.ts';
import { markerCentres } from '../../src/body/marker-centres/marker-centres.ts';
import { skeletonFit } from '../../src/body/skeleton/skeleton-fit.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import type { RecordingData } from '../../src/capture/recording.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { reconstruct } from '../../src/reconstruction/reconstruct.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { lifterPoints, makeRecording, type Point, squatPosture } from '../body/made-lifter.ts';
import { expectClose } from '../expect-close.ts';

/* A lifter whose hips and knees are not tracked themselves but follow from markers, the whole way to an interval. */

const RATE = 100;
const FRAMES = 401;
const [WIDTH, DEPTH] = [0.24, 0.15];
const [hipX, hipY, hipZ] = rightHip(hipRegression('harrington-2007'), WIDTH, DEPTH);

function marked(timeS: number): Record<string, Point> {
  const points = lifterPoints(squatPosture(timeS));
  const [x, y] = points.right_hip;
  for (const [side, sign] of [
    ['left', -1],
    ['right', 1],
  ] as const) {
    // An upright pelvis round the hips as the regression has them; its hips lie hipZ to either side.
    points[`${side}_asis`] = [x - hipX, y - hipY, (sign * WIDTH) / 2];
    points[`${side}_psis`] = [x - hipX - DEPTH, y - hipY, 0.05 * sign];
    const [kneeX, kneeY, kneeZ] = points[`${side}_knee`];
    points[`${side}_knee_medial`] = [kneeX, kneeY, kneeZ - 0.05 * sign];
    points[`${side}_knee_lateral`] = [kneeX, kneeY, kneeZ + 0.05 * sign];
    delete points[`${side}_hip`];
    delete points[`${side}_knee`];
  }
  return points;
}

test('hips and knees from markers: the same places, and an interval that holds the regression and the markers', () => {
  const names = Object.keys(marked(0)) as Landmark[];
  const position = new Float64Array(3 * FRAMES * names.length);
  for (let f = 0; f < FRAMES; f++) {
    const points = marked(f / RATE);
    names.forEach((name, l) => {
      position.set(points[name], 3 * (f * names.length + l));
    });
  }
  const recording = makeRecording({ load: { totalKg: 60, bar: { position: 'front rack' } } });
  const data: RecordingData = {
    recording,
    tracks: null,
    rigJson: null,
    points: {
      file: 'made/points.csv',
      frameRateHz: RATE,
      frames: FRAMES,
      landmarks: names,
      position,
      status: new Uint8Array(FRAMES * names.length),
      sdM: 0.001,
    },
    forcePlates: [],
    inputs: [],
  };
  const reconstruction = reconstruct(data, null);
  const centres = markerCentres(reconstruction.smoothed);
  expect(centres?.derived).toEqual(['left_hip', 'left_knee', 'right_hip', 'right_knee']);
  const skeleton = skeletonFit(centres!.trajectories, recording);
  const motion = bodyMotion(skeleton.trajectories, recording);
  const at = 3 * 100;
  const truth = lifterPoints(squatPosture(1)).right_hip;
  expectClose(motion.joints.right_hip![at], truth[0], 0.005, 'hip forward, m (smoothing at the lowest point)');
  expectClose(motion.joints.right_hip![at + 2], hipZ, 0.001, 'hip sideways, m');

  const record = describeLift(jointLoads(motion, [], reconstruction.turn), recording, false);
  const analysed = { data, rig: null, reconstruction, centres, skeleton, record };
  const options = { mode: 'linear', draws: 0, seed: 1, noiseDraws: 4, curves: false } as const;
  const all = liftUncertainty(analysed, { ...options, groups: ['keypoints'] });
  const labels = all.causes.map(({ label }) => label);
  expect(labels).toContain('hips from the pelvis forward, both sides');
  expect(labels).toContain('knee from its markers forward, right');
  const peak = all.record.measures.find(({ measure, side }) => measure === 'hip_moment_peak' && side === 'both')!;
  expect(peak.upper - peak.lower).toBeGreaterThan(1);

  // A hip 5.2 mm further forward takes that lever off the weight above it (about 110 kg): some 6 N·m.
  const cause = labels.indexOf('hips from the pelvis forward, both sides');
  const output = all.record.measures.indexOf(peak);
  const effect = all.effects[output * all.causes.length + cause];
  expect(effect).toBeLessThan(-3);
  expect(effect).toBeGreaterThan(-9);
});
