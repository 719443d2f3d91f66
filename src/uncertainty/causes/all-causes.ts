import { uncertaintyReasons } from '../../messages/uncertainty.ts';
import { hashSeed } from '../../numerics/random.ts';
import type { AnalysedRecording } from '../chain.ts';
import { loadCauses, massCauses, segmentCauses } from './body-causes.ts';
import { calibrationCauses } from './calibration-causes.ts';
import { CAUSE_GROUPS, type Cause, type CauseGroup, type GroupCauses } from './cause.ts';
import { clockCauses } from './clock-causes.ts';
import { scaleCause, verticalCauses } from './frame-causes.ts';
import { keypointCauses } from './keypoint-causes.ts';
import { markerCauses } from './marker-causes.ts';
import { sharingCauses } from './sharing-causes.ts';
import { smoothingCause } from './smoothing-cause.ts';

/** All causes of a recording but the noise that is drawn, group by group in the order of CAUSE_GROUPS, those wanted only. */
export function causesOf(analysed: AnalysedRecording, wanted: readonly CauseGroup[] = CAUSE_GROUPS): GroupCauses[] {
  return CAUSE_GROUPS.filter((group) => wanted.includes(group)).map((group) => groupOf(analysed, group));
}

function groupOf({ data, rig, reconstruction, centres, record }: AnalysedRecording, group: CauseGroup): GroupCauses {
  const { recording, tracks } = data;
  const { smoothed, turn, evidence } = reconstruction;
  const rigKey = `rig/${rig === null ? 'none' : hashSeed(JSON.stringify(data.rigJson))}`;
  const scene = evidence.kind === 'views' ? { trajectories: smoothed, evidence, turn } : null;
  const none = (notIncluded: string): GroupCauses => ({ group, causes: [], notIncluded });
  switch (group) {
    case 'noise':
      return { group, causes: smoothingCause(reconstruction), notIncluded: '' };
    case 'calibration': {
      if (scene === null || rig === null) return none(uncertaintyReasons.noRigForCalibration());
      const cameras = calibrationCauses(scene, rig.quality.measured, rigKey);
      const scale: readonly Cause[] = scaleCause(rig.quality.measured, rigKey, smoothed);
      return { ...cameras, causes: [...cameras.causes, ...scale] };
    }
    case 'vertical':
      return verticalCauses(rig?.quality ?? null, rigKey, smoothed);
    case 'clocks':
      return scene === null ? none(uncertaintyReasons.noClocks()) : clockCauses(scene, recording, tracks ?? [], rigKey);
    case 'keypoints': {
      const { detector = null, source, athlete } = recording;
      const owner = { detector, kind: source.kind, athleteId: athlete.id };
      const tracked = keypointCauses(owner, smoothed);
      return centres ? { ...tracked, causes: [...tracked.causes, ...markerCauses(centres, owner, smoothed)] } : tracked;
    }
    case 'segments':
      return segmentCauses(recording.athlete, recording.settings.trunk, record.loads.motion.trunkBend?.measured);
    case 'body mass':
      return massCauses(recording.athlete);
    case 'load':
      return loadCauses(
        recording.load,
        { recordingId: recording.id, athleteId: recording.athlete.id },
        record.loads.motion.barbell?.placedBy === null,
      );
    case 'leg sharing':
      return sharingCauses(record.legSharing, { recordingId: recording.id, athleteId: recording.athlete.id });
  }
}
