import { describe, expect, test } from '@jest/globals';
import { type Label, newLabel, placeLabels } from '../../../src/web/scene/label-places.ts';

function label(x: number, y: number, side = 0): Label {
  return Object.assign(newLabel(side), { text: 'x', x, y, away: 10, width: 80, height: 20, visible: true });
}
const overlap = (a: Label, b: Label) =>
  a.left < b.left + b.width && b.left < a.left + a.width && a.top < b.top + b.height && b.top < a.top + a.height;

describe('labels', () => {
  test('stand where they like to while that is free', () => {
    const one = label(200, 100, 1);
    placeLabels([one], 400, 300, 4);
    expect(one).toMatchObject({ left: 200 - 10 - 80, top: 90, visible: true, side: 1 });
  });

  test('never overlap, wherever their points move, nor leave the picture', () => {
    let state = 7;
    const random = (below: number) => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return (state / 2 ** 32) * below;
    };
    const labels = Array.from({ length: 7 }, (_, i) => label(0, 0, i % 8));
    let shown = 0;
    for (let round = 0; round < 500; round++) {
      for (const one of labels) Object.assign(one, { x: random(400), y: random(300), visible: true });
      placeLabels(labels, 400, 300, 4);
      const visible = labels.filter((one) => one.visible);
      shown += visible.length;
      const outside = visible.filter(
        ({ left, top, width, height }) => left < 4 || top < 4 || left + width > 396 || top + height > 296,
      );
      const over = visible.filter((one, i) => visible.slice(0, i).some((other) => overlap(one, other)));
      expect([outside, over]).toEqual([[], []]);
    }
    expect(shown / (500 * 7)).toBeGreaterThan(0.9);
  });

  test('a label keeps the side it had to go to, as long as that is free', () => {
    const one = label(390, 100, 0);
    placeLabels([one], 400, 300, 4);
    expect(one.side).toBe(1);
    Object.assign(one, { x: 200, visible: true });
    placeLabels([one], 400, 300, 4);
    expect(one.side).toBe(1);
  });

  test('one without a free side is hidden', () => {
    const one = label(40, 15);
    placeLabels([one], 80, 30, 4);
    expect(one.visible).toBe(false);
  });
});
