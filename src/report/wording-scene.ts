import { FLOOR_STEP_M } from '../web/scene/floor-lines.ts';
import type { SceneView } from '../web/scene/payload.ts';
import type { SceneWords } from '../web/scene/words.ts';

/* Everything the moving picture says: what stands in the page, and what the browser fills in. */

export const sceneHeading = () => 'Watch the lift';
export const sceneLead = () =>
  'Press play, or drag in a chart: the picture and the charts move together. A disc at hip or knee is the turning effort there; the larger, the harder the muscles work.';
export const sceneWithoutScript = () =>
  'The moving picture needs JavaScript, which is switched off here. All numbers are in the other parts of this report.';

export const stageLabel = () => 'Moving picture; keys: space, arrows, 1 to 4';
export const viewsLabel = () => 'Seen from';
export const viewWords = (): Readonly<Record<SceneView, string>> => ({
  side: 'Side',
  front: 'Front',
  top: 'Top',
  free: 'Free',
});
export const nearer = () => 'Nearer';
export const farther = () => 'Farther';
export const sliderLabel = () => 'Moment of the lift';
export const backLabel = () => 'One frame back';
export const forwardLabel = () => 'One frame on';
export const speedLabel = () => 'Speed';
export const speedWords = () =>
  [
    { speed: 1, shown: '1', spoken: 'as fast as it was' },
    { speed: 0.5, shown: '½', spoken: 'half speed' },
    { speed: 0.25, shown: '¼', spoken: 'quarter speed' },
    { speed: 0.125, shown: '⅛', spoken: 'an eighth of the speed' },
  ] as const;
export const partLabel = () => 'Play';
export const momentsLabel = () => 'Go to';
export const momentWords = () =>
  [
    { moment: 'parallelDescent', text: 'Parallel ↓', spoken: 'Parallel on the way down' },
    { moment: 'bottom', text: 'Bottom', spoken: 'Bottom' },
    { moment: 'parallelAscent', text: 'Parallel ↑', spoken: 'Parallel on the way up' },
    { moment: 'sticking', text: 'Sticking point', spoken: 'Sticking point' },
  ] as const;
export const markListLabel = () => 'Findings';
export const saveLabel = () => 'Save this moment as a picture';
export const alignLabel = () => 'Pale: second lift';
export const alignWords = () => ({
  depth: 'at the same depth',
  time: 'at the same time',
  none: 'hidden',
});
export const moreLabel = () => 'What is drawn, and keys';
export const showWords = () =>
  [
    { name: 'mass', text: 'Where the mass hangs (red diamond and plumb line)', on: true },
    { name: 'force', text: 'Force of the floor (green arrow)', on: true },
    { name: 'effort', text: 'Turning effort at hips and knees (discs)', on: true },
    { name: 'points', text: 'Body points (dots)', on: false },
  ] as const;
export const keysText = () =>
  'Keys: space plays and stops; ← → one frame; Home and End; 1 side, 2 front, 3 top, 4 free; Shift with arrows turns; + and − come nearer and go away. Mouse: drag turns, wheel (after a click) comes nearer, double click puts back. Touch: one finger sideways turns, two fingers turn and zoom.';

/** What is true of the drawing and what is looks only. `barTracked`: null without a bar. */
export const drawnNote = (barTracked: boolean | null, discs: boolean, measuredForce: boolean) =>
  [
    'Right side: dark and plain; left side: lighter, thinner and striped. Points and bar are where they were measured; the thickness of the body is only drawn.',
    `Lines on the floor are ${Math.round(100 * FLOOR_STEP_M)} cm apart; the mark under each foot is its middle.`,
    'Discs: the area grows with the turning effort of both legs together, about the point midway between the two joints; solid rim: hips, dashed: knees; hollow: it pulls the other way.',
    measuredForce ? 'Filled arrow: force of the floor from the movement; open arrow: measured.' : '',
    discs ? 'The discs on the bar are drawn full size (45 cm), whatever they really were.' : '',
    barTracked === false ? 'The bar was not seen: it is drawn, see-through, where a rule puts it.' : '',
    'A part that was not seen is not drawn.',
  ]
    .filter((text) => text !== '')
    .join(' ');

export const chartHeadings = () => ({
  effort: 'Turning effort',
  thigh: 'Thigh against the floor (0 = parallel)',
  lean: 'Lean of the trunk',
  foot: 'Mass along the foot (0 heel, 100 toe)',
});
export const chartsNote = (withSecond: boolean) =>
  `Shaded: way down ↓ and way up ↑ of each repetition. A gap: not known there.${withSecond ? ' Thin grey lines: the second lift.' : ''}`;
export const chartHip = () => 'hips';
export const chartKnee = () => 'knees';

export const findingMark = (title: string, repetition: number) => `${title} (repetition ${repetition})`;

/** What the browser fills in. */
export const sceneWords = (): SceneWords => ({
  play: 'Play',
  pause: 'Stop',
  wholeSet: 'Whole set, once',
  repetition: 'repetition {number}',
  descent: 'way down',
  ascent: 'way up',
  standing: 'standing',
  whereInPhase: '{place}, {phase}, {depth} down',
  whereStanding: '{phase}, next to {place}',
  whereAtBottom: '{place}, at the bottom',
  timeAndPlace: '{time}, {where}',
  timeOnly: '{time}',
  seconds: '{value} s',
  newtonMetres: '{value} N·m',
  newtons: '{value} N',
  degrees: '{value}°',
  perCent: '{value} %',
  alongFoot: '{value} %',
  unknown: 'unknown',
  hip: 'hips',
  knee: 'knees',
  left: 'L',
  right: 'R',
  jointEffort: '{joint} {value}',
  floorForce: 'floor {value}',
  measuredForce: 'measured {value}',
  massOverFoot: '{value} % of the foot',
  summary:
    '{where}. Turning effort: hips {hip}, knees {knee}. Thigh {thigh} against the floor, trunk leans {lean}. Mass at {foot} of the foot from the heel.',
  pictureDescription:
    'Lifter {lifter} as a figure, {view} view, with bar, centre of mass, force of the floor and turning efforts. The values of the moment shown stand beside the charts.',
  views: { side: 'side', front: 'front', top: 'top', free: 'free' },
  noSolidPicture: 'This browser has no WebGL: the lifter is drawn with plain lines. Everything else works the same.',
  noDecompression:
    'This browser cannot unpack the data of the moving picture (it lacks DecompressionStream). A current version of it can.',
  damagedData: 'The data of the moving picture are damaged: this file was cut short or changed.',
  pictureFailed: 'The picture could not be made here.',
  pictureSaved: 'Saved as {name}.',
  pictureWho: 'Lifter {lifter}',
  pictureView: '{view} view',
  synthetic: 'SYNTHETIC: invented data',
  toolName: 'Kneeward',
});
