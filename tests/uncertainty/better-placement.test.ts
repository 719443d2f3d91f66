import { describe, expect, test } from '@jest/globals';
import { filmingPlan, likePhones, type PlannedRoom } from '../../src/capture/plan-file.ts';
import { type BetterPlacement, type Move, scoreOf } from '../../src/uncertainty/better-placement.ts';
import { cameraMoved } from '../../src/uncertainty/camera-stand.ts';
import { type PlanResult, planFilming } from '../../src/uncertainty/plan.ts';
import { expectClose } from '../expect-close.ts';

const plan = (
  both: Parameters<typeof likePhones>[0],
  room?: { front_m: number; behind_m: number; left_m: number; right_m: number },
) =>
  planFilming(filmingPlan({ kneeward: 1, plan: 'test', cameras: likePhones(both), ...(room ? { room } : {}) }, 'test'));

const placeOf = ({ to }: Move) => ({
  ahead: to.distanceM * Math.sin((to.angleDeg * Math.PI) / 180),
  aside: to.distanceM * Math.cos((to.angleDeg * Math.PI) / 180),
});

/** The score of a suggestion, worked out again from the phones where it puts them. */
function scoreAfter({ scene, movables, variances }: PlanResult, moves: readonly Move[]) {
  const placed = movables.map((one) => {
    const move = moves.find(({ camera }) => camera === one.camera.name);
    return move ? { stand: move.to, camera: cameraMoved(one.camera, move.to, ...scene.middle) } : one;
  });
  return scoreOf(scene, placed, variances);
}

describe('a better placement', () => {
  const flat = plan({ angle_deg: 75, distance_m: 5 });

  test('phones almost in front are sent to the sides, and the interval shrinks as promised', () => {
    const { now, all } = flat.better as BetterPlacement & { all: NonNullable<BetterPlacement['all']> };
    expect(now.rayAngleOff).toBeGreaterThan(10);
    expect(all.moves.map(({ camera }) => camera)).toEqual(['left', 'right']);
    for (const { from, to } of all.moves) expect(to.angleDeg).toBeLessThan(from.angleDeg);
    expect(all.after).toEqual(scoreAfter(flat, all.moves));
    expect(all.after.hipShareHalfWidth95).toBeLessThan(0.6 * now.hipShareHalfWidth95);
    expect(all.after).toMatchObject({ outside: 0, hidden: 0, rayAngleOff: 0 });
  });

  test('phones straight beside are sent past the discs, though the interval grows', () => {
    const beside = plan({ angle_deg: 10, distance_m: 3.5 });
    expect(beside.better.now.hidden).toBeGreaterThan(0);
    expect(beside.better.all!.after.hidden).toBe(0);
    expect(beside.better.all!.after.hipShareHalfWidth95).toBeGreaterThan(beside.better.now.hipShareHalfWidth95);
  });

  test('a phone that cuts off the bar is sent back first of all', () => {
    const close = plan({ angle_deg: 50, distance_m: 1.6 });
    expect(close.better.now.outside).toBeGreaterThan(0);
    expect(close.better.all!.after.outside).toBe(0);
    for (const { from, to } of close.better.all!.moves) expect(to.distanceM).toBeGreaterThan(from.distanceM);
  });

  test('no suggestion leaves the room', () => {
    const room: PlannedRoom = { frontM: 2.2, behindM: 1, leftM: 1.9, rightM: 2.6 };
    const small = plan({ angle_deg: 45, distance_m: 2.5 }, { front_m: 2.2, behind_m: 1, left_m: 1.9, right_m: 2.6 });
    const moves = [...(small.better.one?.moves ?? []), ...(small.better.all?.moves ?? [])];
    for (const move of moves) {
      const { ahead, aside } = placeOf(move);
      expect(ahead).toBeLessThanOrEqual(room.frontM + 1e-9);
      expect(aside).toBeLessThanOrEqual((move.to.side === 'left' ? room.leftM : room.rightM) + 1e-9);
    }
  });

  test('what it suggests is itself good enough to be left alone', () => {
    const { to } = flat.better.all!.moves[0];
    const again = plan({ angle_deg: to.angleDeg, distance_m: to.distanceM, height_m: to.heightM });
    expect(again.better.one).toBeNull();
    expect(again.better.now.hidden).toBe(0);
  });

  test('twice the noise, twice the interval', () => {
    const twice = planFilming(
      filmingPlan(
        {
          kneeward: 1,
          plan: 'test',
          cameras: likePhones({ angle_deg: 75, distance_m: 5 }),
          noise: { white_px: 1.6, slow_px: 1.2 },
        },
        'test',
      ),
    );
    expectClose(twice.foreseen.hipShareHalfWidth95 / flat.foreseen.hipShareHalfWidth95, 2, 1e-9);
  });
});
