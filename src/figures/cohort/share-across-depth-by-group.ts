import { type BandPoint, bandLayers } from '../interval-band.ts';
import { CHARACTER_EM, COLOUR } from '../look.ts';
import { depthAxisTitle, PHASE_WORDS, type PhaseName, parallelMark } from '../words.ts';
import { type CohortCurveRow, type ComparedDepths, type GroupCurveRow, levelName } from './curve-rows.ts';
import { differenceDomain, differenceFactor, levelNames, meanDomain, scaled, unitOf } from './depth-domains.ts';
import { axisOfOutcome, shownDifference, shownOutcome, stepOf } from './names.ts';
import { AXIS_PX, cannot, known, type Made, made, PX_PER_MM, said, TEXT } from './publication.ts';
import {
  depthTitle,
  differenceAxis,
  differsMark,
  groupMark,
  groupWords,
  notTestedMark,
  slopeAxis,
} from './share-across-depth-words.ts';
import { wrapped } from './wrapped.ts';

/** Widths of one and two columns of a journal, mm; common practice, no source. */
export type FigureWidthMm = 85 | 175;

const ABOVE_PX = 150;
const BELOW_PX = 80;
const TITLE_PX = 30;
const PAD_PX = 5;
/** Names right of the frame may be wider than they are reckoned. */
const RIGHT_PX = 12;
/** Room for names right of the frame at most, px: longer ones stand above the plot and leave only their marks there. */
const MOST_ROOM_PX = 80;
const BETWEEN_PX = 14;
const STEP_DEG = 15;
/** Marks on the lines stand every so many degrees. */
const MARK_EVERY_DEG = 15;
const DOTTED = [1.5, 2.5];
/** Least distance of two labels, px. */
const LABEL_PX = 12;
const CHARACTER_PX = CHARACTER_EM * TEXT.small;
/** Half a step of the grid, deg: a range covers its depths. */
const HALF_STEP_DEG = 2.5;

/** From the frame to the names right of it, px. */
const NAME_DX_PX = 6;

/** Look of the reference and of the level: they differ by line, mark and colour. */
const GROUPS = [
  { colour: COLOUR.down, dash: [1, 0], shape: 'circle', fill: COLOUR.down },
  { colour: COLOUR.up, dash: DOTTED, shape: 'square', fill: '#ffffff' },
] as const;

/**
 * Mean curves of two levels (or, along a covariate, of all athletes) across depth, way down and way up apart, each with its
 * simultaneous band; a bar along the depth axis where they differ; below, the difference (or slope) with its own band, and about it
 * the band with errors of measurement that athletes share. What is not known breaks lines and bands. At 85 mm the ways stand under each other,
 * at 175 mm side by side.
 */
export function shareAcrossDepthByGroup(compared: ComparedDepths, widthMm: FigureWidthMm = 85): Made {
  const { test, groups } = compared;
  const shown = groups.flat().filter(({ mean }) => known(mean));
  if (shown.length === 0) return cannot('no athlete has the curve');
  const whole = groups.map((_, g) => labelOf(compared, g));
  const fits = roomFor(whole) <= MOST_ROOM_PX;
  const names = fits ? whole : groups.map((_, g) => markOf(compared, g));
  const room = roomFor(names);
  const inner = Math.floor(widthMm * PX_PER_MM) - PAD_PX - RIGHT_PX;
  const columns = widthMm === 85 ? 1 : 2;
  const width = Math.floor((inner - (columns - 1) * BETWEEN_PX) / columns - AXIS_PX - TITLE_PX - room);
  const frame: Frame = {
    compared,
    names,
    width,
    depths: depthDomain(shown),
    values: meanDomain(compared).domain,
    differences: differenceDomain(compared)?.domain ?? null,
  };
  const phases = (['descent', 'ascent'] as const).filter((phase) => shown.some((row) => row.phase === phase));
  const panels = phases.map((phase, i) => ({
    spacing: 6,
    vconcat: [
      above(frame, phase, columns === 2 && i > 0),
      ...(frame.differences ? [below(frame, phase, frame.differences, columns === 2 && i > 0)] : []),
    ],
  }));
  const words = [...(fits ? [] : whole), ...groupWords(compared, columns, frame.differences !== null)];
  return made({
    title: {
      text: depthTitle(test),
      subtitle: words.flatMap((line) => wrapped(line, Math.floor(inner / CHARACTER_PX))),
    },
    padding: { left: PAD_PX, top: PAD_PX, bottom: PAD_PX, right: RIGHT_PX },
    spacing: BETWEEN_PX,
    ...(columns === 1 ? { vconcat: panels } : { hconcat: panels }),
  });
}

/** Room that names right of the frame take, px. */
const roomFor = (names: readonly string[]): number =>
  NAME_DX_PX + 2 + CHARACTER_PX * Math.max(...names.map(({ length }) => length));

interface Frame {
  readonly compared: ComparedDepths;
  /** What stands right of the frame. */
  readonly names: readonly string[];
  readonly width: number;
  readonly depths: readonly [number, number];
  readonly values: readonly [number, number];
  readonly differences: readonly [number, number] | null;
}

function labelOf({ test, groups }: ComparedDepths, g: number): string {
  if (groups.length === 1) return groupMark.all();
  return g === 0
    ? groupMark.reference(levelName(test.by, test.reference))
    : groupMark.level(levelName(test.by, test.level));
}

const markOf = ({ groups }: ComparedDepths, g: number): string =>
  groups.length === 1 ? groupMark.all() : g === 0 ? groupMark.reference() : groupMark.level();

function above(frame: Frame, phase: PhaseName, second: boolean) {
  const { compared, names, width, values } = frame;
  const { test, groups, curves } = compared;
  const { factor } = shownOutcome(test.quantity, unitOf(compared));
  const x = depthAxis(frame, frame.differences === null);
  const y = {
    field: 'value',
    type: 'quantitative',
    axis: {
      title: axisOfOutcome({ measure: test.quantity, side: '', at: '' }, unitOf(compared)),
      titleOpacity: second ? 0 : 1,
      tickCount: 5,
    },
    scale: { domain: values, zero: false, nice: false },
  } as const;
  const lines = groups.map((rows) =>
    rows.filter((row) => row.phase === phase).map((row) => ({ depth: row.depth, value: scaled(row.mean, factor) })),
  );
  const bands = groups.map((rows, g) =>
    rows
      .filter((row) => row.phase === phase)
      .map(
        (row): BandPoint => ({
          word: names[g],
          phase,
          depth: row.depth,
          lower: scaled(row.band_lower, factor),
          upper: scaled(row.band_upper, factor),
        }),
      ),
  );
  const layer = [
    ...parallelLayers(x, true),
    ...bandLayers(bands.flat(), x, y, (word) => GROUPS[names.indexOf(word)].colour),
    ...bands.flatMap((band, g) =>
      (['lower', 'upper'] as const).map((end) => ({
        data: { values: band.map((point) => ({ depth: point.depth, value: within(point[end], values) })) },
        mark: { type: 'line', color: GROUPS[g].colour, strokeWidth: 0.5, strokeDash: GROUPS[g].dash },
        encoding: { x, y },
      })),
    ),
    ...lines.flatMap((points, g) => [
      {
        data: { values: points },
        mark: { type: 'line', color: GROUPS[g].colour, strokeWidth: 1.7, strokeDash: GROUPS[g].dash },
        encoding: { x, y },
      },
      {
        data: { values: points.filter(({ depth, value }) => depth % MARK_EVERY_DEG === 0 && value !== null) },
        mark: {
          ...{ type: 'point', shape: GROUPS[g].shape, filled: true, fill: GROUPS[g].fill, stroke: GROUPS[g].colour },
          ...{ strokeWidth: 1.3, size: 26, opacity: 1 },
        },
        encoding: { x, y },
      },
    ]),
    ...labelLayers(lines, names, width, y, values),
    ...rangeLayers(
      curves.filter((row) => row.phase === phase),
      x,
      frame.depths,
      test.design === 'covariate',
    ),
  ];
  return { width, height: ABOVE_PX, title: phaseTitle(phase), layer };
}

function below(
  { compared, width, ...frame }: Frame,
  phase: PhaseName,
  domain: readonly [number, number],
  second: boolean,
) {
  const { test } = compared;
  const rows = compared.curves.filter((row) => row.phase === phase);
  const factor = differenceFactor(compared);
  const none = test.scale === 'factor' ? 1 : 0;
  const x = depthAxis(frame, true);
  const y = {
    field: 'value',
    type: 'quantitative',
    axis: { title: differenceTitle(compared), titleOpacity: second ? 0 : 1, tickCount: 4 },
    scale: { domain, zero: false, nice: false },
  } as const;
  const band = (word: string, low: 'band_lower' | 'widened_band_lower', high: 'band_upper' | 'widened_band_upper') =>
    rows.map(
      (row): BandPoint => ({
        word,
        phase,
        depth: row.depth,
        lower: scaled(row[low], factor),
        upper: scaled(row[high], factor),
      }),
    );
  const points = rows.map((row) => ({ depth: row.depth, value: scaled(row.estimate, factor), verdict: row.verdict }));
  const layer = [
    ...parallelLayers(x, false),
    ...bandLayers(band('widened', 'widened_band_lower', 'widened_band_upper'), x, y, () => COLOUR.ink),
    ...bandLayers(band('own', 'band_lower', 'band_upper'), x, y, () => COLOUR.ink),
    {
      data: { values: [{ value: none }] },
      mark: { type: 'rule', color: COLOUR.quiet, strokeWidth: 1 },
      encoding: { y },
    },
    { data: { values: points }, mark: { type: 'line', strokeWidth: 1.5, color: COLOUR.ink }, encoding: { x, y } },
    {
      data: { values: points.filter(({ verdict, value }) => verdict === 'differs' && value !== null) },
      mark: { type: 'point', shape: 'square', filled: true, size: 16, opacity: 1, color: COLOUR.ink },
      encoding: { x, y },
    },
  ];
  return { width, height: BELOW_PX, layer };
}

/** Names right of the frame, where no mark is taken for a value, at the height of the deep end of each line; held apart. */
function labelLayers(
  lines: readonly (readonly { readonly depth: number; readonly value: number | null }[])[],
  names: readonly string[],
  width: number,
  y: object,
  [low, high]: readonly [number, number],
) {
  const ends = lines.flatMap((points, g) => {
    const last = points.filter(({ value }) => value !== null).at(-1);
    const first = points.find(({ value }) => value !== null);
    if (!last || !first) return [];
    // The way up is listed as the way down is: from shallow to deep.
    const deep = last.depth <= first.depth ? last : first;
    return [{ g, value: deep.value! }];
  });
  const apart = (LABEL_PX * (high - low)) / ABOVE_PX;
  const sorted = [...ends].sort((a, b) => a.value - b.value);
  const lack = sorted.length === 2 ? Math.max(0, apart - (sorted[1].value - sorted[0].value)) / 2 : 0;
  return sorted.map(({ g, value }, i) => ({
    data: { values: [{ value: value + (i === 0 ? -lack : lack) }] },
    mark: {
      ...{ type: 'text', text: names[g], x: width + NAME_DX_PX, align: 'left', fontSize: TEXT.small },
      ...{ color: lines.length === 1 ? COLOUR.ink : GROUPS[g].colour },
    },
    encoding: { y },
  }));
}

/** Along the depth axis: a bar where they differ, dots where it was not tested. */
function rangeLayers(
  all: readonly CohortCurveRow[],
  x: object,
  [deep, shallow]: readonly [number, number],
  slope: boolean,
) {
  const rows = all.filter(({ depth }) => depth >= deep && depth <= shallow);
  const held = (depth: number) => Math.min(shallow, Math.max(deep, depth));
  const ranges = (verdict: string) => {
    const found: { from: number; to: number }[] = [];
    let open = false;
    for (const row of [...rows].sort((a, b) => b.depth - a.depth)) {
      if (row.verdict === verdict && open) found[found.length - 1].to = held(row.depth - HALF_STEP_DEG);
      else if (row.verdict === verdict)
        found.push({ from: held(row.depth + HALF_STEP_DEG), to: held(row.depth - HALF_STEP_DEG) });
      open = row.verdict === verdict;
    }
    return found;
  };
  const bar = (values: readonly { from: number; to: number }[], style: object) => ({
    data: { values },
    mark: { type: 'rule', y: ABOVE_PX - 4, ...style, clip: false },
    encoding: { x: { ...x, field: 'from' }, x2: { field: 'to' } },
  });
  const word = (values: readonly { from: number; to: number }[], text: string, style: object) => {
    const widest = [...values].sort((a, b) => b.from - b.to - (a.from - a.to))[0];
    return {
      data: { values: [{ middle: (widest.from + widest.to) / 2 }] },
      mark: { type: 'text', text, y: ABOVE_PX - 11, fontSize: TEXT.small, ...style },
      encoding: { x: { ...x, field: 'middle' } },
    };
  };
  const [differs, untested] = [ranges('differs'), ranges('not tested')];
  return [
    ...(differs.length > 0
      ? [bar(differs, { color: COLOUR.ink, strokeWidth: 4 }), word(differs, differsMark(slope), { color: COLOUR.ink })]
      : []),
    ...(untested.length > 0
      ? [
          bar(untested, { color: COLOUR.quiet, strokeWidth: 2, strokeDash: [1, 3] }),
          ...(untested.some(({ from, to }) => from - to >= STEP_DEG)
            ? [word(untested, notTestedMark(), { color: COLOUR.quiet })]
            : []),
        ]
      : []),
  ];
}

function differenceTitle(compared: ComparedDepths): readonly string[] {
  const { test } = compared;
  const { unit } = shownDifference(test.quantity, unitOf(compared));
  const of = ([level, reference]: readonly [string, string]) =>
    test.scale === 'factor'
      ? differenceAxis.factor(level, reference)
      : differenceAxis.difference(level, reference, unit);
  if (test.design !== 'covariate') {
    const named = of(levelNames(compared));
    // The title is turned: it must not be longer than the panel is high.
    return CHARACTER_EM * TEXT.usual * named[0].length <= BELOW_PX
      ? named
      : of([groupMark.level(), groupMark.reference()]);
  }
  return slopeAxis(unit, stepOf(said(test.by), said(test.per))?.words ?? '1');
}

const depthAxis = ({ depths }: Pick<Frame, 'depths'>, titled: boolean) =>
  ({
    field: 'depth',
    type: 'quantitative',
    scale: { reverse: true, domain: depths, nice: false },
    axis: { title: titled ? depthAxisTitle() : null, labels: titled, values: ticksOf(depths), grid: false },
  }) as const;

const ticksOf = ([deep, shallow]: readonly [number, number]) =>
  Array.from({ length: (shallow - deep) / STEP_DEG + 1 }, (_, i) => shallow - STEP_DEG * i);

const phaseTitle = (phase: PhaseName) => ({
  ...{
    text: PHASE_WORDS[phase],
    fontSize: TEXT.usual,
    fontWeight: 'normal',
    anchor: 'start',
    frame: 'group',
    offset: 3,
  },
  color: COLOUR.quiet,
});

function parallelLayers(x: object, named: boolean) {
  const data = { values: [{ depth: 0 }] };
  const rule = { data, mark: { type: 'rule', color: COLOUR.line, strokeWidth: 1 }, encoding: { x } };
  if (!named) return [rule];
  const mark = {
    type: 'text',
    text: parallelMark(),
    y: 0,
    dx: 3,
    dy: 5,
    align: 'left',
    color: COLOUR.quiet,
    fontSize: TEXT.small,
  };
  return [rule, { data, encoding: { x }, mark }];
}

/** From the shallowest to the deepest depth with a mean, on whole ticks. */
function depthDomain(rows: readonly GroupCurveRow[]): [number, number] {
  const depths = rows.map(({ depth }) => depth);
  const [deep, shallow] = [Math.min(0, ...depths), Math.max(STEP_DEG, ...depths)];
  return [STEP_DEG * Math.floor(deep / STEP_DEG), STEP_DEG * Math.ceil(shallow / STEP_DEG)];
}

const within = (value: number | null, [low, high]: readonly [number, number]) =>
  value === null ? null : Math.min(high, Math.max(low, value));
