import type { ColumnTable } from 'arquero';
import { COLOUR, CONFIG, DASH, type Figure, PLOT } from './look.ts';
import {
  angleAxisTitle,
  momentAngleSubtitle,
  momentAngleTitle,
  momentAxisTitle,
  PHASE_WORDS,
  type PhaseName,
} from './words.ts';

/** The joints shown, each with the bend it is drawn against. */
const JOINTS = [
  { joint: 'hip', moment: 'hip_moment_both_nm', colour: COLOUR.hip },
  { joint: 'knee', moment: 'knee_moment_both_nm', colour: COLOUR.knee },
] as const;

/** More points than this along one phase cannot be seen. */
const MOST_POINTS = 120;

interface RepetitionRow {
  readonly repetition: number;
  readonly descent_first_frame: number | null;
  readonly descent_last_frame: number | null;
  readonly ascent_first_frame: number | null;
  readonly ascent_last_frame: number | null;
}

/**
 * Moment of hip and knee, both legs, N·m, against how far the joint is bent as seen from the side, degrees: the area under a
 * line is work. Bend of the knee: `knee_flexion`; of the hip: trunk lean plus the thigh's angle from upright. One thin line a
 * repetition and phase; unknown breaks it. null where nothing is known.
 *
 * @param frames table with the columns of frames.csv, one recording
 * @param repetitions table with the columns of repetitions.csv, same recording
 */
export function momentAgainstAngle(frames: ColumnTable, repetitions: ColumnTable): Figure | null {
  const column = (name: string) =>
    frames.columnNames().includes(name) ? (frames.array(name) as ArrayLike<number>) : null;
  const [lean, thigh, knee] = ['trunk_lean_deg', 'thigh_elevation_both_deg', 'knee_flexion_both_deg'].map(column);
  if (!lean || !thigh || !knee) return null;
  const bend = { hip: (f: number) => 90 - thigh[f] + lean[f], knee: (f: number) => knee[f] };
  const rows = repetitions.objects({ limit: Infinity }) as RepetitionRow[];
  const points = rows.flatMap((row) =>
    (['descent', 'ascent'] as const).flatMap((phase) =>
      JOINTS.flatMap(({ joint, moment }) => linePoints(row, phase, joint, column(moment), bend[joint])),
    ),
  );
  if (points.every(({ value }) => value === null)) return null;
  const x = {
    field: 'angle',
    type: 'quantitative',
    axis: { title: angleAxisTitle(), grid: false, tickCount: 6 },
    scale: { zero: false },
  } as const;
  const y = { field: 'value', type: 'quantitative', axis: { title: momentAxisTitle(), tickCount: 6 } } as const;
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    ...PLOT,
    title: { text: momentAngleTitle(), subtitle: momentAngleSubtitle(rows.length) },
    layer: [
      {
        data: { values: [{ value: 0 }] },
        mark: { type: 'rule', color: COLOUR.line, strokeWidth: 1.5 },
        encoding: { y },
      },
      {
        data: { values: points },
        mark: { type: 'line', strokeWidth: 1.4, opacity: 0.8 },
        encoding: {
          x,
          y,
          order: { field: 'order', type: 'quantitative' },
          detail: { field: 'repetition' },
          color: {
            field: 'joint',
            type: 'nominal',
            scale: { domain: JOINTS.map(({ joint }) => joint), range: JOINTS.map(({ colour }) => colour) },
            legend: { symbolType: 'stroke', symbolSize: 350 },
          },
          strokeDash: {
            field: 'phase',
            type: 'nominal',
            scale: {
              domain: [PHASE_WORDS.descent, PHASE_WORDS.ascent],
              range: [[...DASH.descent], [...DASH.ascent]],
            },
            legend: { symbolType: 'stroke', symbolSize: 350, symbolStrokeColor: COLOUR.ink },
          },
        },
      },
    ],
  };
}

function linePoints(
  row: RepetitionRow,
  phase: PhaseName,
  joint: string,
  moments: ArrayLike<number> | null,
  bend: (f: number) => number,
) {
  const [from, to] = [row[`${phase}_first_frame`], row[`${phase}_last_frame`]];
  if (from === null || to === null || !moments) return [];
  const step = Math.max(1, Math.ceil((to - from + 1) / MOST_POINTS));
  return Array.from({ length: Math.floor((to - from) / step) + 1 }, (_, i) => {
    const f = from + i * step;
    const [angle, value] = [bend(f), moments[f]];
    const known = Number.isFinite(angle) && Number.isFinite(value);
    return {
      repetition: row.repetition,
      phase: PHASE_WORDS[phase],
      joint,
      order: f,
      angle: Number.isFinite(angle) ? angle : null,
      value: known ? value : null,
    };
  });
}
