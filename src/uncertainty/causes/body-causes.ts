import type { Athlete, Load, TrunkKind } from '../../capture/recording.ts';
import { UNMEASURED_SD } from '../../lift/unmeasured.ts';
import {
  BODY_MASS_SD_KG,
  LOAD_SD_SHARE,
  MEASURED_TRUNK_BEND_SHARE_SD,
  SEGMENT_CAUSES,
  SEGMENT_CENTRE_SD,
  SEGMENT_MASS_SD,
  SHANK_FORWARD_SD_M,
  THIGH_FORWARD_SD_M,
  TRUNK_BEND_SHARE_SD,
  TRUNK_FORWARD_PER_SINE_SD_M,
  TRUNK_FORWARD_SD_M,
  TRUNK_UP_PER_SINE_SD_M,
  UNTRACKED_BAR_SD_M,
} from '../priors.ts';
import type { Cause, GroupCauses } from './cause.ts';

/**
 * Segment parameters of this person against the table's: the athlete's own, so common to all of the athlete's recordings. How
 * far a trunk bends is left out where the recording says that it is straight, and surer where points of the back were seen.
 * The flesh over hip and knee, which only the estimate of the depth rule asks for, is of the same kind: what a table says of a
 * body, and no point of the recording.
 */
export function segmentCauses(athlete: Pick<Athlete, 'id'>, trunk: TrunkKind = 'bends', backSeen = false): GroupCauses {
  const key = (what: string) => `athlete/${athlete.id}/${what}`;
  const causes: Cause[] = SEGMENT_CAUSES.flatMap((kind): Cause[] => {
    const name = kind.replace('_', ' ');
    return [
      {
        group: 'segments',
        key: key(`mass of ${name}`),
        label: `mass of the ${name}`,
        changeBody: (body, z) => {
          body.segmentMass[kind] += SEGMENT_MASS_SD[kind] * z;
        },
      },
      {
        group: 'segments',
        key: key(`centre of ${name}`),
        label: `centre of mass of the ${name} along its length`,
        changeBody: (body, z) => {
          body.segmentCentre[kind] += SEGMENT_CENTRE_SD[kind] * z;
        },
      },
    ];
  });
  causes.push(
    {
      group: 'segments',
      key: key('trunk forward'),
      label: 'centre of mass of the trunk in front of its line',
      changeBody: (body, z) => {
        body.shifts.trunkForwardM += TRUNK_FORWARD_SD_M * z;
      },
    },
    {
      group: 'segments',
      key: key('shoulders forward'),
      label: 'shoulders that come forward in the lean',
      changeBody: (body, z) => {
        body.shifts.trunkForwardPerSineM += TRUNK_FORWARD_PER_SINE_SD_M * z;
      },
    },
    {
      group: 'segments',
      key: key('shoulders up'),
      label: 'shoulders that rise in the lean',
      changeBody: (body, z) => {
        body.shifts.trunkUpPerSineM += TRUNK_UP_PER_SINE_SD_M * z;
      },
    },
  );
  causes.push(
    {
      group: 'segments',
      key: key('thigh forward'),
      label: 'centre of mass of the thigh in front of its line',
      changeBody: (body, z) => {
        body.shifts.thighForwardM += THIGH_FORWARD_SD_M * z;
      },
    },
    {
      group: 'segments',
      key: key('shank forward'),
      label: 'centre of mass of the shank in front of its line',
      changeBody: (body, z) => {
        body.shifts.shankForwardM += SHANK_FORWARD_SD_M * z;
      },
    },
  );
  if (trunk === 'bends')
    causes.push({
      group: 'segments',
      key: key('trunk bending'),
      label: 'how far the trunk bends as it leans',
      changeBody: (body, z) => {
        body.shifts.trunkBendShare += (backSeen ? MEASURED_TRUNK_BEND_SHARE_SD : TRUNK_BEND_SHARE_SD) * z;
      },
    });
  causes.push(
    {
      group: 'segments',
      key: key('crease of the hip'),
      label: 'crease of the hip above the hip joint',
      changeBody: (body, z) => {
        body.unmeasured.creaseM += UNMEASURED_SD.creaseM * z;
      },
    },
    {
      group: 'segments',
      key: key('top of the knee'),
      label: 'top of the knee above the knee joint',
      changeBody: (body, z) => {
        body.unmeasured.kneeTopM += UNMEASURED_SD.kneeTopM * z;
      },
    },
    // A property of the survey, not of the lifter: common to all recordings.
    {
      group: 'segments',
      key: 'survey/thigh',
      label: 'thighs of the survey between joint centres',
      changeBody: (body, z) => {
        body.unmeasured.surveyThighM += UNMEASURED_SD.surveyThighM * z;
      },
    },
    {
      group: 'segments',
      key: 'survey/shank',
      label: 'shanks of the survey between joint centres',
      changeBody: (body, z) => {
        body.unmeasured.surveyShankM += UNMEASURED_SD.surveyShankM * z;
      },
    },
  );
  const withEffect = causes.filter(({ key: of }) => of !== key('centre of head'));
  return { group: 'segments', causes: withEffect, notIncluded: '' };
}

/** The stated body mass. Common to the athlete's recordings that state the same mass. */
export function massCauses(athlete: Pick<Athlete, 'id' | 'massKg' | 'massSdKg'>): GroupCauses {
  const sdKg = athlete.massSdKg ?? BODY_MASS_SD_KG;
  const cause: Cause = {
    group: 'body mass',
    key: `athlete/${athlete.id}/mass ${athlete.massKg}`,
    label: 'body mass as stated',
    changeBody: (body, z) => {
      body.massKg += sdKg * z;
    },
  };
  return { group: 'body mass', causes: sdKg > 0 ? [cause] : [], notIncluded: '' };
}

/** The stated load, and the place of a bar whose ends were not tracked. */
export function loadCauses(
  load: Load,
  owner: { readonly recordingId: string; readonly athleteId: string },
  barTracked: boolean,
): GroupCauses {
  if (load.totalKg <= 0) return { group: 'load', causes: [], notIncluded: '' };
  const sdKg = load.sdKg ?? LOAD_SD_SHARE * load.totalKg;
  const causes: Cause[] = [];
  if (sdKg > 0)
    causes.push({
      group: 'load',
      key: `recording/${owner.recordingId}/load`,
      label: 'load as stated',
      changeBody: (body, z) => {
        body.loadKg += sdKg * z;
      },
    });
  if (!barTracked) {
    const place = `athlete/${owner.athleteId}/bar ${load.bar.position}`;
    causes.push(
      {
        group: 'load',
        key: `${place} forward`,
        label: 'place of the bar that was not tracked, forward',
        changeBody: (body, z) => {
          body.shifts.barForwardM += UNTRACKED_BAR_SD_M * z;
        },
      },
      {
        group: 'load',
        key: `${place} up`,
        label: 'place of the bar that was not tracked, up',
        changeBody: (body, z) => {
          body.shifts.barUpM += UNTRACKED_BAR_SD_M * z;
        },
      },
    );
  }
  return { group: 'load', causes, notIncluded: '' };
}
