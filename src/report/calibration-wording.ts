import type { GradedRig, RigGrade, RigGradeRow } from '../cameras/acceptance.ts';
import type { MeasuredQuality } from '../cameras/rig.ts';
import { numberText } from '../study/shown.ts';
import { digitsText } from './numbers.ts';

/* Everything the page of a calibration says. Tests assert on the functions, not on the prose. */

export const calibrationTitle = (cameras: readonly string[]) => `Camera check: ${cameras.join(', ')}`;
export const gradeLabel = () => 'Cameras';
export const syntheticMark = () => 'SYNTHETIC';
export const syntheticSentence = () => 'Invented cameras: nothing was filmed.';

const NAMES: Readonly<Record<string, string>> = {
  reprojection_rms: 'How far points lie from where the cameras expect them',
  held_out_length_share: 'Error of known lengths that were kept back',
  focal_sd_share: 'How unsure the zoom (focal length) of a camera is',
  place_sd: 'How unsure the place of a camera is',
  direction_sd: 'How unsure the direction of a camera is',
  vertical_half_width: 'How unsure upright is',
  scale_sd_share: 'How unsure all lengths are together',
  coverage: 'Part of the picture that was covered',
  tilt_range: 'How differently the board was tilted',
  clock_half_width: 'How unsure the clocks are',
  volume_covered: 'Part of a lifter’s space that was covered',
};
export const rowName = ({ name, limit }: RigGradeRow) => NAMES[name] ?? limit.means;

/** A number of a limit as a reader meets it: shares in per cent, lengths in millimetres, times in milliseconds. */
export function valueText(value: number, unit: string): string {
  if (unit === '1') return `${short(100 * value)} %`;
  if (unit === 'm') return `${short(1000 * value)} mm`;
  if (unit === 's') return `${short(1000 * value)} ms`;
  if (unit === 'deg') return `${short(value)}°`;
  return `${short(value)} ${unit}`;
}

/** Two digits are enough to hold against a limit; what is next to nothing says so. */
function short(value: number): string {
  if (value !== 0 && Math.abs(value) < 0.01) return '< 0.01';
  return digitsText(value, Math.abs(value) >= 100 ? 3 : 2);
}

export const limitText = ({ limit, unit }: RigGradeRow, which: 'good' | 'usable') =>
  `${limit.direction === 'at most' ? '≤' : '≥'} ${valueText(limit[which], unit)}`;
export const gradeText = (grade: RigGrade) => (grade === 'unknown' ? 'not known' : grade);
export const cameraOf = (camera: string | null) => (camera === null ? '' : `camera ${camera}`);

/** What a value says, as the end of a sentence. */
const CLAUSES: Readonly<Record<string, (value: string) => string>> = {
  reprojection_rms: (value) => `points lie ${value} from where the cameras expect them`,
  held_out_length_share: (value) => `known lengths that were kept back come out wrong by ${value}`,
  focal_sd_share: (value) => `the zoom is known only to ± ${value}`,
  place_sd: (value) => `the place of a camera is known only to ± ${value}`,
  direction_sd: (value) => `the direction of a camera is known only to ± ${value}`,
  vertical_half_width: (value) => `upright is known only to ± ${value}`,
  scale_sd_share: (value) => `all lengths together are known only to ± ${value}`,
  coverage: (value) => `points lay in ${value} of the picture only`,
  tilt_range: (value) => `the board was tilted by ${value} only`,
  clock_half_width: (value) => `the clocks are known only to ± ${value}`,
  volume_covered: (value) => `points were shown in ${value} of a lifter’s space only`,
};

const MISSING: Readonly<Record<string, string>> = {
  reprojection_rms: 'how well its points fit',
  held_out_length_share: 'how right known lengths come out that were kept back',
  vertical_half_width: 'how upright their world stands',
  scale_sd_share: 'how sure their lengths are',
};

/** The one sentence at the top: good enough or not, by what. What to do follows it (`firstStep`). */
export function verdict({ grade, rows }: GradedRig): string {
  const row = decidingRow(grade, rows);
  if (row === null || grade === 'good') return 'Good enough: film with these cameras as they stand.';
  if (grade === 'unknown')
    return `Not yet known whether these cameras are good enough: nothing says ${MISSING[row.name] ?? row.limit.means}.`;
  const where = row.camera === null ? '' : ` (camera ${row.camera})`;
  const value = valueText(row.value!, row.unit);
  const has = `${CLAUSES[row.name]?.(value) ?? `${row.limit.means}: ${value}`}${where}`;
  const wanted = grade === 'usable' ? 'good' : 'usable';
  const limit = `${wanted} is ${row.limit.direction} ${valueText(row.limit[wanted], row.unit)}`;
  return `${grade === 'usable' ? 'Usable, with wider errors' : 'Not good enough yet'}: ${has}; ${limit}.`;
}

/** The first thing to do about the verdict; '' where nothing is to be done. */
export function firstStep({ grade, rows }: GradedRig): string {
  const remedy = grade === 'good' ? null : (decidingRow(grade, rows)?.remedy ?? null);
  return remedy === null ? '' : `First: ${remedy.charAt(0).toLowerCase()}${remedy.slice(1)}`;
}

/** The row that decides the grade; of several, the one farthest from its limit. null where nothing can be said. */
export function decidingRow(grade: RigGrade, rows: readonly RigGradeRow[]): RigGradeRow | null {
  if (grade === 'unknown') return rows.find((row) => row.grade === 'unknown' && row.limit.needed) ?? rows[0] ?? null;
  const candidates = rows.filter((row) => row.grade === grade);
  return candidates.reduce<RigGradeRow | null>((worst, row) => {
    return worst === null || farness(row, grade) > farness(worst, grade) ? row : worst;
  }, null);
}

/** How many times a value is beyond the limit it misses. */
function farness({ value, limit }: RigGradeRow, grade: RigGrade): number {
  const missed = grade === 'poor' ? limit.usable : limit.good;
  const part = limit.direction === 'at most' ? value! / missed : missed / value!;
  return Number.isNaN(part) ? 0 : part;
}

/** What to do, the most urgent first, each piece of advice once. */
export function advice({ rows }: GradedRig): { readonly text: string; readonly because: string }[] {
  const order = (row: RigGradeRow) =>
    row.grade === 'poor' ? 0 : row.grade === 'unknown' && row.limit.needed ? 1 : row.grade === 'usable' ? 2 : 3;
  const urgent = (row: RigGradeRow) => (row.value === null ? 0 : farness(row, row.grade));
  const wanted = rows.filter((row) => order(row) < 3).sort((a, b) => order(a) - order(b) || urgent(b) - urgent(a));
  const found = new Map<string, string[]>();
  for (const row of wanted) {
    const because = `${rowName(row)}: ${row.value === null ? gradeText(row.grade) : `${valueText(row.value, row.unit)}, ${row.grade}`}`;
    found.set(row.limit.remedy, [...(found.get(row.limit.remedy) ?? []), because]);
  }
  return [...found].map(([text, because]) => ({ text, because: because.join('; ') }));
}

export const adviceHeading = () => 'What to do next';
export const nothingToDo = () => 'Nothing needs to be done. Do not touch, zoom or turn the cameras before filming.';
export const placesHeading = () => 'Where the cameras stand';
export const placesCaption = (view: 'above' | 'side') =>
  `The cameras seen from ${view === 'above' ? 'above' : 'the side'}, with what each of them sees and the space in which points were shown to them. The grey figure only gives the scale.`;
export const acceptanceHeading = () => 'Good enough? Line by line';
export const acceptanceNote = () =>
  'The worst line decides. A line that is needed and not known keeps the whole from being judged. The limits sort calibrations; they are no error bounds.';
export const acceptanceColumns = () => ['What', 'Verdict', 'Here', 'Good', 'Usable'] as const;
export const camerasHeading = () => 'Each camera';
export const camerasColumns = () =>
  ['Camera', 'Pictures', 'Points', 'Miss', 'Picture covered', 'Tilt', 'Place', 'Direction'] as const;
export const held = () => 'held';
export const none = () => '–';
export const coverageHeading = () => 'Which parts of the picture were used';
export const coverageCaption = (camera: string) =>
  `Points that camera ${camera} saw in each field of its picture. Empty fields are guesses: the lens is not measured there.`;
export const residualHeading = () => 'Where points miss';
export const residualCaption = (camera: string, factor: number) =>
  `Every point that camera ${camera} saw, with a line towards the place where it was expected, drawn ${factor} times as long as it is. Lines of all directions are noise; lines that turn or point one way in a region mean a lens, a mark or a picture that is wrong.`;
export const viewsHeading = () => 'Each picture';
export const viewsCaption = () =>
  'How far the points of each picture miss on average. One that sticks out is blurred, badly marked, or something moved in it.';
export const droppedHeading = () => 'Pictures left out';
export const nothingDropped = () => 'No picture was left out.';
export const droppedColumns = () => ['Picture', 'Camera', 'Why'] as const;
export const verticalHeading = () => 'What is upright';
export const verticalSentence = (vertical: MeasuredQuality['vertical']) =>
  vertical === null
    ? 'How upright the world of these cameras stands is not known. A lean of the whole world by 1° moves the hips’ part of the effort in a posture by about 0.013.'
    : `Upright is taken from ${vertical.from}; with 95 % probability it is right within ${numberText(vertical.halfWidth95Deg, 2)}°. A lean of 1° moves the hips’ part of the effort in a posture by about 0.013.`;
export const scaleHeading = () => 'How long a metre is';
export const scaleSentence = (scale: MeasuredQuality['scale']) =>
  scale === null
    ? 'How sure the lengths are as a whole is not known: measure a known length and state how well.'
    : `All lengths together may be off by ${short(100 * scale.sdShare)} % (one standard deviation); levers and moments then are off by the same part.`;
export const scaleCaption = () =>
  'What makes lengths unsure, each cause as a standard deviation, and all of them together.';
export const heldOutSentence = (found: MeasuredQuality['heldOutLength']) =>
  found === null
    ? 'No known length was kept back, so nothing outside the calibration has tested it.'
    : `Tested on what it had not seen: ${found.count} lengths (${found.what}) come out right to ${short(1000 * found.rmsM)} mm, ${short(100 * found.share)} % of their length (root mean square).`;
export const clockHeading = () => 'Clocks';
export const clockColumns = () => ['Camera', 'Offset', '± (95 %)', 'Drift'] as const;
export const clockNote = () =>
  'Against the first camera. A positive offset: the camera films later than its time stamps say.';
export const notesHeading = () => 'Noted on the way';

export const cautionsHeading = () => 'Take care';
export const cautions = () => [
  'Nobody walks up to, leans over or reaches under a loaded bar with a board, stick, tape or plumb line. Calibrate before the bar is loaded, or after it is unloaded and at rest.',
  'Where a bar itself is moved for the calibration, use the empty bar, collars on, with the safety bars set and room to step away.',
  'Stand tripods, cables and phones out of the way of the lifter, of spotters, and of a bar or discs that fall or roll.',
  'Nobody watches a screen while lifting or spotting. The person who films does not spot.',
  'After a camera was moved, turned, zoomed or knocked, its calibration is void: calibrate again.',
  'This page measures cameras. A qualified coach and the rules of the place you train at decide what is lifted and where people stand.',
];

export const scienceHeading = () => 'For the scientist';
export const scienceIntro = (method: string, points: number | null, rms: number | null) =>
  `Method: ${method}. ${points === null ? '' : `${points} image points. `}${rms === null ? '' : `Joint root mean square residual ${digitsText(rms, 4)} px (2-vector). `}Standard deviations follow from the residuals and the derivatives at the minimum (docs/method/acceptance.md).`;
export const lensHeading = () => 'Lenses and poses';
export const lensColumns = () =>
  [
    'Camera',
    'Picture',
    'fx, fy px',
    '± px',
    'cx, cy px',
    '± px',
    'k1 k2 p1 p2 k3',
    'Centre X Y Z m',
    'SD worst axis mm',
    'SD direction °',
  ] as const;
export const limitsHeading = () => 'Limits and their sources';
export const limitsColumns = () => ['Name', 'Value', 'Good', 'Usable', 'Unit', 'Meaning', 'Source'] as const;
export const viewsTableHeading = () => 'Views';
export const viewsColumns = () => ['Image', 'Camera', 'Points', 'RMS px', 'Tilt °'] as const;
export const covarianceHeading = () => 'Standard deviations of the shared parameters';
export const covarianceNote = (count: number) =>
  `Square roots of the diagonal of the joint covariance of ${count} parameters, poses in the world of the rig (turn in rad, translation in m, lens in px or 1); the whole matrix stands in the rig file. A camera whose pose is not listed was held: the others are relative to it.`;
export const covarianceColumns = () => ['Parameter', 'SD'] as const;
export const boxSentence = (box: readonly number[]) =>
  `Points span X ${metres(box[0])} to ${metres(box[3])}, Y ${metres(box[1])} to ${metres(box[4])}, Z ${metres(box[2])} to ${metres(box[5])} m.`;
export const filesHeading = () => 'Raw tables beside this page';
export const madeBy = (version: string) => `Made by Kneeward ${version}.`;
export const figureMissing = () => 'Not drawn: no points are recorded.';

const metres = (value: number) => numberText(value, 2);
