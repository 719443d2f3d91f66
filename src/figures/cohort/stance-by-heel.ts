import type { ColumnTable } from 'arquero';
import { numberText, PER_CENT } from '../../study/shown.ts';
import { heelLevels } from './heel-levels.ts';
import { axisOfPredictor, counted, termName } from './names.ts';
import { type Observation, observationsOf, predictorsOf } from './observations.ts';
import { cannot, groupsOf, known, type Made, made, PLOT_PX } from './publication.ts';
import { HEEL, stanceOf } from './share-against-limb-ratio.ts';
import { HIP_SHARE_AT_PARALLEL } from './table-rows.ts';

const WIDTHS = [0.1, 0.2, 0.25, 0.5, 1] as const;
const MOST_ROWS = 6;
const MOST_COLUMNS = 5;
const CELL_PX = 40;

/** Light to dark in one hue, so that it reads in grey. Not colours of the page: cells keep theirs in the dark, and so does their text. */
const RAMP = ['#efe8f7', '#cdb6e4', '#9a74c2', '#55297c'] as const;
const ON_LIGHT = '#101512';
const ON_DARK = '#fdfdfd';

/** A cell: mean over its athletes, each the mean of the own recordings in it. */
export interface HeatCell {
  readonly heel: string;
  readonly stance: string;
  readonly share: number;
  readonly athletes: number;
  readonly recordings: number;
}

export interface HeatCells {
  readonly cells: readonly HeatCell[];
  readonly heels: readonly string[];
  /** Narrow first. */
  readonly stances: readonly string[];
  readonly binWidth: number;
  readonly used: readonly Observation[];
}

/** Cells of stance × heel of cohort-rows.csv; null where a predictor is not there. */
export function heatCells(rows: ColumnTable): HeatCells | null {
  const stance = stanceOf(rows);
  if (stance === null || !predictorsOf(rows).includes(HEEL)) return null;
  const used = observationsOf(rows, HIP_SHARE_AT_PARALLEL).used.filter(
    ({ row }) => known(row[HEEL]) && known(row[stance]),
  );
  const levels = heelLevels(
    used.map(({ row }) => row[HEEL]),
    MOST_COLUMNS,
  );
  const widths = used.map(({ row }) => Number(row[stance]));
  const range = used.length > 0 ? Math.max(...widths) - Math.min(...widths) : 0;
  const binWidth = WIDTHS.find((width) => range / width <= MOST_ROWS - 1) ?? WIDTHS[WIDTHS.length - 1];
  // A trace of rounding: 1.5 is the begin of the bin 1.5 to 1.6.
  const binOf = (width: number) => Math.floor(width / binWidth + 1e-9);
  const decimals = binWidth === 0.25 ? 2 : 1;
  const nameOf = (bin: number) =>
    `${(bin * binWidth).toFixed(decimals)} to ${((bin + 1) * binWidth).toFixed(decimals)}`;
  const bins = [...new Set(widths.map(binOf))].sort((a, b) => a - b);
  const every =
    bins.length > 0 ? Array.from({ length: bins[bins.length - 1] - bins[0] + 1 }, (_, i) => bins[0] + i) : [];
  const cells = groupsOf(used, ({ row }) => JSON.stringify([levels.nameOf(row[HEEL]), binOf(Number(row[stance]))])).map(
    (own): HeatCell => {
      const athletes = groupsOf(own, ({ athlete }) => athlete).map(
        (of) => of.reduce((sum, { value }) => sum + value, 0) / of.length,
      );
      return {
        heel: levels.nameOf(own[0].row[HEEL]) ?? '',
        stance: nameOf(binOf(Number(own[0].row[stance]))),
        share: athletes.reduce((sum, value) => sum + value, 0) / athletes.length,
        athletes: athletes.length,
        recordings: own.length,
      };
    },
  );
  return { cells, heels: levels.names, stances: every.map(nameOf), binWidth, used };
}

/**
 * Heat map of the hips' part at parallel: heel height across, stance upward, in each cell the mean over athletes and their number; a
 * cell without a recording stays empty.
 *
 * @param rows table with the columns of cohort-rows.csv
 */
export function stanceByHeel(rows: ColumnTable): Made {
  const found = heatCells(rows);
  if (found === null)
    return cannot(
      `the comparison of the study file does not name both ${HEEL} and a stance (stance_per_hip_width) among its predictors`,
    );
  const { cells, heels, stances } = found;
  if (cells.length < 2) return cannot('fewer than two combinations of stance and heel have a value');
  const shares = cells.map(({ share }) => PER_CENT.factor * share);
  const [low, high] = [Math.min(...shares), Math.max(...shares)];
  const data = cells.map((cell) => {
    const share = PER_CENT.factor * cell.share;
    return {
      ...{ heel: cell.heel, stance: cell.stance, share },
      words: `${numberText(share, 0)} %`,
      n: `n ${cell.athletes}`,
      ink: (share - low) / (high - low || 1) > 0.55 ? 'on dark' : 'on light',
    };
  });
  const x = {
    field: 'heel',
    type: 'ordinal',
    scale: { domain: heels, padding: 0.04 },
    axis: { title: axisOfPredictor(HEEL, 'mm'), orient: 'bottom', labelAngle: 0, grid: false },
  } as const;
  const y = {
    field: 'stance',
    type: 'ordinal',
    scale: { domain: [...stances].reverse(), padding: 0.04 },
    axis: { title: termName(stanceOf(rows)!), grid: false, minExtent: 68, maxExtent: 68 },
  } as const;
  const text = (field: string, dy: number, fontSize: number) => ({
    mark: { type: 'text', dy, fontSize, fontWeight: field === 'words' ? 600 : 'normal' },
    encoding: {
      ...{ x, y },
      text: { field },
      color: {
        field: 'ink',
        type: 'nominal',
        scale: { domain: ['on light', 'on dark'], range: [ON_LIGHT, ON_DARK] },
        legend: null,
      },
    },
  });
  return made({
    data: { values: data },
    width: PLOT_PX - 38,
    height: CELL_PX * stances.length,
    resolve: { scale: { color: 'independent' } },
    layer: [
      {
        mark: { type: 'rect' },
        encoding: {
          ...{ x, y },
          color: {
            field: 'share',
            type: 'quantitative',
            scale: { domain: low === high ? [low - 1, high + 1] : [low, high], range: RAMP, interpolate: 'lab' },
            // Cells carry their numbers; and the drawing library names a gradient by a count of its own, which differs from run to run.
            legend: null,
          },
        },
      },
      text('words', -6, 10.5),
      text('n', 8, 9.5),
    ],
  });
}

export const heatCounts = ({ used }: HeatCells): string =>
  `${counted(new Set(used.map(({ athlete }) => athlete)).size, 'athlete')}, ${counted(used.length, 'recording')}`;
