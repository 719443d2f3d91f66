import { number, reason, recordingId, side, type TableEntry, text, whole } from './dictionary-columns.ts';

/** Column of moments.csv, made of what it holds; `moment-axes.csv` has a row for each. */
export const MOMENT_COLUMN = '<joint>_<component>_moment_<side>_<unit>';

export const spatialMomentsEntry: TableEntry = {
  file: 'moments.csv',
  row: 'a frame of the whole recording',
  columns: [
    recordingId,
    whole('frame', 'Number of the frame, from 0.'),
    number('time_s', 's', 'Time on the recording’s common clock.'),
    number(
      MOMENT_COLUMN,
      'as in the name',
      'Component of the net internal moment on the part beyond the joint, in three dimensions; axis, sign, unit and origin of each column stand in moment-axes.csv. Axes and unit as the settings ask.',
    ),
  ],
};

export const momentAxesEntry: TableEntry = {
  file: 'moment-axes.csv',
  row: 'a column of moments.csv',
  columns: [
    recordingId,
    text('column', 'Name of the column.'),
    text('joint', '`hip`, `knee`, `ankle`, `lumbosacral` (L5/S1), `shoulder` or `elbow`.'),
    side,
    text('component', 'Name of the component.'),
    text('axes', '`joint`, `segment` or `lab`, as the settings ask.'),
    text('axis', 'The axis the moment is projected on.'),
    text('positive', 'What a positive value means.'),
    text('unit', 'Unit of the column in words.'),
    text('forces', 'Where the forces come from: measured under the foot, from the movement, or shared by assumption.'),
    reason,
  ],
};
