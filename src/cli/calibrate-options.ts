import { Option } from 'commander';
import type { BoardUp } from '../cameras/board-vertical.ts';
import type { ImageSize } from '../cameras/lens-calibration.ts';
import { axisIndex, SIGNED_AXES } from '../capture/axes.ts';
import type { FileAxes, LengthUnit, SignedAxis } from '../capture/recording.ts';
import { imageSizeMissing } from '../messages/cameras.ts';
import { usage } from '../messages/cli.ts';
import { placeOption } from './place-option.ts';

// Options and their readers that the calibrate commands share.

/** Image sizes by camera name; '' = every camera not named. */
export type ImageSizes = ReadonlyMap<string, ImageSize>;

export const out = () => new Option('--out <file>', 'rig file to write').argParser(placeOption).default('rig.json');
export const unit = (standard: LengthUnit) =>
  new Option('--unit <unit>', 'unit of length').choices(['m', 'cm', 'mm']).default(standard);
export const forward = () =>
  new Option('--forward <axis>', 'axis pointing where the lifter faces').choices(SIGNED_AXES).default('+x');
export const up = () => new Option('--up <axis>', 'axis pointing up').choices(SIGNED_AXES).default('+z');
export const floor = () =>
  new Option('--floor-height <number>', 'height of the floor along the up axis')
    .argParser(numberOption('--floor-height'))
    .default(0);
export const sizes = (help: string) =>
  new Option('--image-size <size>', help)
    .makeOptionMandatory()
    .argParser((text: string, before: Map<string, ImageSize> | undefined) => addImageSize(text, before));

export function axesOf(given: { forward: SignedAxis; up: SignedAxis }): FileAxes {
  if (axisIndex(given.forward) === axisIndex(given.up)) {
    throw usage(
      `--forward ${given.forward} --up ${given.up}: both lie along one axis. Name two different axes of the file.`,
    );
  }
  return { forward: given.forward, up: given.up };
}

export function numberOption(name: string): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (text.trim() === '' || !Number.isFinite(value)) throw usage(`${name} ${text}: not a number.`);
    return value;
  };
}

export function countOption(name: string): (text: string) => number {
  return (text) => {
    if (!/^\d+$/.test(text)) throw usage(`${name} ${text}: not a whole number.`);
    return Number(text);
  };
}

export function numbers(text: string, name: string): number[] {
  return text.split(',').map(numberOption(name));
}

export function imageSize(text: string): ImageSize {
  const parts = /^(\d+)[x×](\d+)$/i.exec(text);
  const size = { width: Number(parts?.[1]), height: Number(parts?.[2]) };
  if (parts === null || size.width < 2 || size.height < 2) {
    throw usage(`--image-size ${text}: not an image size. Write width x height in pixels, for instance 1920x1080.`);
  }
  return size;
}

export function addImageSize(text: string, before: Map<string, ImageSize> | undefined): Map<string, ImageSize> {
  const at = text.lastIndexOf('=');
  const sizes = before ?? new Map<string, ImageSize>();
  sizes.set(at < 0 ? '' : text.slice(0, at), imageSize(text.slice(at + 1)));
  return sizes;
}

export function boardUp(text: string, heightM: number): BoardUp {
  const parts = /^(.+):(lies|stands)$/.exec(text);
  if (parts === null) throw usage(`--up ${text}: write IMAGE:lies or IMAGE:stands, for instance 03:lies.`);
  return { image: parts[1], board: parts[2] as 'lies' | 'stands', heightM };
}

export function imageSizeOf(camera: string, sizes: ImageSizes): ImageSize {
  const size = sizes.get(camera) ?? sizes.get('');
  if (size === undefined) throw imageSizeMissing(camera);
  return size;
}
