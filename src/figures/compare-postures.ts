import type { DrawnPosture, PosturePair } from '../study/compare/postures-at-depth.ts';
import { POSTURE_TITLES, postureDepth } from './compare-words.ts';
import { COLOUR, FONT } from './look.ts';

/** Pixels a metre, along and up alike, so that angles look as they are. */
const PX_PER_M = 150;
const MARGIN_M = 0.06;
const LEAST_WIDTH_M = 0.95;
const HEAD_RADIUS_M = 0.1;
const BAR_RADIUS_M = 0.06;
/** Room for the title above, pixels. */
const TITLE_PX = 40;

interface Frame {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** The look of a side: A is drawn full and strong, B pale, thinner and dashed, its joints open. */
interface Pen {
  readonly colour: string;
  readonly trunk: string;
  readonly widen: number;
  readonly dash: string;
  readonly opacity: number;
  readonly openJoints: boolean;
}

const PENS: Readonly<Record<'a' | 'b', Pen>> = {
  a: { colour: COLOUR.down, trunk: COLOUR.ink, widen: 1, dash: '', opacity: 1, openJoints: false },
  b: { colour: COLOUR.up, trunk: COLOUR.up, widen: 0.75, dash: '6 4', opacity: 0.85, openJoints: true },
};

/**
 * Two lifters over each other from the right side, one picture a depth, all to one scale and one height: near (right) limbs,
 * trunk, head, bar, and the line of the mass down to the floor. Text of an SVG file; the same pairs give the same bytes.
 */
export function comparePostures(pairs: readonly PosturePair[]): ReadonlyMap<PosturePair['posture'], string> {
  const frame = frameOf(pairs);
  return new Map(pairs.map((pair) => [pair.posture, picture(pair, frame)]));
}

function frameOf(pairs: readonly PosturePair[]): Frame {
  const points = pairs.flatMap(({ a, b }) => [a, b].flatMap(({ parts }) => [...parts.values()].flat()));
  const known = points.filter(([x, y]) => Number.isFinite(x) && Number.isFinite(y));
  const xs = known.map(([x]) => x);
  const [low, high] = [Math.min(0, ...xs) - MARGIN_M, Math.max(0, ...xs) + MARGIN_M];
  const more = Math.max(0, LEAST_WIDTH_M - (high - low)) / 2;
  const top = Math.max(1, ...known.map(([, y]) => y)) + MARGIN_M;
  return { left: low - more, top, width: high - low + 2 * more, height: top + 0.06 };
}

function picture(pair: PosturePair, frame: Frame): string {
  const [width, height] = [px(PX_PER_M * frame.width), px(PX_PER_M * frame.height + TITLE_PX)];
  const floor = px(place(frame, [0, 0])[1]);
  const heading = (y: number, size: number, colour: string, weight: string, words: string) =>
    `<text x="${px(width / 2)}" y="${y}" text-anchor="middle" font-size="${size}" font-weight="${weight}" fill="${colour}">${words}</text>`;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" font-family="${FONT.replaceAll('"', "'")}">`,
    `<rect width="${width}" height="${height}" fill="#ffffff"/>`,
    heading(18, 14, COLOUR.ink, '600', POSTURE_TITLES[pair.posture]),
    heading(34, 12, COLOUR.quiet, '400', postureDepth(pair.depthDeg)),
    `<line x1="0" y1="${floor}" x2="${width}" y2="${floor}" stroke="${COLOUR.quiet}"/>`,
    // A last: it lies on top.
    ...person(pair.b, PENS.b, frame),
    ...person(pair.a, PENS.a, frame),
    '</svg>',
    '',
  ].join('\n');
}

function person({ parts }: DrawnPosture, pen: Pen, frame: Frame): string[] {
  const at = (part: string) => (parts.get(part) ?? []).map((point) => place(frame, point));
  const line = (part: string, colour: string, width: number, dash = pen.dash) =>
    stroke(at(part), colour, width * pen.widen, dash);
  const [head] = at('head');
  const [bar] = at('bar');
  const foot = at('foot on the floor');
  const ring = (centre: readonly [number, number] | undefined, radiusM: number, colour: string, width: number) =>
    centre && Number.isFinite(centre[0] + centre[1])
      ? [
          `<circle cx="${px(centre[0])}" cy="${px(centre[1])}" r="${px(PX_PER_M * radiusM)}" stroke="${colour}" stroke-width="${px(width * pen.widen)}"${pen.dash === '' ? '' : ' stroke-dasharray="4 3"'}/>`,
        ]
      : [];
  const mass = at('centre of mass');
  return [
    `<g opacity="${pen.opacity}" fill="none" stroke-linecap="round" stroke-linejoin="round">`,
    ...stroke(foot, COLOUR.foot, 7 * pen.widen, ''),
    ...line('trunk', pen.trunk, 4.6),
    ...line('neck', pen.trunk, 2.6),
    ...ring(head, HEAD_RADIUS_M, pen.trunk, 2.6),
    ...line('near leg', pen.colour, 3.6),
    ...line('near foot', pen.colour, 2.6),
    ...line('near arm', pen.colour, 2.2),
    ...at('near leg')
      .filter(([x, y]) => Number.isFinite(x + y))
      .map(
        ([x, y]) =>
          `<circle cx="${px(x)}" cy="${px(y)}" r="3.8" fill="${pen.openJoints ? '#ffffff' : pen.colour}" stroke="${pen.colour}" stroke-width="1.6"/>`,
      ),
    ...ring(bar, BAR_RADIUS_M, pen.openJoints ? pen.colour : COLOUR.bar, 3.5),
    ...stroke(mass, COLOUR.mass, 2 * pen.widen, pen.openJoints ? '3 3' : ''),
    '</g>',
  ];
}

/** A chain as one path; an unknown point breaks it. */
function stroke(points: readonly (readonly [number, number])[], colour: string, width: number, dash: string): string[] {
  let pen = 'M';
  const steps = points.flatMap(([x, y]) => {
    if (!Number.isFinite(x + y)) {
      pen = 'M';
      return [];
    }
    const step = `${pen}${px(x)} ${px(y)}`;
    pen = 'L';
    return [step];
  });
  if (steps.length < 2) return [];
  return [
    `<path d="${steps.join('')}" stroke="${colour}" stroke-width="${px(width)}"${dash === '' ? '' : ` stroke-dasharray="${dash}"`}/>`,
  ];
}

const place = ({ left, top }: Frame, [x, y]: readonly [number, number]): readonly [number, number] => [
  PX_PER_M * (x - left),
  PX_PER_M * (top - y) + TITLE_PX,
];

/** Pixels to a hundredth. */
const px = (value: number): number => Number(value.toFixed(2));
