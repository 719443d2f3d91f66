import type { ColumnTable } from 'arquero';
import { COLOUR, CONFIG, type Figure, PLOT } from './look.ts';
import { bottomMark, momentAxisTitle, timeAxisTitle, timeCourseSubtitle, timeCourseTitle } from './words.ts';

/** More points than this along the time axis cannot be seen. */
const MOST_POINTS = 400;

/**
 * Hip and knee moment, both legs, N·m, through the whole recording, with the bottom of each repetition marked.
 * Long recordings are thinned evenly; unknown breaks a line. null where neither moment is known anywhere.
 *
 * @param frames table with the columns of frames.csv, one recording
 * @param repetitions table with the columns of repetitions.csv, same recording
 */
export function timeCourse(frames: ColumnTable, repetitions: ColumnTable): Figure | null {
  const time = frames.array('time_s') as ArrayLike<number>;
  const step = Math.max(1, Math.ceil(time.length / MOST_POINTS));
  const points = [
    ['hip', 'hip_moment_both_nm'],
    ['knee', 'knee_moment_both_nm'],
  ].flatMap(([joint, column]) => {
    if (!frames.columnNames().includes(column)) return [];
    const values = frames.array(column) as ArrayLike<number>;
    return Array.from({ length: Math.ceil(time.length / step) }, (_, i) => {
      const value = values[i * step];
      return { joint, time: time[i * step], value: Number.isFinite(value) ? value : null };
    });
  });
  if (points.every(({ value }) => value === null)) return null;
  const bottoms = (repetitions.objects({ limit: Infinity }) as { repetition: number; bottom_time_s: number | null }[])
    .filter(({ bottom_time_s: at }) => at !== null)
    .map(({ repetition, bottom_time_s: at }) => ({ time: at, label: bottomMark(repetition) }));
  const domain = [time[0], time[time.length - 1]];
  const x = {
    field: 'time',
    type: 'quantitative',
    scale: { domain, nice: false },
    axis: { title: timeAxisTitle(), grid: false, tickCount: 6 },
  } as const;
  const y = { field: 'value', type: 'quantitative', axis: { title: momentAxisTitle(), tickCount: 6 } } as const;
  const colour = { domain: ['hip', 'knee'], range: [COLOUR.hip, COLOUR.knee] };
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    ...PLOT,
    title: { text: timeCourseTitle(), subtitle: timeCourseSubtitle() },
    layer: [
      {
        data: { values: [{ value: 0 }] },
        mark: { type: 'rule', color: COLOUR.line, strokeWidth: 1.5 },
        encoding: { y },
      },
      { data: { values: bottoms }, mark: { type: 'rule', color: COLOUR.line, strokeWidth: 1.5 }, encoding: { x } },
      {
        data: { values: bottoms },
        mark: { type: 'text', y: 0, dy: -7, align: 'center', color: COLOUR.quiet, fontSize: 12 },
        encoding: { x, text: { field: 'label' } },
      },
      {
        data: { values: points },
        mark: { type: 'line', strokeWidth: 2 },
        encoding: {
          x,
          y,
          color: {
            field: 'joint',
            type: 'nominal',
            scale: colour,
            legend: { symbolType: 'stroke', symbolSize: 350, offset: 18 },
          },
          strokeDash: {
            field: 'joint',
            type: 'nominal',
            scale: {
              domain: ['hip', 'knee'],
              range: [
                [1, 0],
                [2, 2],
              ],
            },
            legend: { symbolType: 'stroke', symbolSize: 350, offset: 18 },
          },
        },
      },
    ],
  };
}
