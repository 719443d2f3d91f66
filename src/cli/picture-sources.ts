import { existsSync, readdirSync, statSync } from 'node:fs';
import { basename, join } from 'node:path';
import { byCodeUnit, matchFiles } from '../capture/file-pattern.ts';
import {
  pictureWithoutCamera,
  sourceKindUnknown,
  sourceMissing,
  sourcesMixed,
  sourceWithoutPictures,
} from '../messages/calibrate.ts';

/** What one camera took: photographs, each with the name that pairs it with the other cameras' pictures, or one video. */
export type PictureSource =
  | { readonly camera: string; readonly kind: 'photographs'; readonly pictures: readonly NamedPicture[] }
  | { readonly camera: string; readonly kind: 'video'; readonly file: string };

export interface NamedPicture {
  readonly file: string;
  readonly image: string;
}

const PICTURE = /\.(jpe?g|png)$/i;
const VIDEO = /\.(mp4|mov|m4v|mkv|avi|webm)$/i;
const WILD = /[*?]/;

/**
 * The pictures that the arguments name, cameras in order of appearance:
 * CAMERA=FOLDER | CAMERA=VIDEO | CAMERA=PATTERN | CAMERA=PICTURE, a picture called <camera><number>, or a folder that holds
 * such pictures or one folder a camera.
 */
export function pictureSources(args: readonly string[]): PictureSource[] {
  const photographs = new Map<string, NamedPicture[]>();
  const videos = new Map<string, string>();
  const addPicture = (camera: string, file: string, image: string) => {
    photographs.set(camera, [...(photographs.get(camera) ?? []), { file, image }]);
  };
  for (const arg of args) {
    const at = arg.indexOf('=');
    if (at > 0) {
      const camera = arg.slice(0, at);
      for (const file of filesAt(arg, arg.slice(at + 1))) {
        if (VIDEO.test(file)) videos.set(camera, file);
        else addPicture(camera, file, imageName(file, camera));
      }
    } else {
      for (const file of filesAt(arg, arg, true)) {
        const { camera, image } = nameParts(file, arg);
        if (VIDEO.test(file)) videos.set(camera, file);
        else addPicture(camera, file, image);
      }
    }
  }
  return [...new Set([...photographs.keys(), ...videos.keys()])].map((camera): PictureSource => {
    const pictures = photographs.get(camera);
    const file = videos.get(camera);
    if (pictures !== undefined && file !== undefined) throw sourcesMixed(camera);
    return file === undefined ? { camera, kind: 'photographs', pictures: pictures! } : { camera, kind: 'video', file };
  });
}

function filesAt(source: string, path: string, cameraFolders = false): string[] {
  if (WILD.test(path)) {
    const found = matchFiles('.', path).filter(isPictureOrVideo);
    if (found.length === 0) throw sourceMissing(source, path);
    return found;
  }
  if (!existsSync(path)) throw sourceMissing(source, path);
  if (!statSync(path).isDirectory()) {
    if (!isPictureOrVideo(path)) throw sourceKindUnknown(path);
    return [path];
  }
  const entries = readdirSync(path, { withFileTypes: true }).sort((a, b) => byCodeUnit(a.name, b.name));
  const found = entries
    .filter((one) => !one.isDirectory() && isPictureOrVideo(one.name))
    .map((one) => join(path, one.name));
  if (found.length === 0 && cameraFolders) {
    for (const one of entries) {
      if (!one.isDirectory()) continue;
      const inside = readdirSync(join(path, one.name)).filter(isPictureOrVideo).sort(byCodeUnit);
      found.push(...inside.map((name) => join(path, one.name, name)));
    }
  }
  if (found.length === 0) throw sourceWithoutPictures(source, path);
  return found;
}

const isPictureOrVideo = (name: string): boolean =>
  !basename(name).startsWith('.') && (PICTURE.test(name) || VIDEO.test(name));

/** The picture's name without ending and without the camera's name in front. */
function imageName(file: string, camera: string): string {
  const stem = stemOf(file);
  const rest = stem.toLowerCase().startsWith(camera.toLowerCase()) ? stem.slice(camera.length) : stem;
  return rest.replace(/^[-_ .]+(?=.)/, '') || stem;
}

function nameParts(file: string, source: string): { camera: string; image: string } {
  const stem = stemOf(file);
  // A folder of folders: the folder is the camera.
  if (file !== source && !WILD.test(source)) {
    const steps = file.slice(source.length).split(/[\\/]/).filter(Boolean);
    if (steps.length === 2) return { camera: steps[0], image: imageName(file, steps[0]) };
  }
  if (VIDEO.test(file)) return { camera: stem, image: '' };
  const parts = /^(.*?[^\d\s_.-])[\s_.-]*(\d+)$/.exec(stem);
  if (parts === null) throw pictureWithoutCamera(file);
  return { camera: parts[1], image: parts[2] };
}

const stemOf = (file: string): string => basename(file).replace(/\.[^.]+$/, '');
