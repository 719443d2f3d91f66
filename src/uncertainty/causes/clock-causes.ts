import { projectWithPointJacobianInto } from '../../cameras/camera-model.ts';
import type { KeypointTrack, Recording } from '../../capture/recording.ts';
import { firstDifferenceInto } from '../../numerics/differences.ts';
import {
  STATED_OFFSET_SD_FRAMES,
  STATED_READOUT_SD_S,
  UNSTATED_OFFSET_SD_FRAMES,
  UNSTATED_READOUT_SD_S,
} from '../priors.ts';
import { type Cause, fieldCause, type GroupCauses } from './cause.ts';
import { pixelField, type ViewScene } from './pixel-field.ts';

/**
 * Clocks against the first view, and readout of each shutter: a pixel that belongs to a moment later or earlier lies off by
 * its speed times the time.
 */
export function clockCauses(
  scene: ViewScene,
  recording: Recording,
  tracks: readonly KeypointTrack[],
  rigKey: string,
): GroupCauses {
  const { source } = recording;
  const stated = source.kind === 'views' ? source.views : [];
  const causes: Cause[] = [];
  const motion = pixelMotion(scene);
  tracks.forEach((track, v) => {
    const view = stated.find(({ camera }) => camera === track.camera);
    const offsetSdS =
      view?.offsetSdS ?? (track.offsetStated ? STATED_OFFSET_SD_FRAMES : UNSTATED_OFFSET_SD_FRAMES) / track.frameRateHz;
    if (v > 0 && offsetSdS > 0) {
      causes.push(
        fieldCause(
          {
            group: 'clocks',
            key: `recording/${recording.id}/clock ${track.camera}`,
            label: `clock of ${track.camera}`,
          },
          motion(v, () => offsetSdS),
        ),
      );
    }
    const readoutSdS = view?.readoutSdS ?? (view?.readoutS == null ? UNSTATED_READOUT_SD_S : STATED_READOUT_SD_S);
    const height = scene.evidence.cameras[v].imageHeight;
    if (readoutSdS > 0) {
      causes.push(
        fieldCause(
          { group: 'clocks', key: `${rigKey}/readout ${track.camera}`, label: `readout time of ${track.camera}` },
          motion(v, (row) => readoutSdS * Math.min(1, Math.max(0, row / height))),
        ),
      );
    }
  });
  return { group: 'clocks', causes, notIncluded: '' };
}

/** Gives the field of a view whose pixels belong to other moments by `timeS(row)` seconds. */
function pixelMotion(scene: ViewScene): (view: number, timeS: (row: number) => number) => Float64Array {
  const { trajectories, evidence, turn } = scene;
  const { position, landmarks, frameRateHz } = trajectories;
  const velocity = new Float64Array(position.length);
  firstDifferenceInto(velocity, position, 3 * landmarks.length, 1 / frameRateHz);
  const shift = new Float64Array(2 * evidence.cameras.length);
  const uv = new Float64Array(2);
  const jacobian = new Float64Array(6);
  return (view, timeS) =>
    pixelField(scene, (sample, x, y, z) => {
      projectWithPointJacobianInto(uv, 0, jacobian, 0, evidence.cameras[view], x, y, z);
      const [vx, vy, vz] = [velocity[3 * sample], velocity[3 * sample + 1], velocity[3 * sample + 2]];
      const wx = turn[0] * vx + turn[3] * vy + turn[6] * vz;
      const wy = turn[1] * vx + turn[4] * vy + turn[7] * vz;
      const wz = turn[2] * vx + turn[5] * vy + turn[8] * vz;
      const time = timeS(uv[1]);
      shift.fill(0);
      shift[2 * view] = time * (jacobian[0] * wx + jacobian[1] * wy + jacobian[2] * wz);
      shift[2 * view + 1] = time * (jacobian[3] * wx + jacobian[4] * wy + jacobian[5] * wz);
      return shift;
    });
}
