import { type Command, InvalidArgumentError, Option } from 'commander';
import { type FilmingPlan, filmingPlan, likePhones, PLAN_DEFAULTS, readPlanFile } from '../capture/plan-file.ts';
import type { BarPosition, Sex } from '../capture/recording.ts';
import { BAR_POSITIONS } from '../capture/schema.ts';
import { planView } from '../figures/plan-view.ts';
import { renderSvg } from '../figures/render-svg.ts';
import { planFilesWritten, usage } from '../messages.ts';
import { csvOf, tableOf } from '../study/csv.ts';
import { jsonText } from '../study/json-text.ts';
import { type PlanResult, planFilming } from '../uncertainty/plan.ts';
import { planDrawing } from '../uncertainty/plan-drawing.ts';
import { planLines } from '../uncertainty/plan-words.ts';
import { HALF_WIDTH_95 } from '../uncertainty/posture-uncertainty.ts';
import { placeOption } from './place-option.ts';
import { writeFiles } from './write-files.ts';

/** What can be said on the command line instead of in a file: two like phones, one on each side. */
interface QuickPlan {
  readonly distanceM?: number;
  readonly angleDeg?: number;
  readonly heightM?: number;
  readonly fieldOfViewDeg?: number;
  readonly frameRateHz?: number;
  readonly noisePx?: number;
  readonly statureM?: number;
  readonly massKg?: number;
  readonly sex?: Sex;
  readonly loadKg?: number;
  readonly bar?: BarPosition;
}

type Room = readonly [front: number, behind: number, left: number, right: number];

const OPTIONS: readonly (readonly [keyof QuickPlan, string, string, low: number, high: number])[] = [
  ['distanceM', '--distance-m', `phones from the lifter's middle, m (${PLAN_DEFAULTS.distanceM})`, 0.5, 30],
  ['angleDeg', '--angle-deg', `off straight sideways, 0 beside, 90 ahead (${PLAN_DEFAULTS.angleDeg})`, -90, 90],
  ['heightM', '--height-m', `lens above the floor, m (${PLAN_DEFAULTS.heightM})`, 0.05, 5],
  [
    'fieldOfViewDeg',
    '--field-of-view-deg',
    `along the longer side of the picture (${PLAN_DEFAULTS.fieldOfViewDeg})`,
    5,
    150,
  ],
  ['frameRateHz', '--frame-rate-hz', `frames a second (${PLAN_DEFAULTS.frameRateHz})`, 10, 2000],
  [
    'noisePx',
    '--noise-px',
    'error of a body point in the picture, px; two thirds of its variance new in every frame (1)',
    0,
    50,
  ],
  ['statureM', '--stature-m', `body height, m (${PLAN_DEFAULTS.statureM})`, 1, 2.5],
  ['massKg', '--mass-kg', `body mass, kg (${PLAN_DEFAULTS.massKg})`, 20, 300],
  ['loadKg', '--load-kg', `bar, discs and collars together, kg (${PLAN_DEFAULTS.loadKg})`, 0, 600],
];

/** Hooks `plan` onto the command line. */
export function registerPlan(program: Command): void {
  const command = program
    .command('plan')
    .description(
      'Before filming: how exact will joints, lean and hip share be, what is hidden or cut off, and which phone to move.',
    )
    .argument('[file]', 'plan.yaml; without it two like phones, one on each side, as the options say')
    .addOption(
      new Option(
        '--out <dir>',
        'folder for plan.json, plan.csv, plan-causes.csv, plan.svg (default: out/<name of the plan>)',
      ).argParser(placeOption),
    );
  for (const [, flag, help, low, high] of OPTIONS) {
    command.addOption(new Option(`${flag} <number>`, help).argParser((text: string) => within(text, low, high)));
  }
  command
    .addOption(new Option('--sex <sex>', 'chooses the segment table (unknown)').choices(['female', 'male', 'unknown']))
    .addOption(
      new Option('--bar <position>', `where the bar is (${PLAN_DEFAULTS.barPosition})`).choices([...BAR_POSITIONS]),
    )
    .addOption(
      new Option(
        '--room <front,behind,left,right>',
        "free floor from the lifter's middle, m, in which phones may stand",
      ).argParser(roomOption),
    )
    .addHelpText(
      'after',
      '\nExamples:\n  kneeward plan plan.yaml --out out/plan' +
        '\n  kneeward plan --distance-m 4 --angle-deg 45' +
        '\n  kneeward plan --distance-m 3.5 --angle-deg 60 --stature-m 1.8 --mass-kg 84 --load-kg 100 --room 4,2,3,3',
    )
    .action(async (file: string | undefined, given) => {
      const plan = planOf(file, given, given.room ?? null);
      const result = planFilming(plan);
      const folder = given.out ?? `out/${plan.id}`;
      writeFiles(folder, await planFiles(result));
      process.stdout.write(`${planLines(result).join('\n')}\n\n${planFilesWritten(folder)}\n`);
    });
}

function planOf(file: string | undefined, quick: QuickPlan, room: Room | null): FilmingPlan {
  const floor = room && { front_m: room[0], behind_m: room[1], left_m: room[2], right_m: room[3] };
  if (file !== undefined) {
    const known = [
      ...OPTIONS.map(([name, flag]) => [name, flag] as const),
      ['sex', '--sex'],
      ['bar', '--bar'],
    ] as const;
    const beside = known.find(([name]) => quick[name as keyof QuickPlan] !== undefined);
    if (beside) throw usage(`${beside[1]} beside ${file}: write it into the file, or leave the file out.`);
    return readPlanFile(file, null, floor ?? undefined);
  }
  const noisePx = quick.noisePx;
  return filmingPlan(
    {
      kneeward: 1,
      plan: 'two-phones',
      lifter: { sex: quick.sex, stature_m: quick.statureM, mass_kg: quick.massKg },
      load: { total_kg: quick.loadKg ?? PLAN_DEFAULTS.loadKg, bar: { position: quick.bar } },
      cameras: likePhones({
        distance_m: quick.distanceM,
        angle_deg: quick.angleDeg,
        height_m: quick.heightM,
        field_of_view_deg: quick.fieldOfViewDeg,
        frame_rate_hz: quick.frameRateHz,
      }),
      ...(noisePx === undefined
        ? {}
        : {
            noise: { white_px: PLAN_DEFAULTS.noise.whitePx * noisePx, slow_px: PLAN_DEFAULTS.noise.slowPx * noisePx },
          }),
      ...(floor ? { room: floor } : {}),
    },
    'kneeward plan',
  );
}

/** plan.json, plan.csv, plan.svg: name → content. */
export async function planFiles(result: PlanResult): Promise<ReadonlyMap<string, string>> {
  const { plan, foreseen, doubt, better, movables, blurPx } = result;
  const drawing = planDrawing(result);
  const rows = foreseen.rows.map(({ posture, what, axis, unit, value, sd, halfWidth95, reason }) => ({
    plan: plan.id,
    posture,
    what,
    axis,
    unit,
    value,
    sd,
    half_width_95: halfWidth95,
    reason,
  }));
  const svg = await renderSvg(
    planView(
      tableOf(
        DRAWING_COLUMNS,
        drawing.rows.map((row) => ({ ...row })),
      ),
      drawing.magnified,
    ),
  );
  const { file: _, ...planned } = plan;
  return new Map([
    [
      'plan.json',
      jsonText(
        snakeKeys({
          kneeward: 1,
          kind: 'filming plan result',
          plan: planned,
          stands: movables.map(({ camera, stand }) => ({ camera: camera.name, ...stand })),
          rayAngleDeg: foreseen.rayAngleDeg,
          hipShareHalfWidth95: foreseen.hipShareHalfWidth95,
          hipSharePerDegreeOfVertical: foreseen.hipSharePerDegreeOfVertical,
          views: foreseen.views,
          blurPx,
          better,
          rows,
          doubtAtParallel: doubt,
          notIncluded: ['hidden points', "the smoothing's own bias"],
        }),
      ),
    ],
    ['plan.csv', csvOf(tableOf(ROW_COLUMNS, rows))],
    ['plan-causes.csv', csvOf(tableOf(CAUSE_COLUMNS, causeRows(plan.id, doubt)))],
    ['plan.svg', svg],
  ]);
}

/** Keys of files are written with underscores. */
function snakeKeys(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(snakeKeys);
  if (typeof value !== 'object' || value === null) return value;
  const snake = (key: string) => key.replace(/[A-Z]|(?<=[a-z])\d+/g, (part) => `_${part.toLowerCase()}`);
  return Object.fromEntries(Object.entries(value).map(([key, entry]) => [snake(key), snakeKeys(entry)]));
}

function causeRows(plan: string, doubt: PlanResult['doubt']) {
  return doubt.flatMap(({ quantity, sd, parts }) =>
    parts.map((part) => ({
      plan,
      posture: 'parallel',
      what: quantity,
      cause: part.cause,
      sd: part.sd,
      share: part.share,
      half_width_95_all: HALF_WIDTH_95 * sd,
    })),
  );
}

const CAUSE_COLUMNS = ['plan', 'posture', 'what', 'cause', 'sd', 'share', 'half_width_95_all'] as const;
const ROW_COLUMNS = ['plan', 'posture', 'what', 'axis', 'unit', 'value', 'sd', 'half_width_95', 'reason'] as const;
const DRAWING_COLUMNS = ['view', 'part', 'line', 'corner', 'across_m', 'up_m'] as const;

function within(text: string, low: number, high: number): number {
  const value = Number(text);
  if (text.trim() === '' || !(value >= low && value <= high))
    throw new InvalidArgumentError(`Write a number from ${low} to ${high}.`);
  return value;
}

function roomOption(text: string): Room {
  const parts = text.split(',').map(Number);
  if (parts.length !== 4 || !parts.every((value) => value >= 0.5 && value <= 50)) {
    throw new InvalidArgumentError(
      'Write four distances from 0.5 to 50 m: front,behind,left,right, for instance 4,2,3,3.',
    );
  }
  return parts as unknown as Room;
}
