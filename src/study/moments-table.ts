import { type ColumnTable, table } from 'arquero';
import type { MomentAxes, MomentUnit, Recording } from '../capture/recording.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { COMPONENT_NAMES, type SpatialMoment, spatialMoments } from '../mechanics/spatial/spatial-moments.ts';
import { GRAVITY_M_PER_S2 } from '../numerics/constants.ts';
import { tableOf } from './csv.ts';

/** Moments in three dimensions of one recording, in the axes and the unit its settings ask for. */
export interface SpatialTables {
  /** `moments.csv`, one row a frame. */
  readonly moments: ColumnTable;
  /** `moment-axes.csv`, one row a column of it: what it is about, which sign it has, where it comes from. */
  readonly axes: ColumnTable;
}

/** The first and the last frame have no acceleration, gaps neither. */
const ENDS = 'unknown at the ends of the recording and beside gaps';
const NEEDS_STATURE = 'needs stature_m of the athlete';

export function spatialTables(record: LiftRecord, recording: Recording): SpatialTables {
  const { frames, startS, frameRateHz } = record.loads;
  const { momentAxes, momentUnit } = recording.settings;
  const { legSharing } = record;
  const shared = legSharing && { left: legSharing.left.cuts, right: legSharing.right.cuts };
  const found = spatialMoments(record.loads, momentAxes, shared);
  const scale = scaleOf(momentUnit, recording);
  const columns: [string, unknown[] | Float64Array][] = [
    ['recording_id', new Array<string>(frames).fill(record.recordingId)],
    ['frame', Array.from({ length: frames }, (_, frame) => frame)],
    ['time_s', Array.from({ length: frames }, (_, frame) => startS + frame / frameRateHz)],
  ];
  const rows: Record<string, string>[] = [];
  for (const moment of found) {
    moment.components.forEach((values, component) => {
      const name = `${moment.joint}_${COMPONENT_NAMES[moment.joint][component]}_moment_${moment.side}_${momentUnit}`;
      columns.push([name, values.map((value) => value * scale)]);
      rows.push({
        recording_id: record.recordingId,
        column: name,
        joint: moment.joint,
        side: moment.side,
        component: COMPONENT_NAMES[moment.joint][component],
        axes: moment.axes,
        axis: axisWords(moment, component),
        positive: POSITIVE[moment.joint][component],
        unit: UNIT_WORDS[momentUnit],
        forces: forcesOf(moment, legSharing?.choice ?? ''),
        reason: Number.isNaN(scale) ? NEEDS_STATURE : values.some(Number.isNaN) ? moment.reason || ENDS : '',
      });
    });
  }
  return { moments: table(columns as [string, unknown[]][]), axes: tableOf(MOMENT_AXES_COLUMNS, rows) };
}

export const MOMENT_AXES_COLUMNS = [
  'recording_id',
  'column',
  'joint',
  'side',
  'component',
  'axes',
  'axis',
  'positive',
  'unit',
  'forces',
  'reason',
] as const;

/** Factor from N·m; NaN where the unit needs what is not known. */
function scaleOf(unit: MomentUnit, { athlete }: Recording): number {
  switch (unit) {
    case 'nm':
      return 1;
    case 'nm_per_kg':
      return 1 / athlete.massKg;
    case 'per_weight_and_height':
      return 1 / (athlete.massKg * GRAVITY_M_PER_S2 * (athlete.statureM ?? Number.NaN));
  }
}

const UNIT_WORDS: Readonly<Record<MomentUnit, string>> = {
  nm: 'N·m',
  nm_per_kg: 'N·m per kg of body mass',
  per_weight_and_height: '1 (N·m per body weight and body height)',
};

const LEG_SIGNS = [
  'extension: the extensors work',
  'adduction: what pulls the part below inward',
  'internal rotation: what turns the part below inward',
];
const ARM_SIGNS = [
  'extension: the extensors work',
  'adduction: what pulls the arm to the body',
  'internal rotation: what turns the arm inward',
];
const POSITIVE: Readonly<Record<SpatialMoment['joint'], readonly string[]>> = {
  hip: LEG_SIGNS,
  knee: LEG_SIGNS,
  ankle: [
    'plantarflexion: the calf works',
    'inversion: what turns the sole inward',
    'internal rotation: what turns the toes inward',
  ],
  lumbosacral: [
    'extension: the back extensors work',
    'bending to the right: what bends the trunk to the right',
    'turning to the left: what turns the trunk to the left',
  ],
  shoulder: ARM_SIGNS,
  elbow: ARM_SIGNS,
};

const BEYOND: Readonly<Record<SpatialMoment['joint'], readonly [upper: string, beyond: string]>> = {
  hip: ['pelvis', 'thigh'],
  knee: ['thigh', 'shank'],
  ankle: ['shank', 'foot'],
  lumbosacral: ['pelvis', 'trunk'],
  shoulder: ['trunk', 'upper arm'],
  elbow: ['upper arm', 'forearm'],
};

const AXIS_WORDS: Readonly<Record<MomentAxes, (upper: string, beyond: string) => readonly [string, string, string]>> = {
  joint: (upper, beyond) => [
    `medio-lateral axis of the ${upper}`,
    'floating axis, square to the other two',
    `long axis of the ${beyond}${beyond === 'foot' ? ' (upward from the sole)' : ''}`,
  ],
  segment: (_, beyond) => [
    `medio-lateral axis of the ${beyond}`,
    `forward axis of the ${beyond}`,
    `upward axis of the ${beyond}`,
  ],
  lab: () => ['Z of the lab, to the right', 'X of the lab, forward', 'Y of the lab, up'],
};

function axisWords({ axes, joint }: SpatialMoment, component: number): string {
  return AXIS_WORDS[axes](...BEYOND[joint])[component];
}

function forcesOf({ way }: SpatialMoment, choice: string): string {
  if (way === 'measured') return 'measured under the foot';
  return way === 'above' ? 'from the movement' : `from the movement, shared between the feet by assumption (${choice})`;
}
