import {
  Color,
  DataTexture,
  DoubleSide,
  type Material,
  MeshBasicMaterial,
  MeshLambertMaterial,
  NearestFilter,
  RepeatWrapping,
  SRGBColorSpace,
} from 'three';
import type { Theme } from './theme.ts';

/** What the parts of a lifter are painted with. */
export interface Paint {
  readonly left: Material;
  /** Joints of the left limbs: plain, where stripes would not meet. */
  readonly leftJoint: Material;
  readonly right: Material;
  readonly middle: Material;
  readonly bar: Material;
  readonly disc: Material;
  recolour(theme: Theme): void;
}

/** The lifter that is looked at: right plain, left striped. */
export function bodyPaint(barTracked: boolean): Paint {
  const stripes = new DataTexture(new Uint8Array(8), 1, 2);
  stripes.colorSpace = SRGBColorSpace;
  stripes.wrapS = RepeatWrapping;
  stripes.wrapT = RepeatWrapping;
  stripes.magFilter = NearestFilter;
  stripes.minFilter = NearestFilter;
  const left = new MeshLambertMaterial({ map: stripes });
  const leftJoint = new MeshLambertMaterial();
  const right = new MeshLambertMaterial();
  const middle = new MeshLambertMaterial();
  // A bar that a rule placed is seen through.
  const bar = new MeshLambertMaterial({ transparent: !barTracked, opacity: barTracked ? 1 : 0.4 });
  const disc = seeThrough(0.12);
  return {
    left,
    leftJoint,
    right,
    middle,
    bar,
    disc,
    recolour(theme) {
      const data = stripes.image.data as Uint8Array;
      bytesInto(data, 0, theme.left);
      bytesInto(data, 4, theme['left-stripe']);
      stripes.needsUpdate = true;
      leftJoint.color.setStyle(theme.left);
      right.color.setStyle(theme.right);
      middle.color.setStyle(theme.trunk);
      bar.color.setStyle(theme.bar);
      disc.color.setStyle(theme.bar);
    },
  };
}

/** The second lift: one pale colour throughout. */
export function palePaint(): Paint {
  const body = new MeshLambertMaterial();
  const disc = seeThrough(0.08);
  return {
    left: body,
    leftJoint: body,
    right: body,
    middle: body,
    bar: body,
    disc,
    recolour(theme) {
      body.color.setStyle(theme.pale);
      disc.color.setStyle(theme.pale);
    },
  };
}

function seeThrough(opacity: number): MeshBasicMaterial {
  return new MeshBasicMaterial({ transparent: true, opacity, depthWrite: false, side: DoubleSide });
}

function bytesInto(out: Uint8Array, at: number, style: string): void {
  const { r, g, b } = new Color().setStyle(style).convertLinearToSRGB();
  out.set([255 * r, 255 * g, 255 * b, 255], at);
}
