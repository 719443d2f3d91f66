import { describe, expect, test } from '@jest/globals';
import { projectInto } from '../../../src/cameras/camera-model.ts';
import { rigFromRods } from '../../../src/cameras/moving-points/moving-points-rig.ts';
import { measuredRod } from '../../../src/cameras/moving-points/scale-budget.ts';
import { type StickCamera, stickTracks } from '../../../src/cameras/moving-points/stick-table.ts';
import { angleBetween, composePoses, invertPose } from '../../../src/cameras/pose.ts';
import type { Camera } from '../../../src/cameras/rig.ts';
import { parseCsv } from '../../../src/capture/csv.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { expectClose } from '../../expect-close.ts';
import { cameraOn, demoCameras } from '../../synthetic/camera.ts';
import { analysedCamera } from './simulated-gym.ts';

const LENGTH_M = 1.2;
const { imageSizePx, focalPx, principalPointPx, lens } = demoCameras()[0];
const third = cameraOn(
  { name: 'front', centre: [4.2, 1.7, 0.3], lookAt: [0, 0.9, 0], rollRad: 0.02 },
  { imageSizePx, focalPx, principalPointPx, lens },
);
const cameras = [...demoCameras(), third].map(analysedCamera);
const lenses = cameras.map((camera) => ({ camera, parameters: [], covariance: new Float64Array(0) }));

/** A stick waved through the volume for 12 s at 60 Hz: its middle and its direction wander. Table of marks, 1 px noise. */
function table(shown: readonly Camera[], column: 'frame' | 'time_s', seed: number): string {
  const random = seededRandom(seed);
  const lines = [`camera,${column},end,u,v`];
  const uv = new Float64Array(2);
  for (let k = 0; k < 720; k++) {
    const t = k / 60;
    const middle = [0.5 * Math.sin(0.9 * t), 1.1 + 0.5 * Math.sin(1.3 * t + 1), 0.6 * Math.sin(0.7 * t + 2)];
    const [a, b] = [1.1 * Math.sin(0.8 * t), 2.2 * t * 0.4];
    const along = [Math.cos(a) * Math.cos(b), Math.sin(a), Math.cos(a) * Math.sin(b)];
    for (const camera of shown) {
      for (const [end, sign] of [
        ['a', -1],
        ['b', 1],
      ] as const) {
        const p = middle.map((m, i) => m + (sign * LENGTH_M * along[i]) / 2);
        projectInto(uv, 0, camera, p[0], p[1], p[2]);
        const when = column === 'frame' ? k : t.toFixed(5);
        const seen = (k + sign) % 37 !== 0;
        lines.push(
          `${camera.name},${when},${end},${seen ? `${uv[0] + random.normal()},${uv[1] + random.normal()}` : ','}`,
        );
      }
    }
  }
  return lines.join('\n');
}

const stickCamera = ({ name, imageHeight }: Camera): StickCamera => ({
  name,
  imageHeight,
  frameRateHz: 60,
  offsetS: 0,
  readoutS: 0,
});

describe('a waved stick', () => {
  test.each([
    [2, 'frame'],
    [3, 'time_s'],
  ] as const)('%i cameras, table by %s: relative poses and scale', (count, column) => {
    const shown = cameras.slice(0, count);
    const tracks = stickTracks(parseCsv('stick.csv', table(shown, column, count)), shown.map(stickCamera));
    const { rig } = rigFromRods(tracks, lenses, {
      rods: [measuredRod(['a', 'b'], LENGTH_M, 0.001)],
      seed: 1,
      floor: null,
    });
    expect(rig.quality.method).toBe('stick');
    for (let c = 1; c < count; c++) {
      const relative = (all: readonly Camera[]) => composePoses(all[c], invertPose(all[0]));
      const [found, right] = [relative(rig.cameras), relative(shown)];
      const { directionSdDeg } = rig.quality.measured!.cameras[c];
      const turnDeg = (angleBetween(found.rotation, right.rotation) * 180) / Math.PI;
      // Three axes: √χ²(3) is below 4.03 in 99.9 %; and no wider than half a tenth of a degree.
      expectClose(turnDeg, 0, 4.03 * directionSdDeg!, `turn of camera ${c}`);
      expect(directionSdDeg!).toBeLessThan(0.1);
      expectClose(Math.hypot(...found.translation) / Math.hypot(...right.translation), 1, 0.004, 'baseline');
    }
    expect(rig.quality.measured!.heldOutLength!.share).toBeLessThan(0.005);
  });

  test('tables that cannot be used are refused with their line', () => {
    const at = (text: string, cams: readonly StickCamera[] = [stickCamera(cameras[0])]) => {
      try {
        stickTracks(parseCsv('s.csv', text), cams);
      } catch (error) {
        return error;
      }
      return null;
    };
    expect(at('camera,end,u,v\nleft,a,1,2')).toMatchObject({ code: 'stick-time-missing' });
    expect(at('camera,frame,end,u,v\nleft,0,a,1,2\nleft,0,a,3,4')).toMatchObject({
      code: 'stick-row-twice',
      facts: { line: 3 },
    });
    expect(at('camera,frame,end,u,v\nleft,0,a,1,2', [{ ...stickCamera(cameras[0]), frameRateHz: null }])).toMatchObject(
      {
        code: 'stick-rate-missing',
      },
    );
  });
});
