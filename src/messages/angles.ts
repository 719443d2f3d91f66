/** Texts of axes of body parts and of joint angles: what fixes a turn, and why one is unknown. */

const spaced = (name: string) => name.replaceAll('_', ' ');

/** What fixes the turn of a part about its long axis. */
export const turnFixedBy = {
  pelvisMarkers: 'markers on the front and back of the hip bones',
  thoraxMarkers: 'markers on breastbone, C7 and T8',
  shoulderLine: 'the line from left to right shoulder',
  sideMarkers: (joint: string) => `markers on the inner and outer side of the ${joint}`,
  flexionPlane: (joint: string) =>
    `the plane in which the ${joint} is bent, taken as a hinge square to both of its segments`,
  sole: 'heel, big toe and small toe',
  ankleOverSole: 'the ankle, taken to stand straight above the line from heel to big toe',
} as const;

export const hingeTooStraight = (joint: string, leastDeg: number, largestDeg: number) =>
  `the ${joint} is bent less than ${leastDeg}° or more than ${largestDeg}°: its segments lie too near one line to show how they turn about it`;
export const pointsMissing = () => 'a point is missing';
export const pelvisTiltUnseen = () =>
  'hip centres alone do not show the tilt of the pelvis: needs left_asis, right_asis, left_psis, right_psis';
export const hingeAssumed = (joint: string, needs: readonly string[]) =>
  `the ${joint} is taken as a hinge, which leaves it no such angle: needs ${needs.join(', ')}`;
export const rollAssumed = (side: string) => `the roll of the foot is assumed, not measured: needs ${side}_small_toe`;
export const axesNearlyParallel = (part: string) =>
  `the axes of the ${spaced(part)} lie too near one line for this angle to be defined`;
export const armAlongTrunk = (leastDeg: number) =>
  `the upper arm lies within ${leastDeg}° of the trunk's line: plane and rotation are not defined there`;

const mm = (metres: number) => (1000 * metres).toFixed(0);

export const hipsFromPelvis = (source: string, sdM: readonly number[]) =>
  `The hips are placed from the four markers of the pelvis by ${source}: standard error ${sdM.map(mm).join(', ')} mm forward, up and outward.`;
export const midwayBetweenMarkers = (centres: readonly string[]) =>
  `Placed midway between markers on the inner and outer side: ${centres.map(spaced).join(', ')}.`;
