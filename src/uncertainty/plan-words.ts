import type { Landmark } from '../capture/landmarks.ts';
import {
  fewPixels,
  foreseenHeading,
  halfWidthText,
  intervalText,
  motionBlur,
  moveTogether,
  moveWords,
  noBetterPlace,
  planHeading,
  planLeavesOut,
  pointsHidden,
  raysCross,
  shareText,
  suggestionLine,
  viewFits,
  viewTight,
  wholeChainHeading,
} from '../messages/plan.ts';
import type { BetterPlacement, Move, Suggestion } from './better-placement.ts';
import type { Foreseen, ForeseenRow } from './foresee.ts';
import type { ForeseenDoubt } from './foreseen-causes.ts';
import { PLANNED_POSTURES, type PlannedPosture } from './foreseen-scene.ts';
import { VERTICAL_LIMIT_DEG } from './limits.ts';
import type { PlanResult } from './plan.ts';
import type { PostureQuantity } from './posture-sensitivity.ts';
import { HALF_WIDTH_95 } from './posture-uncertainty.ts';
import { GOOD_RAY_ANGLE_DEG, LARGEST_BLUR_PX, LEAST_PX_PER_M, PICTURE_MARGIN } from './view-checks.ts';

/** The short report of `kneeward plan`, line by line. */
export function planLines(result: PlanResult): string[] {
  const { plan, foreseen, better } = result;
  const { whitePx, slowPx, slowS } = plan.noise;
  return [
    planHeading(plan.id, plan.lifter, { totalKg: plan.load.totalKg, position: plan.load.bar.position }),
    '',
    foreseenHeading(whitePx, slowPx, slowS),
    ...tableLines(foreseen),
    planLeavesOut(foreseen.hipSharePerDegreeOfVertical, VERTICAL_LIMIT_DEG),
    '',
    ...doubtLines(result.doubt),
    '',
    ...viewLines(foreseen),
    ...blurLines(result),
    '',
    ...suggestionLines(better),
  ];
}

/** What each camera sees and what is wrong with it. */
export function viewLines(foreseen: Foreseen): string[] {
  const lines = foreseen.views.flatMap(({ camera, marginShare, nearest, hidden, pxPerMetre }) => {
    const { what, posture, border } = nearest;
    const fits =
      marginShare >= PICTURE_MARGIN
        ? viewFits(camera, marginShare, what, posture)
        : viewTight(camera, marginShare, what, posture, border, PICTURE_MARGIN);
    const postures = [...new Set(hidden.flatMap((one) => one.postures))];
    return [
      fits,
      ...(hidden.length > 0
        ? [
            pointsHidden(
              camera,
              hidden.map(({ landmark }) => landmark),
              postures,
            ),
          ]
        : []),
      ...(pxPerMetre < LEAST_PX_PER_M ? [fewPixels(camera, pxPerMetre, LEAST_PX_PER_M)] : []),
    ];
  });
  return [...lines, raysCross(foreseen.rayAngleDeg, GOOD_RAY_ANGLE_DEG[0], GOOD_RAY_ANGLE_DEG[1])];
}

/** The whole chain at parallel: what each number is worth, and of what that is made. */
function doubtLines(doubt: readonly ForeseenDoubt[]): string[] {
  const line = (name: string, cells: readonly string[]) =>
    `  ${name.padEnd(34)}${cells.map((text) => text.padStart(13)).join('')}`;
  const shown = doubt[0].parts.map(({ cause }) => cause);
  return [
    wholeChainHeading(),
    line('', ['± (95 %)', ...shown]),
    ...doubt.map(({ quantity, sd, parts }) =>
      line(DOUBT_NAMES[quantity] ?? quantity, [
        halfWidthText(HALF_WIDTH_95 * sd, quantity),
        ...parts.map(({ share }) => shareText(share)),
      ]),
    ),
  ];
}

const DOUBT_NAMES: Readonly<Partial<Record<PostureQuantity, string>>> = {
  trunk_lean_deg: 'trunk lean',
  hip_moment_gravity_both_nm: 'hip moment, gravity only, both',
  knee_moment_gravity_both_nm: 'knee moment, gravity only, both',
  hip_share_gravity_both: 'hip share, gravity only',
};

function blurLines({ plan, blurPx }: PlanResult): string[] {
  return plan.cameras.flatMap(({ name, shutterS }, v) => {
    const blur = blurPx[v];
    return blur === null || shutterS === null || blur <= LARGEST_BLUR_PX
      ? []
      : [motionBlur(name, blur, LARGEST_BLUR_PX, shutterS)];
  });
}

/** Which phone to move where, and what that brings; one line for one phone, one for all. */
export function suggestionLines({ now, one, all }: BetterPlacement): string[] {
  if (one === null && all === null) return [noBetterPlace()];
  const line = ({ moves, after }: Suggestion) => suggestionLine(moveTogether(moves.map(moveOf)), now, after);
  return [...(one ? [line(one)] : []), ...(all ? [line(all)] : [])];
}

function moveOf({ camera, from, to }: Move): { camera: string; words: string } {
  const words = moveWords({
    distanceM: to.distanceM - from.distanceM,
    fromDeg: from.angleDeg,
    toDeg: to.angleDeg,
    heightM: to.heightM - from.heightM,
  });
  return { camera, words };
}

/** The worse of left and right of a joint, and the quantities; one line each. */
const TABLE: readonly (readonly [string, readonly (Landmark | PostureQuantity)[]])[] = [
  ['hip centre, worst direction', ['left_hip', 'right_hip']],
  ['knee centre, worst direction', ['left_knee', 'right_knee']],
  ['ankle centre, worst direction', ['left_ankle', 'right_ankle']],
  ['shoulder centre, worst direction', ['left_shoulder', 'right_shoulder']],
  ['trunk lean', ['trunk_lean_deg']],
  ['hip moment, gravity only, both', ['hip_moment_gravity_both_nm']],
  ['knee moment, gravity only, both', ['knee_moment_gravity_both_nm']],
  ['hip share, gravity only', ['hip_share_gravity_both']],
];

function tableLines({ rows }: Foreseen): string[] {
  const cell = (what: readonly string[], posture: PlannedPosture): string => {
    const found = rows.filter(
      (row) => row.posture === posture && what.includes(row.what) && (row.axis === '' || row.axis === 'worst'),
    );
    const worst = found.reduce((a: ForeseenRow, b) => (b.halfWidth95 > a.halfWidth95 ? b : a));
    return intervalText(worst.halfWidth95, worst.unit, worst.value);
  };
  const line = (name: string, cells: readonly string[]) =>
    `  ${name.padEnd(34)}${cells.map((text) => text.padStart(18)).join('')}`;
  return [
    line('', PLANNED_POSTURES),
    ...TABLE.map(([name, what]) =>
      line(
        name,
        PLANNED_POSTURES.map((posture) => cell(what, posture)),
      ),
    ),
  ];
}
