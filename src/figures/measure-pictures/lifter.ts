import { bearing, circle, dot, INK, onBearing, PICTURE, type Point, polyline, type Stroke, text } from './marks.ts';
import { DRAWN, type DrawnPosture, type LegPlaces, type Place } from './posture.ts';

/** Where a place of the lab is drawn. */
export interface View {
  (place: Place): Point;
  readonly scale: number;
}

const view = (scale: number, to: (place: Place) => Point): View => Object.assign(to, { scale });

/** Seen from the right, facing to the right of the picture; `x` above the ankles, `floor` the height of the floor. */
export const fromSide = (x: number, floor: number, scale: number): View =>
  view(scale, ([X, Y]) => [x + scale * X, floor - scale * Y]);
/** Seen from the front: the lifter's right is on the left of the picture. */
export const fromFront = (x: number, floor: number, scale: number): View =>
  view(scale, ([, Y, Z]) => [x - scale * Z, floor - scale * Y]);
/** Seen from above, facing up the picture: the lifter's right is on the right. */
export const fromAbove = (x: number, y: number, scale: number): View =>
  view(scale, ([X, , Z]) => [x + scale * Z, y - scale * X]);

/** Solid and thick for the near or right side, thin and dashed for the far or left one. */
const NEAR: Stroke = { width: 3 };
const FAR: Stroke = { width: 1.6, dash: '3.5 2.5' };
const GHOST = 0.4;

export interface Shown {
  /** Pale: an earlier posture, for comparison. */
  readonly ghost?: boolean;
  readonly bar?: boolean;
  readonly arms?: boolean;
  readonly head?: boolean;
  /** The left leg too: only where the two differ, else it hides behind the right one. */
  readonly farLeg?: boolean;
}

const faded = (parts: readonly string[], ghost: boolean): string =>
  ghost ? `<g opacity="${GHOST}">${parts.join('')}</g>` : parts.join('');

export const floor = (y: number, from = 6, to: number = PICTURE.width - 6): string =>
  polyline(
    [
      [from, y],
      [to, y],
    ],
    { width: 1, opacity: 0.5 },
  );

export const legFromSide = (leg: LegPlaces, at: View, stroke: Stroke = NEAR): string =>
  polyline([leg.hip, leg.knee, leg.ankle].map(at), stroke) +
  polyline([leg.heel, leg.ankle, leg.toe, leg.heel].map(at), { ...stroke, width: 0.7 * (stroke.width ?? 1) });

/** Head with a nose, so that the way the lifter faces is seen. */
function headFromSide(posture: DrawnPosture, at: View): string {
  const centre = at(posture.headCentre);
  const radius = at.scale * DRAWN.headRadius;
  const front = bearing(centre, at(posture.eye)) + 18;
  return (
    circle(centre, radius, { width: 1.8 }) +
    polyline(
      [
        onBearing(centre, front - 22, radius),
        onBearing(centre, front + 4, 1.38 * radius),
        onBearing(centre, front + 18, radius),
      ],
      { width: 1.6 },
    )
  );
}

export const barFromSide = (place: Place, at: View, colour = INK): string =>
  circle(at(place), at.scale * DRAWN.barRadius, { width: 2, colour }) + dot(at(place), 1.2, colour);

export function lifterFromSide(posture: DrawnPosture, at: View, shown: Shown = {}): string {
  const { ghost = false, bar = true, arms = true, head = true, farLeg = false } = shown;
  const { right, left } = posture;
  const parts = [
    farLeg ? legFromSide(left, at, FAR) : '',
    polyline([posture.midHip, posture.midShoulder].map(at), { width: 3.6 }),
    head ? headFromSide(posture, at) : '',
    arms ? polyline([right.shoulder, right.elbow, right.wrist].map(at), { width: 1.5 }) : '',
    bar ? barFromSide(posture.bar, at) : '',
    legFromSide(right, at),
  ];
  return faded(parts, ghost);
}

/** Bar and the discs at its ends. */
export const barFromFront = (left: Point, right: Point, colour = INK): string => {
  const [dx, dy] = [right[0] - left[0], right[1] - left[1]];
  const long = Math.hypot(dx, dy);
  const disc: Point = [(-8 * dy) / long, (8 * dx) / long];
  const ends = [left, right].map(([x, y]) =>
    polyline(
      [
        [x - disc[0], y - disc[1]],
        [x + disc[0], y + disc[1]],
      ],
      { width: 3, colour },
    ),
  );
  return polyline([left, right], { width: 2, colour }) + ends.join('');
};

const barEnds = ({ bar }: DrawnPosture, half: number = DRAWN.barHalfLength): readonly [left: Place, right: Place] => [
  [bar[0], bar[1], -half],
  [bar[0], bar[1], half],
];

const legFromFront = (leg: LegPlaces, at: View, stroke: Stroke): string =>
  polyline([leg.hip, leg.knee, leg.ankle].map(at), stroke) +
  polyline([leg.ankle, leg.toe].map(at), { ...stroke, width: 0.8 * (stroke.width ?? 1) });

export function lifterFromFront(posture: DrawnPosture, at: View, shown: Shown = {}): string {
  const { ghost = false, bar = true, arms = true, head = true } = shown;
  const { right, left } = posture;
  const parts = [
    legFromFront(left, at, { ...FAR, width: 2 }),
    legFromFront(right, at, NEAR),
    polyline([left.hip, right.hip].map(at), { width: 2.4 }),
    polyline([posture.midHip, posture.midShoulder].map(at), { width: 3 }),
    polyline([left.shoulder, right.shoulder].map(at), { width: 2.4 }),
    arms ? polyline([left.shoulder, left.elbow, left.wrist].map(at), { ...FAR, width: 1.6 }) : '',
    arms ? polyline([right.shoulder, right.elbow, right.wrist].map(at), { width: 1.8 }) : '',
    head ? circle(at(posture.headCentre), at.scale * DRAWN.headRadius, { width: 1.8 }) : '',
    bar ? barFromFront(...(barEnds(posture).map(at) as [Point, Point])) : '',
  ];
  return faded(parts, ghost);
}

/** Letters under or beside the two sides. */
export const sideLetters = (left: Point, right: Point): string => text(left, 'L') + text(right, 'R');

/** Outline of a foot from above, about its line from heel to toe. */
export function footFromAbove(leg: LegPlaces, at: View, stroke: Stroke = { width: 1.6 }): string {
  const [heel, toe] = [at(leg.heel), at(leg.toe)];
  const [dx, dy] = [toe[0] - heel[0], toe[1] - heel[1]];
  const long = Math.hypot(dx, dy);
  const [u, v]: Point = [dx / long, dy / long];
  const place = (along: number, out: number): string =>
    `${(heel[0] + long * (along * u - out * v)).toFixed(1)} ${(heel[1] + long * (along * v + out * u)).toFixed(1)}`;
  const { colour = INK, width = 1.6, dash, opacity } = stroke;
  return (
    `<path d="M${place(-0.04, 0)}C${place(-0.04, 0.16)} ${place(0.3, 0.1)} ${place(0.6, 0.2)}` +
    `S${place(1.05, 0.22)} ${place(1.05, 0)}S${place(0.85, -0.22)} ${place(0.6, -0.2)}` +
    `S${place(-0.04, -0.16)} ${place(-0.04, 0)}Z" fill="none" stroke="${colour}" stroke-width="${width}"` +
    `${dash ? ` stroke-dasharray="${dash}"` : ''}${opacity !== undefined ? ` opacity="${opacity}"` : ''}/>`
  );
}

/** Both feet: the left dashed. */
export const feetFromAbove = ({ left, right }: DrawnPosture, at: View): string =>
  footFromAbove(left, at, { width: 1.6, dash: '3.5 2.5' }) + footFromAbove(right, at, { width: 2 });
