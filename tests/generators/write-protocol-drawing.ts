/**
 * Writes calibration/protocol.svg, the one-page drawing beside calibration/protocol.md: A4, one unit a millimetre.
 *   npx tsx tests/generators/write-protocol-drawing.ts
 */
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const INK = '#1d2733';
const QUIET = '#5c6773';
const LINE = '#a7b0ba';
const BLUE = '#1b4f9c';
const RED = '#b3261e';
const GREEN = '#2f7d6b';

const n = (value: number) => String(Number(value.toFixed(2)));
const text = (x: number, y: number, words: string, size = 3.6, more = '') =>
  `<text x="${n(x)}" y="${n(y)}" font-size="${size}" ${more}>${words}</text>`;
const centred = (x: number, y: number, words: string, size = 3.6, more = '') =>
  text(x, y, words, size, `text-anchor="middle" ${more}`);
const lines = (x: number, y: number, step: number, all: readonly string[], size = 3.6) =>
  all.map((words, i) => text(x, y + i * step, words, size)).join('\n');
const path = (d: string, stroke: string, width: number, more = '') =>
  `<path d="${d}" fill="none" stroke="${stroke}" stroke-width="${width}" stroke-linecap="round" stroke-linejoin="round" ${more}/>`;
const rect = (x: number, y: number, w: number, h: number, more: string) =>
  `<rect x="${n(x)}" y="${n(y)}" width="${n(w)}" height="${n(h)}" ${more}/>`;
const heading = (x: number, y: number, number: number, words: string) =>
  `<circle cx="${n(x + 2.6)}" cy="${n(y - 1.5)}" r="3.2" fill="${BLUE}"/>` +
  centred(x + 2.6, y - 0.1, String(number), 4, 'fill="#ffffff" font-weight="700"') +
  text(x + 8, y, words, 4.6, 'font-weight="700"');

/** Millimetres on paper a metre on the floor. */
const SCALE = 19;
const LIFTER = { x: 80, y: 116 } as const;

/** A place on the floor: degrees off straight sideways towards the front, metres, side. */
function onFloor(deg: number, metres: number, side: 1 | -1): readonly [number, number] {
  const a = (deg * Math.PI) / 180;
  return [LIFTER.x + side * SCALE * metres * Math.cos(a), LIFTER.y - SCALE * metres * Math.sin(a)];
}

function zone(side: 1 | -1, fromDeg: number, toDeg: number, opacity: number): string {
  const [a, b, c, d] = [
    onFloor(fromDeg, 2.6, side),
    onFloor(fromDeg, 3.9, side),
    onFloor(toDeg, 3.9, side),
    onFloor(toDeg, 2.6, side),
  ];
  const sweep = side > 0 ? 0 : 1;
  const [inner, outer] = [n(2.6 * SCALE), n(3.9 * SCALE)];
  const move = ([x, y]: readonly [number, number]) => `${n(x)},${n(y)}`;
  return `<path d="M${move(a)} L${move(b)} A${outer},${outer} 0 0 ${sweep} ${move(c)} L${move(d)} A${inner},${inner} 0 0 ${1 - sweep} ${move(a)} Z" fill="${GREEN}" fill-opacity="${opacity}"/>`;
}

/** A phone on its stand from above, its lens towards the lifter, with the edges of its picture. */
function phoneAbove(deg: number, metres: number, side: 1 | -1): string {
  const [x, y] = onFloor(deg, metres, side);
  const turn = (Math.atan2(LIFTER.y - y, LIFTER.x - x) * 180) / Math.PI;
  const edge = (offDeg: number) => {
    const a = ((turn + offDeg) * Math.PI) / 180;
    return `M${n(x)},${n(y)} l${n(4.2 * SCALE * Math.cos(a))},${n(4.2 * SCALE * Math.sin(a))}`;
  };
  return [
    path(edge(16), LINE, 0.4, 'stroke-dasharray="2 1.6"'),
    path(edge(-16), LINE, 0.4, 'stroke-dasharray="2 1.6"'),
    `<g transform="translate(${n(x)} ${n(y)}) rotate(${n(turn)})">${rect(-2, -4, 3.4, 8, `rx="0.8" fill="${INK}"`)}<circle cx="1.6" cy="0" r="1.2" fill="${BLUE}"/></g>`,
  ].join('\n');
}

function fromAbove(): string {
  const { x, y } = LIFTER;
  const half = 1.1 * SCALE;
  const disc = (side: 1 | -1) =>
    rect(x + side * 0.655 * SCALE + (side < 0 ? -2 : 0), y - 4 - 2.7, 2, 2 * 0.225 * SCALE, `fill="${INK}"`);
  const [ax, ay] = onFloor(50, 3.3, -1);
  return [
    heading(12, 36, 1, 'Where the phones stand (from above)'),
    zone(-1, 30, 60, 0.1),
    zone(1, 30, 60, 0.1),
    zone(-1, 45, 60, 0.22),
    zone(1, 45, 60, 0.22),
    phoneAbove(50, 3.3, -1),
    phoneAbove(50, 3.3, 1),
    // lifter: bar, discs, head and shoulders, feet
    path(`M${n(x - half)},${n(y - 2.4)} H${n(x + half)}`, INK, 1.1),
    disc(-1),
    disc(1),
    `<ellipse cx="${x}" cy="${n(y + 0.6)}" rx="4.4" ry="2.4" fill="#ffffff" stroke="${BLUE}" stroke-width="0.9"/>`,
    `<circle cx="${x}" cy="${n(y - 0.4)}" r="2" fill="#ffffff" stroke="${BLUE}" stroke-width="0.9"/>`,
    path(`M${x},${n(y - 6)} v-9 m-2.2,3 l2.2,-3 l2.2,3`, BLUE, 0.7),
    text(x + 2.5, y - 12, 'faces this way', 3.4, `fill="${BLUE}"`),
    path(
      `M${n(12)},${y} H${n(x - 1.25 * SCALE)} M${n(x + 1.25 * SCALE)},${y} H${n(x + 3.4 * SCALE)}`,
      LINE,
      0.4,
      'stroke-dasharray="1 1.6"',
    ),
    text(x - 65, y + 4.5, 'straight sideways = 0°', 3.3, `fill="${QUIET}"`),
    text(ax - 17, ay - 8.2, '3 to 4 m', 3.6),
    centred(x, 52, '45 to 60° off the side (dark):', 3.5, `fill="${GREEN}"`),
    centred(x, 56.4, 'no full-size disc hides a joint', 3.5, `fill="${GREEN}"`),
    // what must not be
    path(`M${n(x - 8)},${n(y + 9)} h16`, RED, 0.9),
    centred(x, y + 14, 'nobody walks between phone and lifter,', 3.4, `fill="${RED}"`),
    centred(x, y + 18.2, 'and no phone stands in a walkway', 3.4, `fill="${RED}"`),
  ].join('\n');
}

function phone(): string {
  const [x, y] = [158, 44];
  return [
    heading(146, 36, 2, 'The phone'),
    rect(x, y, 14, 27, `rx="2" fill="#ffffff" stroke="${INK}" stroke-width="1"`),
    // a small lifter in the upright picture, bar across, room to every border
    path(`M${x + 2.4},${y + 10.4} h9.2`, INK, 0.7),
    `<circle cx="${x + 7}" cy="${y + 7.4}" r="1.3" fill="none" stroke="${BLUE}" stroke-width="0.7"/>`,
    path(`M${x + 7},${y + 9} L${x + 6},${y + 15} L${x + 8.4},${y + 18} L${x + 7},${y + 22}`, BLUE, 0.8),
    path(`M${x + 7},${y + 27} v13 m0,0 l-6,9 m6,-9 l6,9 m-6,-9 v9`, INK, 0.9),
    path(`M${x + 20},${y} v49 m-1.6,-2.4 l1.6,2.4 l1.6,-2.4 m-3.2,-44.2 l1.6,-2.4 l1.6,2.4`, LINE, 0.5),
    text(x + 22.5, y + 24, 'about', 3.3),
    text(x + 22.5, y + 28, '1 m', 3.3),
    lines(
      145,
      100,
      5,
      [
        '□ upright, on a stand, not by hand',
        '□ all in one video mode, 60 a second',
        '□ focus and exposure locked',
        '□ stabilisation, zoom, “auto” off',
        '□ much light: shutter 1/250 s or less',
        '□ bar ends and feet in the picture,',
        '\u00a0\u00a0\u00a0\u00a0also when the lifter stands',
      ],
      3.1,
    ),
  ].join('\n');
}

/** A board of 5 × 7 squares between four corners: top left, top right, bottom right, bottom left; straight lines between. */
function board(corners: readonly (readonly [number, number])[]): string {
  const [columns, rows] = [5, 7];
  const at = (i: number, j: number) => {
    const [u, v] = [i / columns, j / rows];
    const weights = [(1 - u) * (1 - v), u * (1 - v), u * v, (1 - u) * v];
    const place = [0, 1].map((axis) => corners.reduce((sum, corner, k) => sum + weights[k] * corner[axis], 0));
    return `${n(place[0])},${n(place[1])}`;
  };
  const squares: string[] = [];
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      if ((i + j) % 2 === 0) squares.push(`M${at(i, j)} L${at(i + 1, j)} L${at(i + 1, j + 1)} L${at(i, j + 1)} Z`);
    }
  }
  return `<path d="M${at(0, 0)} L${at(columns, 0)} L${at(columns, rows)} L${at(0, rows)} Z" fill="#ffffff" stroke="${INK}" stroke-width="0.5"/><path d="${squares.join(' ')}" fill="${INK}"/>`;
}

/** Six ways to hold it, each within 13 × 18 mm. */
const HELD: readonly (readonly (readonly [number, number])[])[] = [
  [
    [0, 0],
    [13, 0],
    [13, 18],
    [0, 18],
  ],
  [
    [1, 0],
    [10, 2.4],
    [10, 15.6],
    [1, 18],
  ],
  [
    [3, 2.4],
    [12, 0],
    [12, 18],
    [3, 15.6],
  ],
  [
    [2.4, 3],
    [10.6, 3],
    [13, 16],
    [0, 16],
  ],
  [
    [0, 3],
    [13, 3],
    [10.6, 16],
    [2.4, 16],
  ],
  [
    [2.6, 10],
    [10.4, 10],
    [13.6, 18],
    [-0.6, 18],
  ],
];

function boards(): string {
  const top = 158;
  const place = (i: number) => 14 + i * 21;
  const names = ['facing', 'turned left', 'turned right', 'tipped back', 'tipped on', 'lying low'];
  return [
    heading(12, 150, 3, 'The board, in sight of all phones at once'),
    HELD.map((corners, i) => board(corners.map(([x, y]) => [place(i) + x, top + y]))).join('\n'),
    names.map((name, i) => centred(place(i) + 6.5, top + 24.6, name, 3, `fill="${QUIET}"`)).join('\n'),
    lines(
      14,
      190,
      5,
      [
        'Print it to scale (check the 100 mm rule), glue it on something flat and stiff.',
        'Film 12 or more still moments of 2 seconds, in the video mode of the lift:',
        'each tilt (20 to 40°), low, high, left, right, near, far, where the lifter will be.',
      ],
      3.4,
    ),
  ].join('\n');
}

function vertical(): string {
  const x = 166;
  return [
    heading(146, 150, 4, 'Which way is up'),
    path(`M${x - 16},158 h32`, INK, 1.4),
    path(`M${x - 9},158 v26`, INK, 0.5),
    `<path d="M${x - 10.6},184 h3.2 l-1.6,5 Z" fill="${INK}"/>`,
    text(x - 6, 172, 'string and weight,', 3.2),
    text(x - 6, 176, 'hanging still', 3.2),
    lines(
      145,
      194,
      4.8,
      [
        'or the board flat on a level floor',
        '(spirit level, both ways).',
        '1° wrong moves the hip share',
        'by 0.01 to 0.02.',
      ],
      3.3,
    ),
  ].join('\n');
}

function steps(): string {
  return [
    heading(12, 216, 5, 'In this order'),
    lines(
      14,
      223,
      5.2,
      [
        '1  Bar empty and racked, safeties set. Place the phones, start the videos, touch nothing any more.',
        '2  Film the board (3) and the vertical (4). Put the board away.',
        '3  One warm-up repetition. Run “kneeward check”: good enough? Which phone to move?',
        '4  If a phone was moved or knocked: calibrate again, from 2.',
        '5  Film the sets without stopping the videos: the clocks are found from the movement itself.',
      ],
      3.5,
    ),
  ].join('\n');
}

function safety(): string {
  return [
    rect(10, 251, 190, 34, `rx="2" fill="#fff5f4" stroke="${RED}" stroke-width="0.9"`),
    text(15, 258.5, 'Safety comes first', 4.6, `font-weight="700" fill="${RED}"`),
    lines(
      15,
      265,
      5.2,
      [
        '• No board near a loaded bar: calibrate with the bar empty and racked. Only lifter and spotters near it.',
        '• Safeties and spotters as your gym and coach require. Filming never replaces them.',
        '• Stands, cables and phones out of every path, also that of a dropped bar or of a lifter stepping back.',
        '• Film only people who agreed to it, and nobody in the background.',
      ],
      3.5,
    ),
  ].join('\n');
}

export function protocolDrawing(): string {
  return `${[
    `<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297" font-family="'DejaVu Sans', system-ui, sans-serif" fill="${INK}">`,
    '<title>Filming protocol, one page</title>',
    rect(0, 0, 210, 297, 'fill="#ffffff"'),
    text(12, 18, 'Filming a squat with two phones', 8, 'font-weight="700"'),
    text(
      12,
      25,
      'The page to hang beside the rack. Words and reasons: calibration/protocol.md',
      3.6,
      `fill="${QUIET}"`,
    ),
    fromAbove(),
    phone(),
    boards(),
    vertical(),
    steps(),
    safety(),
    text(
      12,
      291,
      'Kneeward. Distances, angles and counts: common practice, no source, where protocol.md names none.',
      2.8,
      `fill="${QUIET}"`,
    ),
    '</svg>',
  ].join('\n')}\n`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(new URL('../../calibration/protocol.svg', import.meta.url), protocolDrawing());
}
